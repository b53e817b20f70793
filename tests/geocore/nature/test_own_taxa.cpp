#include "geocore/nature/own_taxa.hpp"

#include <algorithm>
#include <string>

#include "geocore/base/random.hpp"
#include "geocore/nature/courses.hpp"
#include "geocore/nature/naming.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;
using Catch::Contains;

namespace {

const std::string kHeader =
    "subject,parameter,low,typical,high,words,unit,latitude,condition,source,mark\n";

/// A wasp that nobody has seen, with a white band of its own.
const std::string kMadeUp = kHeader +
                            "XGLA,name,,,,Vespula glaucoptera,,,,CREW,assumption\n"
                            "XGLA,english,,,,glass yellowjacket,,,,CREW,assumption\n"
                            "XGLA,genus,,,,Vespula,,,,CREW,assumption\n"
                            "XGLA,group,,,,Vespula,,,,CREW,assumption\n"
                            "XGLA,region,,,,na_east,,,,CREW,assumption\n"
                            "XGLA,site.aerial,,1.0,,,share,,,CREW,assumption\n"
                            "XGLA,workers.peak,5000,6000,7000,,wasps,,,CREW,assumption\n"
                            "XGLA,trait.wasp.colour.dark,,0.95,,,share,,,CREW,assumption\n";
const std::string kSources = "key,citation\nCREW,\"our own records, 2020 to 2026\"\n";

Result<TaxaTable> with(const std::string& rows, const std::string& sources = kSources)
{
    const std::array files{TextFile{"mine/sources.csv", sources}, TextFile{"mine/a.csv", rows}};
    return with_own_rows(standard_taxa(), files);
}

std::string refusal(const std::string& rows)
{
    const auto table = with(kHeader + rows);
    REQUIRE_FALSE(table);
    return table.error().text();
}

}  // namespace

TEST_CASE("OwnTaxa, ASpeciesIsAddedByRowsAlone")
{
    const auto table = with(kMadeUp);
    REQUIRE(table);
    REQUIRE(table->taxa().size() == standard_taxa().taxa().size() + 1);
    const auto* taxon = table->recognise("glass yellowjacket");
    REQUIRE(taxon != nullptr);
    CHECK(table->citation("CREW") == "our own records, 2020 to 2026");

    // A nest without a name may be it, ...
    const LonLat ohio{Longitude{-82}, Latitude{40}};
    const auto possible = candidates(*table, "", "aerial", ohio);
    CHECK(std::any_of(possible.begin(), possible.end(),
                      [&](const Candidate& one) { return one.taxon == taxon; }));
    // ... it is forecast, with its own workers and its genus' calendar, ...
    const Candidate one{taxon, 1};
    const auto season = Season::make(*table, std::span{&one, 1}, Latitude{45});
    const auto dates = season.dates();
    CHECK(season.on(dates.peak.middle).workers.middle > 4500);
    // ... and it is named.
    const std::array seen{Seen{"site", "aerial"}, Seen{"colour", "dark"}};
    const auto name = name_wasp(*table, seen, ohio, *parse_day("2026-08-20"));
    REQUIRE(name);
    CHECK(name->taxa.front().taxon == taxon);
    CHECK(name->taxa.front().chance > 0.5);
}

TEST_CASE("OwnTaxa, RowsReplaceAllRowsOfTheirSubjectAndParameter")
{
    const auto table =
        with(kHeader + "DARE,calendar.peak,07-01,07-10,07-20,,date,45,,CREW,practice\n");
    REQUIRE(table);
    REQUIRE(standard_taxa().rows("DARE", "calendar.peak").size() == 2);
    const auto rows = table->rows("DARE", "calendar.peak");
    REQUIRE(rows.size() == 1);
    CHECK(rows.front()->mark == Mark::Practice);
    CHECK(rows.front()->file == "mine/a.csv");
    // Nothing else has moved.
    CHECK(table->figures().size() == standard_taxa().figures().size() - 1);
    CHECK(table->rows("DARE", "calendar.end").size() == 2);
}

