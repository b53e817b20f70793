#include "planner/season/plan_season.hpp"

#include <numeric>

#include "tests/planner/season/season_fixture.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Matchers::Contains;
using season::SeasonFate;

namespace {

double steady(int) { return 50; }

}  // namespace

TEST_CASE("PlanSeason, AGrowingNestIsHeldAndAFadingOneTakenAtOnce")
{
    SeasonOnALine line{10};
    line.add_crew();
    line.add_call(10, [](int d) { return 20.0 + 5 * std::min(d, 6); });
    line.add_call(12, [](int d) { return 60.0 - 5 * d; });
    const auto plan = line.plan();
    CHECK(plan.checked);
    CHECK(choice_of(plan, 0).day == 6);
    CHECK_THAT(choice_of(plan, 0).words, Contains("held: worth 50 points then, 20 on 3 August"));
    CHECK(choice_of(plan, 1).day == 0);
    CHECK(choice_of(plan, 1).fate == SeasonFate::Today);
    CHECK(plan.worth == Approx(110));
}

TEST_CASE("PlanSeason, WhatOneDayCannotHoldIsSpreadByWhatItWouldLose")
{
    // Four hours a day hold three nests; the ones that lose most go first.
    SeasonOnALine line{4};
    line.add_crew();
    for (int i = 0; i < 6; ++i) {
        const double loss = 1 + i;
        line.add_call(5 + i, [loss](int d) { return 60 - loss * d; });
    }
    const auto plan = line.plan();
    for (std::size_t c = 0; c < 6; ++c) {
        CAPTURE(c);
        CHECK(choice_of(plan, c).day == (c >= 3 ? 0 : 1));
    }
    CHECK_THAT(choice_of(plan, 0).words, Contains("its best day, 3 August, would give 60"));
}

TEST_CASE("PlanSeason, DaysOffAndTheClientsDaysAreKept")
{
    SeasonOnALine line{5};
    line.add_crew();
    line.add_call(10, [](int d) { return 60 - 9 * d; });
    auto& late = line.add_call(10, steady);
    for (int d = 0; d < 3; ++d) {
        late.days[static_cast<std::size_t>(d)].allowed = false;
    }
    line.input.is_off = {true, false, false, false, false};
    const auto plan = line.plan();
    CHECK(choice_of(plan, 0).day == 1);
    CHECK(choice_of(plan, 1).day >= 3);
}

TEST_CASE("PlanSeason, ExpectedCallsTakeRoomThatWouldElseBePromised")
{
    const auto day_of_small = [](bool expect) {
        SeasonOnALine line{2};
        line.add_crew(0, ClockTime::at(9, 40));  // room for one nest a day
        line.add_call(10, [](int d) { return 30.0 + 5 * d; });
        if (expect) {
            auto& coming = line.add_call(10, [](int) { return 90.0; });
            coming.expected = true;
            coming.known_from = 1;
        }
        const auto plan = line.plan();
        CHECK(plan.expected_visits == (expect ? 1 : 0));
        return choice_of(plan, 0).day;
    };
    CHECK(day_of_small(false) == 1);
    CHECK(day_of_small(true) == 0);
}

TEST_CASE("PlanSeason, MoreThanIsWantedIsWorthLess")
{
    SeasonOnALine line{1};
    line.add_crew(0, ClockTime::at(10, 40));  // two nests
    for (int i = 0; i < 3; ++i) {
        line.add_call(10, [](int) { return 50.0; });
    }
    line.add_call(10, [](int) { return 40.0; }).call.outlook.taxon = "VMAC";
    CHECK(choice_of(line.plan(), 3).fate == SeasonFate::NotTaken);
    line.input.settings.orders["DMAC"] = {Grams{20}, 0.1};
    const auto plan = line.plan();
    CHECK(choice_of(plan, 3).fate == SeasonFate::Today);
    for (const auto& grams : plan.grams) {
        CHECK((grams.taxon == "VMAC" || grams.wanted.has_value()));
    }
}

TEST_CASE("PlanSeason, ThePlanThatStoodIsKeptUnlessTheChangePays")
{
    const auto day = [](double gain, bool standing) {
        SeasonOnALine line{3};
        line.add_crew();
        line.add_call(10, [gain](int d) { return 50 + gain * d; });
        if (standing) {
            line.input.standing[call_id(1)] = {line.input.from, "crew 1"};
        }
        const auto plan = line.plan();
        CHECK(choice_of(plan, 0).moved == (standing && choice_of(plan, 0).day != 0));
        return choice_of(plan, 0).day;
    };
    CHECK(day(2, false) == 2);
    CHECK(day(2, true) == 0);   // 4 points are less than the 8 of a change
    CHECK(day(10, true) == 2);  // 20 are more
}

TEST_CASE("PlanSeason, OneMoreCrewIsWorthWhatItTakes")
{
    SeasonOnALine line{2};
    line.add_crew(0, ClockTime::at(9, 40));
    for (int i = 0; i < 3; ++i) {
        line.add_call(10, [](int d) { return d == 0 ? 50.0 : 5.0; });
    }
    const auto plan = line.plan();
    // One nest of 50 and one of 5 are taken; a second crew on the first day takes another 50 in
    // place of the 5, at 20 minutes of driving for 0.1 each.
    CHECK(plan.crew_day_worth[0] >= 45);
    CHECK(plan.crew_day_worth[0] <= 50);
    CHECK(plan.crew_day_worth[1] <= 5);
}

