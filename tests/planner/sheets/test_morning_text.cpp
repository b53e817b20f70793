#include "planner/sheets/morning_text.hpp"

#include <algorithm>
#include <sstream>

#include "planner/sheets/text_page.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sample_day.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

const day::DayPlan& day_of_test()
{
    static const testing::SampleWeb web;
    static const day::DayPlan plan = testing::sample_day(web);
    return plan;
}

bool holds(const std::string& text, const std::string& words)
{
    return text.find(words) != std::string::npos;
}

int widest(const std::string& text)
{
    int most = 0;
    std::istringstream lines{text};
    for (std::string line; std::getline(lines, line);) {
        most = std::max(most, columns(line));
    }
    return most;
}

/// Without the codes that only colour.
std::string uncoloured(const std::string& text)
{
    std::string out;
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (text[at] == '\x1b') {
            at = text.find('m', at);
        } else {
            out += text[at];
        }
    }
    return out;
}

}  // namespace

TEST_CASE("MorningText, SaysHowFarThePlanMayBeFromTheBest")
{
    day::DayPlan plan = day_of_test();
    plan.within_percent.reset();
    CHECK_FALSE(holds(morning_text(plan), "planner's own worth"));
    plan.within_percent = 3.24;
    CHECK(holds(morning_text(plan), "Within 3.2 % of the best possible day"));
    plan.within_percent = 0.004;  // never "within 0.0 %", which would be a proof
    CHECK(holds(morning_text(plan), "Within 0.1 % of the best possible day"));
    plan.within_percent = 0;
    CHECK(holds(morning_text(plan), "no day is better than this one"));
    plan.within_percent = 28.4;  // of a loose bound: it says nothing
    CHECK(!holds(morning_text(plan), "best possible day"));
}

TEST_CASE("MorningText, SaysWhenWhereWhatHowAndWhyOfEachStop")
{
    const day::DayPlan& plan = day_of_test();
    const std::string text = morning_text(plan);
    CHECK(holds(text, "Morning of Tuesday 4 August 2026"));
    CHECK(holds(text, "2 crews, 9 nests, 5 calls left out"));
    for (const day::CrewDay& crew : plan.crews) {
        for (const day::PlannedStop& stop : crew.stops) {
            INFO(stop.call.sheet.site.label);
            const std::size_t at = text.find(stop.call.sheet.site.label);
            REQUIRE(at != std::string::npos);
            const std::string rest = text.substr(at, 1400);
            CHECK(holds(rest, call_key(stop.call.sheet.call.id)));
            CHECK(holds(rest, colony_words(stop.call.outlook)));
            CHECK(holds(rest, "leave " + clock(stop.leave)));
            CHECK(holds(text, duration(stop.drive) + ", " +
                                  distance(stop.drive_length, UnitStyle::Metric)));
        }
    }
    CHECK(holds(text, "about 1,900 workers (1,100 to 3,000)"));
    CHECK(holds(text, "promised, call"));
    CHECK(holds(text, "wait 15 min, work begins"));
    CHECK(holds(text, "midday break, 30 min"));
    CHECK(holds(text, "someone here is allergic to stings"));
    CHECK(holds(text, "entrance: under the third ridge tile"));
    CHECK(holds(text, "[ ] 18 kg dry ice in 2 boxes"));
    CHECK(holds(text, "the long pole reaches 7 m"));
}

TEST_CASE("MorningText, SaysTheCallsOwnMarksWhateverElseIsSaid")
{
    day::DayPlan plan = day_of_test();
    for (day::CrewDay& crew : plan.crews) {
        for (day::PlannedStop& stop : crew.stops) {
            stop.call.sheet.call.allergic = false;
            stop.access.cautions = {"a sting can be deadly to an allergic person"};
        }
    }
    CHECK_FALSE(holds(morning_text(plan), "someone here is allergic"));
    plan.crews[0].stops[0].call.sheet.call.allergic = true;
    CHECK(holds(morning_text(plan), "someone here is allergic"));
}

