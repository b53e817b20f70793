#include "planner/day/standing.hpp"

#include "tests/planner/day/day_fixture.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Matchers::Contains;
using day::PlanChangeKind;

namespace {

/// A line with where its crews are, in minutes of driving from the depot.
struct RestOfADay : DayOnALine {
    void stand(int minute, ClockTime now, std::size_t crew = 0)
    {
        if (!input.standing) {
            input.standing.emplace();
            input.standing->crews.resize(input.crews.size());
            where.assign(input.crews.size(), 0);
        }
        where[crew] = minute;
        input.standing->now = now;
        input.standing->crews[crew].free_at = now;
        input.standing->crews[crew].is_out = true;
    }
    void planned(int call, ClockTime begin, std::size_t crew = 0)
    {
        input.standing->crews[crew].planned.emplace_back(call_id(call), begin);
    }
    Result<day::DayPlan> rest()
    {
        call_at.insert(call_at.end(), where.begin(), where.end());
        return plan();
    }
    std::vector<int> where;
};

std::string words_of(const day::DayPlan& plan, int call, PlanChangeKind kind)
{
    for (const auto& change : plan.changes) {
        if (change.call.sheet.call.id == call_id(call) && change.kind == kind) {
            return change.words;
        }
    }
    return "no such change";
}

}  // namespace

TEST_CASE("Standing, ARestIsDrivenFromWhereTheCrewIsAndWhatIsDoneStands")
{
    RestOfADay day;
    day.add_crew();
    day.add_call(10, 60);
    day.add_call(40, 60);
    day.stand(30, ClockTime::at(11, 20));
    day.input.standing->done = {call_id(1)};
    day.planned(2, ClockTime::at(11, 30));
    const auto plan = day.rest();
    REQUIRE(plan);
    CHECK(plan->from == ClockTime::at(11, 20));
    CHECK(stops_of(*plan) == std::vector<std::string>{"nest 2"});
    CHECK(plan->crews[0].stops[0].begin == ClockTime::at(11, 30));  // ten minutes on from 30
    CHECK(plan->crews[0].home == ClockTime::at(12, 40));            // 30 of work, 40 home
    CHECK(plan->left_out.empty());                                  // done is not left out
    CHECK(plan->checked);
    CHECK_THAT(words_of(*plan, 2, PlanChangeKind::Kept), Contains("as told"));
}

TEST_CASE("Standing, ALateCrewDropsTheLeastAndSaysWhy")
{
    RestOfADay day;
    day.add_crew(0, ClockTime::at(8, 0), ClockTime::at(13, 0));
    day.add_call(20, 90);
    day.add_call(40, 20);
    day.add_call(20, 70);
    day.stand(0, ClockTime::at(11, 0));
    day.planned(1, ClockTime::at(10, 20));
    day.planned(2, ClockTime::at(11, 10));
    day.planned(3, ClockTime::at(12, 0));
    const auto plan = day.rest();
    REQUIRE(plan);
    // 120 min: 20 + 30 + 30 + 20 = 100 fits; the way to 40 and back does not.
    CHECK(stops_of(*plan) == std::vector<std::string>{"nest 1", "nest 3"});
    CHECK_THAT(words_of(*plan, 2, PlanChangeKind::Dropped), Contains("was 11:10"));
    CHECK_THAT(words_of(*plan, 1, PlanChangeKind::Later), Contains("11:20 instead of 10:20"));
    CHECK(plan->changes.front().kind == PlanChangeKind::Dropped);  // told first
}

TEST_CASE("Standing, OfPlansNearlyAsGoodTheOneThatStandsIsKept")
{
    // Going out and taking them on the way back costs 2 minutes less of driving: not worth a
    // change.
    const auto order = [](double change_costs) {
        RestOfADay day;
        day.add_crew();
        day.add_call(20, 60);
        day.add_call(10, 60);
        day.add_call(21, 60);
        day.input.settings.cost_per_driving_minute = 0.5;
        day.stand(0, ClockTime::at(9, 0));
        day.input.standing->change_costs = change_costs;
        day.planned(1, ClockTime::at(9, 20));
        day.planned(2, ClockTime::at(10, 0));
        day.planned(3, ClockTime::at(10, 40));
        const auto plan = day.rest();
        REQUIRE(plan);
        return stops_of(*plan);
    };
    CHECK(order(30) == std::vector<std::string>{"nest 1", "nest 2", "nest 3"});
    CHECK(order(0) != std::vector<std::string>{"nest 1", "nest 2", "nest 3"});
}

TEST_CASE("Standing, APromiseOutOfReachIsToldAndTheRestIsPlanned")
{
    RestOfADay day;
    day.add_crew(0, ClockTime::at(8, 0), ClockTime::at(12, 0));
    day.add_call(50, 90).sheet.call.must_take = true;
    day.add_call(10, 40);
    day.input.settings.allow_missing_must = true;
    day.stand(0, ClockTime::at(10, 30));
    day.planned(1, ClockTime::at(9, 0));
    day.planned(2, ClockTime::at(10, 40));
    const auto plan = day.rest();
    REQUIRE(plan);
    CHECK(stops_of(*plan) == std::vector<std::string>{"nest 2"});
    CHECK_THAT(words_of(*plan, 1, PlanChangeKind::Dropped), Contains("no longer today"));
    std::string all;
    for (const auto& caution : plan->cautions) {
        all += caution;
    }
    CHECK_THAT(all, Contains("NOT TAKEN though it must be"));
}

