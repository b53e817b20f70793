#include "planner/day/why.hpp"

#include "tests/planner/day/day_fixture.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Matchers::Contains;

namespace {

std::string why_of(DayOnALine& day, int call)
{
    day.input.wishes.explain = {call_id(call)};
    const auto plan = day.plan();
    REQUIRE(plan);
    REQUIRE(plan->explained.size() == 1);
    std::string all;
    for (const auto& words : plan->explained[0].words) {
        all += words + "\n";
    }
    return all;
}

}  // namespace

TEST_CASE("Why, ATakenStopHasItsValueItsDetourAndItsSlack")
{
    DayOnALine day;
    day.add_crew();  // 8:00 to 16:00
    day.add_call(20, 60);
    day.add_call(50, 80);
    const auto words = why_of(day, 1);
    CHECK_THAT(words, Contains("worth 60 points"));
    // It lies on the way: no more of driving, and half an hour of work.
    CHECK_THAT(words, Contains("detour is 0 min of driving, which costs 0 points"));
    // 8:00 + 50 out, 30 of work, 50 home.
    CHECK_THAT(words, Contains("home at 10:10 instead of 10:40"));
    // The far nest comes first; home by 16:00 is 20 min of driving and 30 of work before it.
    CHECK_THAT(words, Contains("as late as 15:10") && Contains("end of the shift"));
    CHECK_THAT(words, Contains("no other call would fit"));
}

TEST_CASE("Why, ItsOwnHoursBindWhereTheyEndFirst")
{
    DayOnALine day;
    day.add_crew();
    day.add_call(20, 60).sheet.call.allowed = {{ClockTime::at(8, 0), ClockTime::at(9, 30)}};
    CHECK_THAT(why_of(day, 1), Contains("as late as 09:") && Contains("its own hours"));
}

TEST_CASE("Why, ALeftOutCallSaysWhatWouldHaveToChange")
{
    DayOnALine day;
    day.add_crew(0, ClockTime::at(8, 0), ClockTime::at(10, 0));
    day.add_call(20, 90);
    day.add_call(25, 80);
    day.add_call(25, 30);
    // 120 min: 25 out, 25 home and two nests of 30 leave 10 to spare.
    const auto words = why_of(day, 3);
    CHECK_THAT(words, Contains("not taken: no time left"));
    CHECK_THAT(words, Contains("instead of nest 2") && Contains("30 points against 80"));
    CHECK_THAT(words, Contains("ended 20 min later"));
    const auto taken = why_of(day, 1);
    CHECK_THAT(taken, Contains("in its stead is nest 3") && Contains("for 30 points"));
}

TEST_CASE("Why, WhatIsNotAskedForSaysItsRule")
{
    DayOnALine day;
    day.add_crew();
    day.add_call(20, 60);
    day.input.wishes.never = {call_id(1)};
    CHECK_THAT(why_of(day, 1), Contains("not asked for: ruled out"));
    day.input.wishes.explain = {call_id(9)};
    CHECK_FALSE(day.plan());
}

TEST_CASE("Why, AStopThatOnlyFillsAWaitMakesNobodyLate")
{
    DayOnALine day;
    day.add_crew();
    day.add_call(20, 60);
    day.add_call(30, 80).sheet.call.allowed = {{ClockTime::at(12, 0), ClockTime::at(12, 30)}};
    CHECK_THAT(why_of(day, 1), Contains("home no sooner, at 13:00"));
}
