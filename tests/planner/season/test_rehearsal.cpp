#include "planner/season/rehearsal.hpp"

#include "tests/planner/season/season_fixture.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::test;
using season::rehearse;
using season::Rule;

namespace {

season::RehearsalInput three_nests()
{
    SeasonOnALine line{8};
    line.add_crew(0, ClockTime::at(9, 50));  // one nest a day
    line.add_call(10, [](int) { return 20.0; });
    line.add_call(20, [](int) { return 80.0; });
    line.add_call(5, [](int) { return 10.0; });
    line.input.calls[0].known_from = 0;
    line.input.calls[1].known_from = 1;
    line.input.calls[2].known_from = 0;
    season::RehearsalInput input;
    input.season = line.ready();
    input.patience_days = 1e9;  // nothing is lost
    return input;
}

}  // namespace

TEST_CASE("Rehearsal, EveryRuleTakesAllWhenThereIsTimeAndNothingIsLost")
{
    const auto input = three_nests();
    double grams = -1;
    for (const auto rule :
         {Rule::Planner, Rule::PlannerAtWill, Rule::FirstCome, Rule::Nearest, Rule::Greatest}) {
        CAPTURE(season::text(rule));
        const auto result = rehearse(input, rule);
        REQUIRE(result);
        CHECK(result->taken == 3);
        CHECK(result->lost == 0);
        CHECK(result->still_waiting == 0);
        // The draw is the same for all rules, and these nests do not change with time.
        CHECK((grams < 0 || result->grams.value() == Approx(grams)));
        grams = result->grams.value();
        CHECK(result->worth_by_day.size() == 8);
        CHECK(result->worth_by_day.back() == Approx(result->worth));
    }
}

TEST_CASE("Rehearsal, ThePlannerWaitsForGrowthAndTheRulesDoNot")
{
    SeasonOnALine line{12};
    line.add_crew();
    for (int i = 0; i < 4; ++i) {
        line.add_call(10 + i, [](int d) { return 10.0 + 6 * d; });
    }
    season::RehearsalInput input;
    input.season = line.ready();
    input.patience_days = 1000;
    const auto planner = rehearse(input, Rule::Planner);
    const auto first = rehearse(input, Rule::FirstCome);
    REQUIRE(planner);
    REQUIRE(first);
    CHECK(planner->worth > 2 * first->worth);
    CHECK(planner->taken == 4);
}

TEST_CASE("Rehearsal, PeopleWhoWaitAreCountedAndCharged")
{
    auto input = three_nests();
    input.season.calls[2].call.sheet.call.near_door = true;
    const auto nearest = rehearse(input, Rule::Nearest);    // takes nest 3 on the first day
    const auto greatest = rehearse(input, Rule::Greatest);  // takes it last
    REQUIRE(nearest);
    REQUIRE(greatest);
    CHECK(nearest->people_days == 0);
    CHECK(greatest->people_days == 2);
    CHECK(nearest->worth > greatest->worth);
}

TEST_CASE("Rehearsal, ImpatientClientsAreLostToAllRulesAlike")
{
    auto input = three_nests();
    input.patience_days = 0.01;
    const auto result = rehearse(input, Rule::FirstCome);
    REQUIRE(result);
    CHECK(result->lost >= 1);
    CHECK(result->taken + result->lost + result->still_waiting == 3);
}

TEST_CASE("Rehearsal, ANestThatDoesNotPayItsWayIsTakenWhereDrivingIsFree")
{
    SeasonOnALine line{6};
    line.add_crew();
    line.add_call(10, [](int) { return 60.0; });
    line.add_call(60, [](int) { return 6.0; });  // two hours of road: 12 points
    season::RehearsalInput input;
    input.season = line.ready();
    input.patience_days = 1e9;
    input.season.settings.orders[input.season.calls[0].call.outlook.taxon] = {Grams{20}, 1};
    const auto planner = rehearse(input, Rule::Planner);
    const auto at_will = rehearse(input, Rule::PlannerAtWill);
    const auto first = rehearse(input, Rule::FirstCome);
    REQUIRE(planner);
    REQUIRE(at_will);
    REQUIRE(first);
    CHECK(planner->taken == 1);
    CHECK(at_will->taken == 2);
    CHECK(first->taken == 2);
    // Charged alike for driving, whatever the plan was made for.
    CHECK(planner->worth > at_will->worth);
    CHECK(at_will->grams > planner->grams);
    // More was caught than the order wants; only what it wants counts.
    CHECK(planner->ordered == Grams{20});
    CHECK(at_will->ordered == Grams{20});
    CHECK(planner->grams.value() > 20);
}
