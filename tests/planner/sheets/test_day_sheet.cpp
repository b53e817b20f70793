#include "planner/sheets/day_sheet.hpp"

#include <fmt/format.h>

#include "planner/sheets/practice.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sheet_day.hpp"

using namespace nestround;
using namespace nestround::sheets;
using Catch::Contains;

namespace {

std::string all_of(const std::vector<std::string>& list)
{
    std::string text;
    for (const auto& each : list) {
        text += each + "\n";
    }
    return text;
}

std::string steps_of(const StopSheet& stop)
{
    std::string text;
    for (const auto& step : stop.steps) {
        text += step.title + " [" + step.time + "]\n" + all_of(step.words);
    }
    return text;
}

std::string fact(const StopSheet& stop, const std::string& name)
{
    for (const auto& each : stop.facts) {
        if (each.name == name) {
            return each.words;
        }
    }
    return {};
}

DaySheet sheet_of_test(const DaySheetOptions& options = {})
{
    const testing::SampleWeb web;
    return day_sheet(testing::sheet_day(web), options);
}

}  // namespace

TEST_CASE("DaySheet, WaterClothGogglesGlovesAndEarProtectionAreOnEveryLoadList")
{
    // Common practice.
    const auto load = all_of(sheet_of_test().crews[0].load);
    for (const char* item :
         {"water", "cloth", "goggles", "gloves", "ear protection", "suits", "vacuum", "dry ice",
          "bottles", "bags", "honey", "long pole", "32 ft ladder", "boxes for the comb"}) {
        CAPTURE(load);
        CHECK_THAT(load, Contains(item));
    }
}

TEST_CASE("DaySheet, AHighNestIsWorkedFromTheGroundFirstThenByAShortClimb")
{
    const auto sheet = sheet_of_test();
    const auto& two = sheet.crews[0].stops[1];
    REQUIRE(two.drawing.plan.method == WorkMethod::PoleThenLadder);
    const auto steps = steps_of(two);
    CAPTURE(steps);
    // Common practice, sentence by sentence, in the order of the work.
    std::size_t at = 0;
    for (const char* part :
         {"goggles, gloves and ear protection", "tapping and suction take most",
          "heavy and blind at this length", "what it caught is known only when it comes down",
          "One person stays at the foot", "Short climb for the comb",
          "Nothing hangs loose on the climber; the vacuum's trigger is in front; a second "
          "container for comb and a bag for paper go up tethered",
          "can overheat on the ride, and adults emerge on the way"}) {
        CAPTURE(part);
        at = steps.find(part, at);
        REQUIRE(at != std::string::npos);
    }
    // The set-up in figures is that of the plan.
    const auto& ladder = *two.drawing.plan.ways.front().ladder;
    CHECK_THAT(steps, Contains(fmt::format("foot {:.1f} m from the wall (1 in 4)",
                                           ladder.foot_distance.value())));
    CHECK_THAT(steps, Contains(fmt::format("Feet at most {:.1f} m up",
                                           (ladder.stand_height - ladder.foot_level).value())));
}

TEST_CASE("DaySheet, StepsSayNothingOfGearThatTheWayDoesNotUse")
{
    const auto sheet = sheet_of_test();
    const auto by_hand = steps_of(sheet.crews[0].stops[0]);
    CHECK_THAT(by_hand, !Contains("pole") && !Contains("ladder") && !Contains("climb"));
    const auto pole = steps_of(sheet.crews[0].stops[2]);
    CHECK_THAT(pole, Contains("long pole: out to") && Contains("The comb stays up there") &&
                         !Contains("climb"));
    const auto hollow = steps_of(sheet.crews[0].stops[3]);
    CHECK_THAT(hollow, Contains("Open and close the hollow [15 min]"));
}

TEST_CASE("DaySheet, ThePlansMinutesAddUpToTheServiceTime")
{
    const auto sheet = sheet_of_test();
    for (const auto& stop : sheet.crews[0].stops) {
        seconds sum{};
        for (const auto& stage : stop.drawing.plan.ways.front().stages) {
            sum += stage.time;
        }
        CHECK(sum == stop.drawing.plan.service);
        CHECK(stop.steps.size() == stop.drawing.plan.ways.front().stages.size());
    }
}