TEST_CASE("MorningText, EndsWithWhatToMind")
{
    const std::string text = morning_text(day_of_test());
    const std::size_t mind = text.find("Mind today");
    REQUIRE(mind != std::string::npos);
    CHECK(mind > text.find("Left out, best first"));
    CHECK(text.find("Dry ice gives off gas") > mind);
    CHECK_FALSE(holds(text, "is safe"));
}

TEST_CASE("MorningText, FitsThePageAtAnyWidth")
{
    day::DayPlan plan = day_of_test();
    plan.crews[0].stops[0].call.sheet.site.label =
        "\u5de5\u5834\u306e\u5317\u5074\u306e\u8702\u306e\u5de3 behind the very long shed of the "
        "old tannery by the lower weir";
    plan.crews[1].crew.name =
        "Crew with a name that goes on and on beyond any reason at all, twice";
    plan.cautions.emplace_back(std::string(150, 'x'));
    const int width = GENERATE(60, 72, 80, 100, 132);
    INFO(width);
    CHECK(widest(morning_text(plan, {UnitStyle::Metric, width, false, true})) <= width);
    CHECK(widest(morning_text(plan, {UnitStyle::Us, width, false, true})) <= width);
}

TEST_CASE("MorningText, ColourOnlyAddsToTheWords")
{
    TextOptions options;
    const std::string plain = morning_text(day_of_test(), options);
    options.colour = true;
    const std::string coloured = morning_text(day_of_test(), options);
    CHECK(plain.find('\x1b') == std::string::npos);
    CHECK(coloured.size() > plain.size());
    CHECK(uncoloured(coloured) == plain);
}

TEST_CASE("MorningText, ShowsAddressesOnlyWhenAsked")
{
    TextOptions options;
    const std::string closed = morning_text(day_of_test(), options);
    CHECK_FALSE(holds(closed, "Quillfeather"));
    options.with_addresses = true;
    const std::string open = morning_text(day_of_test(), options);
    CHECK(holds(open, testing::kSecretAddress));
    CHECK_FALSE(holds(open, "Ottoline"));
    CHECK_FALSE(holds(open, "555 0142"));
}

TEST_CASE("MorningText, SpeaksUsUnits")
{
    const std::string text = morning_text(day_of_test(), {UnitStyle::Us, 100, false, false});
    CHECK(holds(text, " mi"));
    CHECK(holds(text, "15 ft up"));
    CHECK_FALSE(holds(text, " km"));
}

TEST_CASE("MorningText, WarnsOfAPlanThatWasNotVerified")
{
    day::DayPlan plan = day_of_test();
    CHECK_FALSE(holds(morning_text(plan), "NOT verified"));
    plan.checked = false;
    CHECK(holds(morning_text(plan), "NOT verified"));
}

TEST_CASE("MorningText, CopesWithADayWithoutStops")
{
    day::DayPlan plan;
    plan.day = day_of_test().day;
    CHECK(holds(morning_text(plan), "0 crews, 0 nests"));
    plan.crews.emplace_back().crew.name = "Heron truck";
    CHECK(holds(morning_text(plan), "Stays at the depot"));
}

TEST_CASE("MorningText, KeepsTerminalCodesOfTheBookAway")
{
    day::DayPlan plan = day_of_test();
    plan.crews[0].stops[0].call.sheet.site.label = "shed\x1b]0;owned\x07";
    plan.left_out[0].reason = "line\nbreak\x1b[2J";
    const std::string text = morning_text(plan);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find('\x07') == std::string::npos);
}

TEST_CASE("CrewLetter, GoesOnAfterZ")
{
    CHECK(crew_letter(0) == "A");
    CHECK(crew_letter(25) == "Z");
    CHECK(crew_letter(26) == "AA");
    CHECK(crew_letter(27) == "AB");
}