TEST_CASE("Standing, LiveCombAboardBringsTheReturnForward")
{
    RestOfADay day;
    day.add_crew();
    day.add_call(60, 100);
    day.stand(10, ClockTime::at(10, 0));
    day.input.standing->crews[0].home_by = ClockTime::at(10, 30);
    const auto plan = day.rest();
    REQUIRE(plan);
    CHECK(plan->crews[0].stops.empty());
    CHECK(plan->crews[0].home == ClockTime::at(10, 10));  // it is out, so it drives home
    CHECK(plan->crews[0].driving == std::chrono::minutes{10});
}

TEST_CASE("Standing, AnotherCrewMayTakeOverAndTheClientIsTold")
{
    RestOfADay day;
    day.add_crew(0, ClockTime::at(8, 0), ClockTime::at(12, 0));
    day.add_crew(0, ClockTime::at(8, 0), ClockTime::at(16, 0));
    day.add_call(50, 90);
    day.stand(0, ClockTime::at(11, 0), 0);
    day.stand(0, ClockTime::at(11, 0), 1);
    day.planned(1, ClockTime::at(9, 30), 0);
    const auto plan = day.rest();
    REQUIRE(plan);
    CHECK(stops_of(*plan, 1) == std::vector<std::string>{"nest 1"});
    CHECK_THAT(words_of(*plan, 1, PlanChangeKind::OtherCrew), Contains("crew 2 goes now"));
}

TEST_CASE("Standing, ChangesAreCountedAsWhatAPersonWouldCallOne")
{
    const auto plan_of = [](std::vector<std::vector<std::size_t>> orders) {
        tour::Plan plan;
        for (std::size_t v = 0; v < orders.size(); ++v) {
            tour::Tour tour;
            tour.vehicle = v;
            for (const auto j : orders[v]) {
                tour::Visit visit;
                visit.job = j;
                tour.visits.push_back(visit);
            }
            plan.tours.push_back(tour);
        }
        return plan;
    };
    const std::vector<std::vector<std::size_t>> was{{1, 2, 3, 4}, {5}};
    CHECK(day::count_changes(was, plan_of({{1, 2, 3, 4}, {5}})) == 0);
    CHECK(day::count_changes(was, plan_of({{4, 1, 2, 3}, {5}})) == 1);     // one overtakes three
    CHECK(day::count_changes(was, plan_of({{1, 2, 3}, {5}})) == 1);        // dropped
    CHECK(day::count_changes(was, plan_of({{1, 2, 3, 4, 9}, {5}})) == 1);  // added
    CHECK(day::count_changes(was, plan_of({{1, 2, 3}, {4, 5}})) == 1);     // another crew
    CHECK(day::count_changes(was, plan_of({{}, {}})) == 5);
}

namespace {

/// One nest with both its visits and another nest still to come.
RestOfADay with_second(ClockTime shift_ends, ClockTime now)
{
    RestOfADay day;
    day.add_crew(0, ClockTime::at(8, 0), shift_ends);
    auto& call = day.add_call(10, 100);
    call.sheet.call.second.after = std::chrono::hours{2};
    call.second_score = 25;
    call.second_share = 0.25;
    day.add_call(20, 40);
    day.stand(0, now);
    day.planned(1, ClockTime::at(10, 10));
    day.planned(2, ClockTime::at(10, 50));
    day.planned(1, ClockTime::at(12, 40));
    return day;
}

}  // namespace

TEST_CASE("Standing, BothVisitsOfANestAreKeptAsTold")
{
    auto day = with_second(ClockTime::at(17, 0), ClockTime::at(10, 0));
    const auto plan = day.rest();
    REQUIRE(plan);
    CHECK(stops_of(*plan) == std::vector<std::string>{"nest 1", "nest 2", "nest 1, second visit"});
    REQUIRE(plan->changes.size() == 3);
    for (const auto& change : plan->changes) {
        CHECK(change.kind == PlanChangeKind::Kept);
        CHECK_THAT(change.words, Contains("as told"));
    }
    CHECK(plan->checked);
}

TEST_CASE("Standing, ASecondVisitThatNoLongerFitsIsDroppedByItself")
{
    auto day = with_second(ClockTime::at(12, 30), ClockTime::at(10, 0));
    const auto plan = day.rest();
    REQUIRE(plan);
    CHECK(stops_of(*plan) == std::vector<std::string>{"nest 1", "nest 2"});
    CHECK_THAT(words_of(*plan, 1, PlanChangeKind::Dropped),
               Contains("was 12:40") && Contains("second visit"));
    CHECK_THAT(words_of(*plan, 1, PlanChangeKind::Kept), Contains("as told"));
}

TEST_CASE("Standing, ASecondVisitWhoseFirstIsDoneIsKept")
{
    auto day = with_second(ClockTime::at(17, 0), ClockTime::at(10, 45));
    day.input.standing->crews[0].planned.erase(day.input.standing->crews[0].planned.begin());
    day.input.standing->done = {call_id(1)};
    day.input.standing->crews[0].done = {call_id(1)};
    const auto plan = day.rest();
    REQUIRE(plan);
    REQUIRE(stops_of(*plan).size() == 2);
    CHECK(stops_of(*plan)[1] == "nest 1, second visit");
    CHECK_THAT(words_of(*plan, 1, PlanChangeKind::Kept), Contains("as told"));
}
