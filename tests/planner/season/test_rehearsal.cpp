#include "planner/season/rehearsal.hpp"

#include <cmath>

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
    input.hold.patience_days = 1e9;  // nothing is lost
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
    input.hold.patience_days = 1000;
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
    input.hold.patience_days = 0.01;
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
    input.hold.patience_days = 1e9;
    input.hold.lost_nest = 0;
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

TEST_CASE("Rehearsal, ALivingNestThatIsLostIsChargedToTheRuleThatLostIt")
{
    auto input = three_nests();
    for (auto& call : input.season.calls) {
        for (auto& day : call.days) {
            day.saved = 30;
        }
    }
    input.hold.patience_days = 0.01;
    input.hold.lost_nest = 30;
    const auto charged = rehearse(input, Rule::FirstCome);
    for (auto& call : input.season.calls) {
        for (auto& day : call.days) {
            day.saved = 0;
        }
    }
    const auto free = rehearse(input, Rule::FirstCome);
    REQUIRE(charged);
    REQUIRE(free);
    REQUIRE(charged->lost >= 1);
    CHECK(charged->lost == free->lost);
    CHECK(free->worth - charged->worth == Approx(30 * charged->lost));
}

TEST_CASE("Rehearsal, ThePlannerWaitsLessWhenALostNestCosts")
{
    // Growth of 4 % a day from 20 points: more than the catch alone risks, less than catch and
    // nest.
    const auto waited = [](double lost_nest) {
        SeasonOnALine line{20};
        line.add_crew();
        line.add_call(10, [](int d) { return 20 * std::exp(0.04 * d); });
        season::RehearsalInput input;
        input.season = line.ready();
        input.look_ahead = 5;
        input.hold.lost_nest = lost_nest;
        input.season.seed = 4;
        const auto result = rehearse(input, Rule::Planner);
        return value_or_throw(result);
    };
    const auto patient = waited(0);
    const auto prompt = waited(40);
    CHECK(prompt.taken == 1);
    // Taken on the first day: what it is worth does not change after.
    CHECK(prompt.worth_by_day.front() == Approx(prompt.worth));
    CHECK(patient.worth_by_day.front() == 0);
}

TEST_CASE("Rehearsal, SeveralDrawsAreMeans")
{
    season::Rehearsal a;
    a.rule = Rule::Nearest;
    a.worth = 10;
    a.taken = 3;
    a.lost = 1;
    a.driving = seconds{100};
    a.worth_by_day = {4, 10};
    season::Rehearsal b = a;
    b.worth = 20;
    b.lost = 2;
    b.driving = seconds{300};
    b.worth_by_day = {6, 20};
    const std::vector<season::Rehearsal> draws{a, b};
    const auto mean = season::mean_of(draws);
    CHECK(mean.rule == Rule::Nearest);
    CHECK(mean.worth == Approx(15));
    CHECK(mean.taken == Approx(3));
    CHECK(mean.lost == Approx(1.5));
    CHECK(mean.driving == seconds{200});
    CHECK(mean.worth_by_day == std::vector<double>{5, 15});
    CHECK(mean.worth_by_draw == std::vector<double>{10, 20});
}