TEST_CASE("OwnTaxa, ATraitIsAddedByRowsAlone")
{
    const auto table = with(kHeader +
                            "all,trait.nest.smell,,,,What does it smell of?,,,,CREW,assumption\n"
                            "all,trait.nest.smell.resin,,0.5,,resin,share,,,CREW,assumption\n"
                            "all,trait.nest.smell.earth,,0.5,,earth,share,,,CREW,assumption\n"
                            "DARE,trait.nest.smell.resin,,0.99,,,share,,,CREW,assumption\n"
                            "Vespula,trait.nest.smell.earth,,0.99,,,share,,,CREW,assumption\n");
    REQUIRE(table);
    const std::array seen{Seen{"smell", "resin"}};
    const LonLat ohio{Longitude{-82}, Latitude{40}};
    const auto name = name_wasp(*table, seen, ohio, *parse_day("2026-08-01"));
    REQUIRE(name);
    CHECK(name->taxa.front().taxon->code == "DARE");
}

TEST_CASE("OwnTaxa, ABadFileIsRefusedWithFileLineFieldAndWayOut")
{
    struct Case {
        std::string rows;
        std::vector<std::string> says;
    };
    const std::string good = "VMAC,workers.peak,1000,2000,3000,,wasps,,,CREW,practice\n";
    for (const auto& one : {
             Case{"VMAC,workers.peek,1,2,3,,wasps,,,CREW,practice\n",
                  {"mine/a.csv:2, column parameter", "'workers.peek'", "'workers.peak' meant"}},
             Case{good + "VMAC,mass.worker,,0.065,,,g,,,CREW,practice\n",
                  {"mine/a.csv:3, column unit", "'g'", "'mg'"}},
             Case{"VMAC,workers.peak,1000,2000,3000,,wasps,,,NOBODY,practice\n",
                  {"mine/a.csv:2, column source", "'NOBODY'"}},
             Case{"VMAC,workers.peak,1000,2000,3000,,wasps,,,CREW,sure\n",
                  {"mine/a.csv:2, column mark", "practice"}},
             Case{"VMAC,workers.peak,1000,2000,3000,,wasps,,,,practice\n",
                  {"mine/a.csv:2, column source", "needs a source"}},
             Case{"VMAC,workers.peak,many,2000,3000,,wasps,,,CREW,practice\n",
                  {"mine/a.csv:2, column low", "'many'"}},
             Case{"VMAC,workers.peak,3000,2000,1000,,wasps,,,CREW,practice\n",
                  {"mine/a.csv:2", "low <= typical <= high"}},
             Case{"VMAC,workers.peak,-5,2000,3000,,wasps,,,CREW,practice\n",
                  {"mine/a.csv:2, column low", "below zero"}},
             Case{"VMAC,site.ground,,1.5,,,share,,,CREW,practice\n",
                  {"mine/a.csv:2", "between 0 and 1"}},
             Case{"VMAC,site.ground,,0.9,,,share,,,CREW,practice\n"
                  "VMAC,site.void,,0.3,,,share,,,CREW,practice\n",
                  {"mine/a.csv:3", "'site' for 'VMAC'", "more than 1"}},
             Case{"VMAC,trait.nest.paper.green,,0.9,,,share,,,CREW,practice\n",
                  {"mine/a.csv:2", "no answer 'green'"}},
             Case{"VMAC,calendar.peak,,2001-09-01,,,date,40,,CREW,practice\n",
                  {"mine/a.csv:2, column typical", "month-day"}},
             Case{"XNEW,name,,,,Xus novus,,,,CREW,practice\n",
                  {"mine/a.csv:2", "'XNEW'", "name, genus and group"}},
             Case{"XNEW,name,,,,Xus novus,,,,CREW,practice\n"
                  "XNEW,genus,,,,Xus,,,,CREW,practice\n"
                  "XNEW,group,,,,all,,,,CREW,practice\n",
                  {"mine/a.csv:2", "'XNEW' has no figure 'calendar.founding'", "add a row"}},
             Case{"VMAC;workers.peak;1000\n", {"mine/a.csv:2", "1 columns found, 11 expected"}},
         }) {
        CAPTURE(one.rows);
        const auto text = refusal(one.rows);
        for (const auto& part : one.says) {
            CHECK_THAT(text, Contains(part));
        }
    }
}