TEST_CASE("DaySheet, TheSpotIsWashedAndStragglersAreSpokenOf")
{
    const auto sheet = sheet_of_test();
    for (const auto& stop : sheet.crews[0].stops) {
        CHECK_THAT(all_of(stop.clean_up), Contains("Scrub the spot and wash it with water"));
        CHECK_THAT(all_of(stop.tell_client), Contains("tragglers come back for a day or two"));
    }
    CHECK_THAT(all_of(sheet.crews[0].stops[1].tell_client),
               Contains("Without comb and queen they do not rebuild"));
    // Where the plan leaves the comb, that cannot be said.
    CHECK_THAT(all_of(sheet.crews[0].stops[2].tell_client),
               !Contains("do not rebuild") && Contains("comb stays up"));
}

TEST_CASE("DaySheet, ANestWithoutAHeightSaysSo")
{
    const auto sheet = sheet_of_test();
    CHECK_THAT(steps_of(sheet.crews[0].stops[4]), !Contains("°") && Contains("long pole: as far"));
    CHECK_THAT(fact(sheet.crews[0].stops[4], "nest"), Contains("ASK OR MEASURE THE HEIGHT"));
}

TEST_CASE("DaySheet, PrivateWordsOnlyWhenAskedForByName")
{
    const auto text_of = [](const DaySheet& sheet) {
        std::string text = all_of(sheet.mind);
        for (const auto& stop : sheet.crews[0].stops) {
            for (const auto& each : stop.facts) {
                text += each.words + "\n";
            }
            text += steps_of(stop) + all_of(stop.mind) + all_of(stop.tell_client);
        }
        return text;
    };
    CHECK_THAT(text_of(sheet_of_test()), !Contains("Quillfeather") && !Contains("Ottoline"));
    DaySheetOptions options;
    options.with_addresses = true;
    CHECK_THAT(text_of(sheet_of_test(options)),
               Contains("Quillfeather Row") && !Contains("Ottoline"));
    options = {};
    options.clients[CallId{testing::sample_uuid(1)}] = {"Ottoline Prewd", "555 0142"};
    const auto named = text_of(sheet_of_test(options));
    CHECK_THAT(named, Contains("Ottoline Prewd, 555 0142") && !Contains("Quillfeather"));
}

TEST_CASE("DaySheet, NothingIsCalledSafeAndEveryCautionIsThere")
{
    const auto sheet = sheet_of_test();
    std::string text = all_of(sheet.mind);
    for (const auto& stop : sheet.crews[0].stops) {
        text += steps_of(stop) + all_of(stop.mind);
        std::size_t in_steps = 0;
        for (const auto& caution : stop.drawing.plan.cautions) {
            const bool told =
                (all_of(stop.mind) + all_of(sheet.mind)).find(caution) != std::string::npos;
            in_steps += told ? 0 : 1;
            // Loose things, the second person and the heavy pole: at their place in the steps.
            CHECK((told || caution.starts_with("nothing hangs loose") ||
                   caution.starts_with("a second person") || caution.starts_with("a pole out to")));
        }
        CHECK(in_steps == (&stop == &sheet.crews[0].stops[1] ? 3 : 0));
    }
    CHECK_THAT(text, !Contains("safe"));
    CHECK_THAT(std::string{sheet_caution()},
               Contains("calls nothing safe") && Contains("Local codes, the makers' instructions "
                                                          "and licensed practice come first"));
}

TEST_CASE("DaySheet, SentencesHaveSourceAndMark")
{
    CHECK(practice("client", "stragglers").mark == Mark::Practice);
    CHECK(practice("ladder", "loose").mark == Mark::Practice);
    CHECK(practice("window", "minutes").mark == Mark::Assumption);
    CHECK_THROWS_AS(practice("client", "nothing of the kind"), Failure);
}

TEST_CASE("DaySheet, ADayWithoutStopsAndAPlanWithoutStagesAreSheetsToo")
{
    const testing::SampleWeb web;
    auto plan = testing::sheet_day_of(web, 0);
    plan.crews[0].drive_home = seconds{0};
    const auto sheet = day_sheet(plan, {});
    CHECK(sheet.crews[0].stops.empty());
    CHECK_THAT(sheet.crews[0].summary, Contains("Stays at the depot"));
    const auto plain = day_sheet(testing::sample_day(web), {});
    CHECK_THAT(steps_of(plain.crews[0].stops[0]), Contains("the long pole reaches it"));
}
