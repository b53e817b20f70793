#include "geocore/base/figure.hpp"

#include <string>

#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

const std::string kHeader =
    "subject,parameter,low,typical,high,words,unit,latitude,condition,source,mark\n";
const std::vector<SourceEntry> kSources{{"S1", "A. Author, 1990, A title"}, {"S2", "Another"}};

Result<std::vector<Figure>> parse(const std::string& rows)
{
    return parse_figures(kHeader + rows, kSources, "test.csv");
}

}  // namespace

TEST_CASE("Figures, ReadNumbersDatesAndWords")
{
    const auto rows = parse(
        "# a note\n"
        "A,mass,1.5,,4.5,,mg,,live,S1 S2,derived\n"
        "A,peak,08-18,08-28,09-15,,date,34.5,\"here, and there\",S1,published\n"
        "A,colour,,,,\"grey, or tan\",,,,S2,memory\n");
    REQUIRE(rows);
    REQUIRE(rows->size() == 3);
    CHECK(rows->at(0).middle() == 3);  // of 1.5 and 4.5
    CHECK(rows->at(0).mark == Mark::Derived);
    CHECK(rows->at(0).line == 3);
    // 18 August is day 31+28+31+30+31+30+31+18 = 230 of a common year.
    CHECK(rows->at(1).low == 230);
    CHECK(rows->at(1).latitude == 34.5);
    CHECK(rows->at(1).condition == "here, and there");
    CHECK(rows->at(2).words == "grey, or tan");
}

TEST_CASE("Figures, RefuseARowWithoutSourceOrMark")
{
    const auto no_source = parse("A,mass,,1,,,mg,,,,published\n");
    REQUIRE_FALSE(no_source);
    CHECK(no_source.error().code == ErrorCode::InvalidInput);
    CHECK(no_source.error().text() == "test.csv:2, column source: a figure needs a source");
    CHECK_FALSE(parse("A,mass,,1,,,mg,,,S9,published\n"));  // not in the list
    const auto no_mark = parse("A,mass,,1,,,mg,,,S1,\n");
    REQUIRE_FALSE(no_mark);
    CHECK(no_mark.error().where == "test.csv:2, column mark");
    CHECK_FALSE(parse("A,mass,,1,,,mg,,,S1,sure\n"));
}

TEST_CASE("Figures, RefuseWhatCannotBeMeant")
{
    for (const char* row : {
             "A,mass,3,2,1,,mg,,,S1,published\n",      // low above high
             "A,mass,,nan,,,mg,,,S1,published\n",      // no number
             "A,mass,,1x,,,mg,,,S1,published\n",       // half a number
             "A,mass,,1,,,,,,S1,published\n",          // no unit
             "A,mass,,,,,mg,,,S1,published\n",         // neither number nor words
             "A,peak,,02-30,,,date,,,S1,published\n",  // no such day
             ",mass,,1,,,mg,,,S1,published\n",         // nothing it is about
             "A,mass,,1,,,mg,,S1,published\n",         // a column short
             "A,mass,,1,,\"open,mg,,,S1,published\n",  // open quote
         }) {
        CAPTURE(row);
        CHECK_FALSE(parse(row));
    }
    CHECK_FALSE(parse_figures("", kSources));
    CHECK_FALSE(parse_figures("A,mass,,1,,,mg,,,S1,published\n", kSources));  // no header
    CHECK_FALSE(parse_sources("key,citation\nS1,one\nS1,again\n"));
}