TEST_CASE("OwnTaxa, TwoFilesMayNotHoldTheSameFigure")
{
    const std::string row = kHeader + "VMAC,workers.peak,1,2,3,,wasps,,,OWN,assumption\n";
    const std::array files{TextFile{"a.csv", row}, TextFile{"b.csv", row}};
    const auto table = with_own_rows(standard_taxa(), files);
    REQUIRE_FALSE(table);
    CHECK_THAT(table.error().text(), Contains("b.csv:2") && Contains("is in a.csv too"));
}

TEST_CASE("OwnTaxa, EveryTaxonHasWhatAForecastNeeds")
{
    for (const auto& taxon : standard_taxa().taxa()) {
        for (const auto parameter : needed_parameters()) {
            CAPTURE(taxon.code, parameter);
            const auto* row = standard_taxa().figure(taxon.code, parameter);
            REQUIRE(row != nullptr);
            CHECK_FALSE(row->unit.empty());
        }
    }
}

TEST_CASE("OwnTaxa, WhatIsNeededIsWhatTheCoursesLookUp")
{
    // A taxon with these rows and no others can be drawn; without any one of them it cannot.
    const auto rows_without = [](std::string_view left_out) {
        std::vector<Figure> rows;
        for (const auto& [parameter, words] :
             {std::pair{"name", "Xus novus"}, std::pair{"genus", "Xus"},
              std::pair{"group", "all"}}) {
            Figure row;
            row.subject = "XNEW";
            row.parameter = parameter;
            row.words = words;
            rows.push_back(row);
        }
        for (const auto parameter : needed_parameters()) {
            if (parameter != left_out) {
                Figure row = *standard_taxa().figure("VMAC", parameter);
                row.subject = "XNEW";
                rows.push_back(row);
            }
        }
        return TaxaTable::make(std::move(rows), {});
    };
    const auto whole = rows_without("");
    REQUIRE(whole);
    CHECK(draw_courses(*whole, whole->taxa().front(), Latitude{40}, 4).size() == 4);
    for (const auto parameter : needed_parameters()) {
        CAPTURE(parameter);
        const auto table = rows_without(parameter);
        REQUIRE(table);
        CHECK_THROWS_AS(draw_courses(*table, table->taxa().front(), Latitude{40}, 4), Failure);
    }
}

TEST_CASE("OwnTaxa, AnyDamageToAFileIsATableOrAnErrorThatNamesIt")
{
    Random random{7};
    constexpr std::string_view letters = ",\"\n\r#;.-0aZ\xC3 =";
    int refused = 0;
    for (int i = 0; i < 300; ++i) {
        std::string text = kMadeUp;
        for (auto changes = random.below(4) + 1; changes > 0; --changes) {
            text[random.below(text.size())] = letters[random.below(letters.size())];
        }
        const auto table = with(text);
        if (!table) {
            ++refused;
            CHECK(table.error().code == ErrorCode::InvalidInput);
            // A damaged group may leave a taxon of the table's own file as it is.
            CHECK(table.error().where.find("a.csv") != std::string::npos);
        }
    }
    CHECK(refused > 100);
    CHECK(refused < 300);
}

TEST_CASE("OwnTaxa, AFileWhoseNameEndsLikeTheListOfSourcesIsATable")
{
    const std::array files{TextFile{"mine/no_sources.csv",
                                    "subject,parameter,low,typical,high,words,unit,latitude,"
                                    "condition,source,mark\n"
                                    "VMAC,mass.worker,60,66,70,,mg,,,OWN,assumption\n"}};
    const auto table = with_own_rows(standard_taxa(), files);
    REQUIRE(table);
    CHECK(table->figure("VMAC", "mass.worker")->middle() == 66);
}