TEST_CASE("PlanSeason, WhatNoDayAllowsIsSaidByItsOwnReason")
{
    SeasonOnALine line{2};
    line.add_crew(0, ClockTime::at(12, 0));
    line.add_call(10, steady).call.sheet.call.allowed = {
        {ClockTime::at(13, 0), ClockTime::at(15, 0)}};
    auto& never = line.add_call(10, steady);
    for (auto& day : never.days) {
        day.allowed = false;
    }
    line.add_call(10, steady);
    line.ready();
    line.input.access[2][0].method = WorkMethod::NotReached;
    line.input.access[2][0].words = "the pole is 2 m short";
    const auto plan = line.plan();
    CHECK_THAT(choice_of(plan, 0).words, Contains("begin after the shift ends"));
    CHECK_THAT(choice_of(plan, 1).words, Contains("client allows none"));
    CHECK_THAT(choice_of(plan, 2).words, Contains("2 m short"));
}

TEST_CASE("PlanSeason, IsTheSameForTheSameSeedAndRefusesWhatContradicts")
{
    const auto make = [] {
        SeasonOnALine line{6};
        line.add_crew();
        line.add_crew(30);
        for (int i = 0; i < 20; ++i) {
            line.add_call(3 * i, [i](int d) { return 20 + (i * 7) % 11 + (i % 3 - 1) * d; });
        }
        return line.plan();
    };
    const auto one = make();
    const auto other = make();
    CHECK(one.worth == other.worth);
    REQUIRE(one.choices.size() == other.choices.size());
    for (std::size_t i = 0; i < one.choices.size(); ++i) {
        CHECK(one.choices[i].day == other.choices[i].day);
        CHECK(one.choices[i].words == other.choices[i].words);
    }
    SeasonOnALine wrong{3};
    wrong.add_crew();
    wrong.add_call(1, steady);
    wrong.input.days = 4;
    CHECK_FALSE(season::plan_season(wrong.ready()));
}

TEST_CASE("Season, AnExpectedCallTakesTheTimeAndTheCostOfItsRoad")
{
    // One morning of four hours; a nest of an hour, and an expected call two hours of road away.
    const auto worth_of_room = [](seconds road) {
        SeasonOnALine line{1};
        line.add_crew();
        line.input.settings.day.cost_per_driving_minute = 0.25;
        line.add_call(0, [](int) { return 50.0; });
        auto& expected = line.add_call(0, [](int) { return 20.0; });
        expected.expected = true;
        expected.road = road;
        return line.plan().expected_visits;
    };
    CHECK(worth_of_room(seconds{0}) == 1);
    CHECK(worth_of_room(std::chrono::minutes{60}) == 1);   // costs 15 of its 20 points
    CHECK(worth_of_room(std::chrono::minutes{100}) == 0);  // costs 25
}

TEST_CASE("Season, ALivingNestIsWorthMoreThanItsCatchWhenItWouldBeLost")
{
    const auto taken = [](double saved) {
        SeasonOnALine line{1};
        line.add_crew();
        line.input.settings.day.cost_per_driving_minute = 0.5;
        auto& call = line.add_call(30, [](int) { return 20.0; });  // 30 points of road
        call.days[0].saved = saved;
        return choice_of(line.plan(), 0).day;
    };
    CHECK(taken(0) == -1);
    CHECK(taken(25) == 0);
}

TEST_CASE("PlanSeason, ASecondVisitTakesRoomOfItsDayAndBringsItsShare")
{
    const auto plan_with = [](seconds road) {
        SeasonOnALine line{1};
        line.add_crew(0, ClockTime::at(10, 40));  // room for two hours of work at minute 10
        for (int i = 0; i < 2; ++i) {
            line.add_call(10, [](int) { return 50.0; });
        }
        auto& call = line.input.calls[0];
        call.call.second_share = 0.3;
        season::count_second_visit(call, std::chrono::minutes{30}, road, line.input.settings, {});
        return line.plan();
    };
    const auto plan = plan_with(std::chrono::minutes{10});
    // 65 points less a point of road beat 50, and beside two and a half hours nothing else fits.
    CHECK(choice_of(plan, 0).fate == SeasonFate::Today);
    CHECK(choice_of(plan, 1).fate == SeasonFate::NotTaken);
    CHECK_THAT(choice_of(plan, 0).words, Catch::Matchers::Contains("second visit"));
    REQUIRE(plan.tours.size() == 1);
    const auto& visit = plan.tours[0].visits.at(0);
    CHECK((visit.leave.since_midnight() - visit.begin.since_midnight()) ==
          std::chrono::minutes{60 + 30 + 10});
    CHECK(plan.grams.at(0).known.middle.value() == Approx(65));
    // 15 grams are not worth 200 minutes of road: nothing is counted in.
    const auto far = plan_with(std::chrono::minutes{200});
    CHECK(choice_of(far, 0).fate == SeasonFate::Today);
    CHECK(choice_of(far, 1).fate == SeasonFate::Today);
    CHECK(far.grams.at(0).known.middle.value() == Approx(100));
}

TEST_CASE("PlanSeason, ADueSecondVisitTakesItsOwnMinutesAndMayRideLong")
{
    SeasonOnALine line{1};
    line.add_crew(0, ClockTime::at(9, 0));
    line.input.settings.day.comb_ride_limit = std::chrono::minutes{5};
    line.add_call(15, [](int) { return 20.0; });
    CHECK(choice_of(line.plan(), 0).fate == SeasonFate::NotTaken);  // a whole nest: an hour, comb
    auto& due = line.input.calls[0].call.sheet.call.second;
    due.due = std::chrono::sys_days{line.input.from};
    due.length = std::chrono::minutes{20};
    CHECK(choice_of(line.plan(), 0).fate == SeasonFate::Today);
}
