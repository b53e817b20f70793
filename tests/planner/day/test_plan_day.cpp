#include "planner/day/plan_day.hpp"

#include <cmath>

#include "planner/day/load_list.hpp"
#include "tests/planner/day/day_fixture.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using Catch::Contains;
using test::call_id;
using test::DayOnALine;
using test::reason_of;
using test::stops_of;

TEST_CASE("PlanDay, TakesWhatFitsInDrivingOrderWithTrueTimes")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(20, 50);
    line.add_call(10, 50);
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK(plan->checked);
    CHECK(plan->left_out.empty());
    CHECK(plan->total_score == Approx(100));
    const auto& crew = plan->crews.at(0);
    REQUIRE(crew.stops.size() == 2);
    // Out 20 min, 2 x 30 min of work, back 20 min, whichever is first.
    CHECK(crew.driving == std::chrono::minutes{40});
    CHECK(crew.home - crew.depart == std::chrono::minutes{100});
    CHECK(crew.driven.value() == 40000);
    for (const auto& stop : crew.stops) {
        CHECK(stop.leave - stop.begin == std::chrono::minutes{30});
        CHECK(stop.arrive <= stop.begin);
    }
    CHECK(crew.stops[0].arrive - crew.depart == crew.stops[0].drive);
    CHECK(crew.stops[1].arrive - crew.stops[0].leave == crew.stops[1].drive);
    CHECK(crew.home - crew.stops[1].leave == crew.drive_home);
}

TEST_CASE("PlanDay, TrafficStretchesTheDrivesOfItsHours")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(20, 50);
    line.input.settings.earliest_start = ClockTime::at(8, 50);
    // Until nine at half the speed: 20 minutes of road take 40.
    line.input.traffic = {{seconds{0}, 500}, {std::chrono::hours{9}, 1000}};
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    const auto& crew = plan->crews.at(0);
    REQUIRE(crew.stops.size() == 1);
    CHECK(crew.stops[0].drive == std::chrono::minutes{40});
    CHECK(crew.stops[0].arrive - crew.depart == crew.stops[0].drive);
    CHECK(crew.drive_home == std::chrono::minutes{20});
    CHECK(crew.driving == std::chrono::minutes{60});
}

TEST_CASE("PlanDay, LeavesOutWithTheRuleThatKeepsTheCallOut")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(10, 50).sheet.call.not_before = parse_day("2026-08-06").value();
    line.add_call(10, 50).sheet.call.not_after = parse_day("2026-08-01").value();
    line.add_call(10, 50).sheet.call.state = CallState::Taken;
    line.add_call(10, 50);
    line.input.access[3][0].method = WorkMethod::NotReached;
    line.input.access[3][0].words = "nest at 12 m, pole reaches 7 m";
    line.add_call(10, 50);
    line.input.no_road = {"", "", "", "", "2.1 km from any road"};
    line.add_call(10, 0);
    line.input.no_road.emplace_back();
    line.add_call(10, 50);
    line.input.no_road.emplace_back();
    line.input.wishes.never = {call_id(7)};
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK(plan->crews.at(0).stops.empty());
    CHECK(reason_of(*plan, 1) == "not before Thursday 6 August 2026");
    CHECK(reason_of(*plan, 2) == "its last day was Saturday 1 August 2026");
    CHECK(reason_of(*plan, 3) == "already taken");
    CHECK(reason_of(*plan, 4) == "not reached with this gear: nest at 12 m, pole reaches 7 m");
    CHECK(reason_of(*plan, 5) == "no road: 2.1 km from any road");
    CHECK(reason_of(*plan, 6) == "worth nothing on this day");
    CHECK(reason_of(*plan, 7) == "ruled out for this plan");
}

TEST_CASE("PlanDay, NamesTheBindingLimitOfACallThatDidNotFit")
{
    DayOnALine line;
    line.add_crew(0, ClockTime::at(8, 0), ClockTime::at(10, 0));
    line.add_call(30, 50);  // out and back 60 min, work 30: home at 9:30
    SECTION("too far for the shift")
    {
        line.add_call(44, 40);  // 28 min more of driving and 30 of work; 30 min are left
        const auto plan = line.plan();
        REQUIRE(plan.has_value());
        CHECK_THAT(reason_of(*plan, 2), Contains("no time left") && Contains("58 min") &&
                                            Contains("28 min of driving") &&
                                            Contains("for 40 points") &&
                                            Contains("30 min before the shift ends"));
    }
    SECTION("not worth the way")
    {
        line.input.crews[0].shift_ends = ClockTime::at(18, 0);
        line.add_call(50, 12);  // 40 min more of driving at half a point: 20 points
        const auto plan = line.plan();
        REQUIRE(plan.has_value());
        CHECK_THAT(reason_of(*plan, 2), Contains("not worth the way") &&
                                            Contains("40 min more of driving") &&
                                            Contains("costs 20 points") && Contains("gives 12"));
    }
    SECTION("hours outside the shift")
    {
        line.add_call(5, 40).sheet.call.allowed = {{ClockTime::at(18, 0), ClockTime::at(20, 0)}};
        const auto plan = line.plan();
        REQUIRE(plan.has_value());
        CHECK_THAT(reason_of(*plan, 2),
                   Contains("hours begin after the shift ends") && Contains("18:00-20:00"));
    }
    SECTION("hours that another stop of more worth fills")
    {
        line.input.crews[0].shift_ends = ClockTime::at(12, 0);
        line.input.calls[0].sheet.call.allowed = {{ClockTime::at(8, 30), ClockTime::at(8, 30)}};
        line.add_call(0, 10).sheet.call.allowed = {{ClockTime::at(8, 10), ClockTime::at(8, 20)}};
        const auto plan = line.plan();
        REQUIRE(plan.has_value());
        CHECK_THAT(reason_of(*plan, 2),
                   Contains("within its hours and the day's limits, 08:10-08:20"));
    }
}

TEST_CASE("PlanDay, KeepsAllowedHoursOfSeveralSpans")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(60, 50);
    line.add_call(10, 50).sheet.call.allowed = {{ClockTime::at(6, 0), ClockTime::at(7, 0)},
                                                {ClockTime::at(13, 0), ClockTime::at(14, 0)}};
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    REQUIRE(stops_of(*plan) == std::vector<std::string>{"nest 1", "nest 2"});
    CHECK(plan->crews[0].stops[1].begin == ClockTime::at(13, 0));
}

TEST_CASE("PlanDay, TakesAMustThoughItIsWorthLittle")
{
    DayOnALine line;
    line.add_crew(0, ClockTime::at(8, 0), ClockTime::at(10, 0));
    line.add_call(30, 90);
    line.add_call(-30, 1);
    CHECK(stops_of(line.plan().value()) == std::vector<std::string>{"nest 1"});
    SECTION("by the call's own promise") { line.input.calls[1].sheet.call.must_take = true; }
    SECTION("by a wish") { line.input.wishes.must = {call_id(2)}; }
    SECTION("by a pin") { line.input.wishes.pins = {{call_id(2), ClockTime::at(9, 0)}}; }
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK(stops_of(*plan) == std::vector<std::string>{"nest 2"});
}

TEST_CASE("PlanDay, NamesTheMustsThatClash")
{
    DayOnALine line;
    line.add_crew(0, ClockTime::at(8, 0), ClockTime::at(10, 0));
    line.add_call(0, 10).sheet.call.must_take = true;
    line.add_call(30, 10).sheet.call.must_take = true;
    line.add_call(-30, 10).sheet.call.must_take = true;
    const auto refused = line.plan();
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().code == ErrorCode::Infeasible);
    // The first fits with either; the second and third are what clashes.
    CHECK_THAT(refused.error().message, Contains("nest 2") && Contains("nest 3") &&
                                            Contains("cannot all be met") && !Contains("nest 1"));

    line.input.settings.allow_missing_must = true;
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK(plan->crews[0].stops.size() == 2);
    REQUIRE_FALSE(plan->cautions.empty());
    CHECK_THAT(plan->cautions.front(), Contains("NOT TAKEN"));
}

TEST_CASE("PlanDay, RefusesAMustThatItsOwnRuleForbids")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(10, 50);
    line.input.wishes.must = {call_id(1)};
    SECTION("not its day")
    {
        line.input.calls[0].sheet.call.not_before = parse_day("2026-09-01").value();
    }
    SECTION("not reached") { line.input.access[0][0].method = WorkMethod::NotReached; }
    SECTION("no road") { line.input.no_road = {"an island"}; }
    SECTION("no hours left") { line.input.settings.latest_start = ClockTime::at(7, 0); }
    SECTION("nobody at work") { line.input.crews[0].active = false; }
    const auto refused = line.plan();
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().code == ErrorCode::Infeasible);
    CHECK_THAT(refused.error().text(), Contains("nest 1"));
}

TEST_CASE("PlanDay, APromiseForAnotherDayIsNotAnError")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(10, 50).sheet.call.must_take = true;
    line.input.calls[0].sheet.call.not_before = parse_day("2026-09-01").value();
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK_THAT(reason_of(*plan, 1), Contains("not before"));
}

TEST_CASE("PlanDay, BeginsAPinnedCallToTheMinute")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(10, 50);
    line.add_call(20, 50);
    line.input.wishes.pins = {{call_id(1), ClockTime::at(11, 15)}};
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    bool seen = false;
    for (const auto& stop : plan->crews[0].stops) {
        if (stop.call.sheet.call.id == call_id(1)) {
            seen = true;
            CHECK(stop.begin == ClockTime::at(11, 15));
        }
    }
    CHECK(seen);

    line.input.calls[0].sheet.call.allowed = {{ClockTime::at(8, 0), ClockTime::at(9, 0)}};
    const auto refused = line.plan();
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().code == ErrorCode::InvalidInput);
    CHECK_THAT(refused.error().text(), Contains("nest 1") && Contains("11:15"));
}

TEST_CASE("PlanDay, RefusesInputThatContradictsItself")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(10, 50);
    SECTION("must and never")
    {
        line.input.wishes.must = line.input.wishes.never = {call_id(1)};
        CHECK(line.plan().error().code == ErrorCode::InvalidInput);
    }
    SECTION("a call nobody knows")
    {
        line.input.wishes.must = {call_id(9)};
        CHECK(line.plan().error().code == ErrorCode::NotFound);
    }
    SECTION("a score that is no number")
    {
        line.input.calls[0].score = std::nan("");
        CHECK_THAT(line.plan().error().text(), Contains("nest 1") && Contains("score"));
    }
    SECTION("a matrix of the wrong size")
    {
        static_cast<void>(line.plan());
        line.input.travel.rows = 1;
        CHECK_THAT(day::plan_day(line.input).error().text(), Contains("matrix"));
    }
    SECTION("a factor that is no number")
    {
        line.input.settings.service_factor = std::nan("");
        CHECK_THAT(line.plan().error().text(), Contains("factor"));
    }
    SECTION("a shift that ends before it begins")
    {
        line.input.crews[0].shift_ends = ClockTime::at(1, 0);
        CHECK_THAT(line.plan().error().text(), Contains("shift of crew 1"));
    }
}

TEST_CASE("PlanDay, SharesTheCallsOutAmongCrewsWithTheirOwnDepots")
{
    DayOnALine line;
    line.add_crew(0);
    line.add_crew(100);
    line.add_crew(50);
    line.input.crews[2].active = false;
    line.add_call(5, 50);
    line.add_call(95, 50);
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    REQUIRE(plan->crews.size() == 2);
    CHECK(stops_of(*plan, 0) == std::vector<std::string>{"nest 1"});
    CHECK(stops_of(*plan, 1) == std::vector<std::string>{"nest 2"});
}

TEST_CASE("PlanDay, GivesACallToTheCrewThatReachesIt")
{
    DayOnALine line;
    line.add_crew(0);
    line.add_crew(100);
    line.add_call(5, 200);
    line.input.access[0][0].method = WorkMethod::NotReached;
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK(stops_of(*plan, 0).empty());
    CHECK(stops_of(*plan, 1) == std::vector<std::string>{"nest 1"});
}

TEST_CASE("PlanDay, BreaksAtMidday")
{
    DayOnALine line;
    line.add_crew();
    for (int i = 0; i < 12; ++i) {
        line.add_call(5 + i, 50);
    }
    line.input.settings.lunch = {ClockTime::at(11, 30), ClockTime::at(13, 0)};
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    const auto& crew = plan->crews[0];
    REQUIRE(crew.pause.has_value());
    CHECK(crew.pause->begin >= ClockTime::at(11, 30));
    CHECK(crew.pause->begin <= ClockTime::at(13, 0));
    CHECK(crew.pause->length == std::chrono::minutes{30});
    const std::size_t after = crew.pause->after_stops;
    if (after > 0) {
        CHECK(crew.pause->begin >= crew.stops[after - 1].leave);
    }
    if (after < crew.stops.size()) {
        CHECK(crew.stops[after].arrive >=
              crew.pause->begin + crew.pause->length + crew.stops[after].drive);
    }
}

TEST_CASE("PlanDay, BringsCombHomeInTime")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(10, 50);
    line.add_call(60, 50);
    line.input.settings.comb_ride_limit = std::chrono::minutes{70};
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    // Whichever is first rides while the other is worked: only the far one first keeps 70 minutes
    // for neither more nor less than 50 + 30 + 10 = 90, so one has to stay.
    REQUIRE(plan->crews[0].stops.size() == 1);
    for (const auto& stop : plan->crews[0].stops) {
        CHECK(plan->crews[0].home - stop.leave <= std::chrono::minutes{70});
    }
    line.input.settings.comb_ride_limit = std::chrono::minutes{90};
    const auto both = line.plan();
    REQUIRE(both.has_value());
    CHECK(stops_of(*both) == std::vector<std::string>{"nest 2", "nest 1"});
}

TEST_CASE("PlanDay, IsTheSameForTheSameSeed")
{
    DayOnALine line;
    line.add_crew();
    line.add_crew(30);
    for (int i = 0; i < 45; ++i) {
        line.add_call((i * 37) % 60 - 20, 20 + (i * 53) % 40);
    }
    const auto first = line.plan();
    const auto again = line.plan();
    REQUIRE(first.has_value());
    REQUIRE(again.has_value());
    CHECK(stops_of(*first, 0) == stops_of(*again, 0));
    CHECK(stops_of(*first, 1) == stops_of(*again, 1));
    REQUIRE_FALSE(first->left_out.empty());
    CHECK(first->left_out.front().reason == again->left_out.front().reason);
}

TEST_CASE("PlanDay, SaysHowFarItMayBeFromTheBest")
{
    DayOnALine line;
    line.add_crew();
    for (int i = 0; i < 8; ++i) {
        line.add_call(10 + i, 50);
    }
    const auto small = line.plan();
    REQUIRE(small.has_value());
    CHECK(small->within_percent == 0.0);  // solved exactly

    DayOnALine wide;
    wide.add_crew();
    wide.add_crew(30);
    for (int i = 0; i < 45; ++i) {
        wide.add_call((i * 37) % 60 - 20, 20 + (i * 53) % 40);
    }
    const auto large = wide.plan();
    REQUIRE(large.has_value());
    REQUIRE_FALSE(large->left_out.empty());
    REQUIRE(large->within_percent.has_value());
    CHECK(*large->within_percent >= 0);
    CHECK(*large->within_percent < 25);
    // A much shorter search is worth less, or no more; what it may lack is said, and is more.
    wide.input.iterations = 1;
    const auto hasty = wide.plan();
    REQUIRE(hasty.has_value());
    REQUIRE(hasty->within_percent.has_value());
    CHECK(*hasty->within_percent >= *large->within_percent);
}

TEST_CASE("PlanDay, StopsWhenAskedAndStillHasACheckedPlan")
{
    DayOnALine line;
    line.add_crew();
    for (int i = 0; i < 15; ++i) {  // fewer would be solved exactly, without a search
        line.add_call(10 + i, 50);
    }
    line.input.iterations = 1000000000;
    int asked = 0;
    line.input.keep_going = [&](double) { return ++asked < 3; };
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK(asked == 3);
    CHECK(plan->checked);
    CHECK(plan->crews[0].stops.size() > 5);
}

TEST_CASE("LoadList, HoldsTheStopsGearAndWhatIsOnEveryList")
{
    DayOnALine line;
    line.add_crew();
    line.add_call(10, 50);
    line.add_call(20, 50);
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    std::string all;
    for (const auto& item : plan->crews[0].load) {
        all += item + "\n";
    }
    for (const char* word : {"pole 7 m", "water", "cloth", "goggles", "gloves", "ear protection",
                             "suits", "vacuum", "dry ice", "estimate", "2 vacuum containers"}) {
        CHECK_THAT(all, Contains(word));
    }
    CHECK(all.find("pole 7 m") == all.rfind("pole 7 m"));
}

TEST_CASE("LoadList, WeighsDryIceByTheCatchAndTheHours")
{
    // 1 kg caught: 0.84 kg; 8 h of a box that loses 4.5 kg a day: 1.5 kg; half as much again:
    // 3.51 kg, rounded up to half kilograms.
    CHECK(day::dry_ice_kilograms(Grams{1000}, std::chrono::hours{8}) == Approx(4.0));
    CHECK(day::dry_ice_kilograms(Grams{0}, seconds{0}) == Approx(0));
    CHECK(day::dry_ice_kilograms(Grams{2000}, std::chrono::hours{8}) >
          day::dry_ice_kilograms(Grams{1000}, std::chrono::hours{8}));
}

TEST_CASE("PlanDay, BringsNoMoreCombThanFindsRoomAtHome")
{
    DayOnALine line;
    line.add_crew();
    line.add_crew();
    for (const int minutes : {10, 12, 14, 16}) {
        line.add_call(minutes, 50 + minutes);
    }
    CHECK(line.plan()->left_out.empty());
    line.input.settings.comb_room = 2;  // for both crews together
    const auto plan = line.plan();
    REQUIRE(plan.has_value());
    CHECK(plan->checked);
    CHECK(plan->total_score == Approx(66 + 64));
    REQUIRE(plan->left_out.size() == 2);
    CHECK_THAT(plan->left_out.front().reason, Contains("no room for its comb at home: 2 more"));
    // What was promised is taken all the same, and told.
    for (auto& call : line.input.calls) {
        call.sheet.call.must_take = true;
    }
    const auto promised = line.plan();
    REQUIRE(promised.has_value());
    CHECK(promised->left_out.empty());
    CHECK_THAT(promised->cautions.front(), Contains("holds 2 more, and 4 nests are promised"));
    line.input.settings.comb_room = 0;
    for (auto& call : line.input.calls) {
        call.sheet.call.must_take = false;
    }
    CHECK(line.plan()->left_out.size() == 4);
}

TEST_CASE("PlanDay, OvertimeIsWorkedWhereTheNestPaysForIt")
{
    // One crew until 9:00; half an hour of work 20 minutes out, home at 9:10.
    const auto planned = [](double score, std::optional<seconds> overtime) {
        DayOnALine line;
        line.add_crew(0, ClockTime::at(8, 0), ClockTime::at(9, 0));
        line.add_call(20, score);
        line.input.settings.overtime = overtime;
        line.input.settings.cost_per_overtime_minute = 3;
        return value_or_throw(line.plan());
    };
    const auto hour = std::optional<seconds>{std::chrono::hours{1}};
    const auto never = planned(200, std::nullopt);
    CHECK(never.crews.at(0).stops.empty());
    // Ten minutes of overtime cost 30 points, forty of driving 20.
    const auto taken = planned(60, hour);
    REQUIRE(taken.crews.at(0).stops.size() == 1);
    CHECK(taken.crews.at(0).home == ClockTime::at(9, 10));
    CHECK_THAT(taken.cautions.front(),
               Contains("home at 09:10, 10 min after its shift") && Contains("30 points"));
    const auto poor = planned(45, hour);
    CHECK(poor.crews.at(0).stops.empty());
    CHECK_THAT(reason_of(poor, 1), Contains("10 min of overtime") && Contains("cost 50 points"));
    // Five minutes of overtime are not enough for it.
    const auto tight = planned(200, seconds{300});
    CHECK(tight.crews.at(0).stops.empty());
    DayOnALine line;
    line.add_crew();
    line.input.settings.overtime = seconds{-60};
    CHECK(!line.plan());
}

TEST_CASE("PlanDay, ADayWithoutOvertimeIsTheSameAsOneWithDearOvertime")
{
    const auto planned = [](std::optional<seconds> overtime) {
        DayOnALine line;
        line.add_crew(0, ClockTime::at(8, 0), ClockTime::at(12, 0));
        for (int i = 0; i < 12; ++i) {
            line.add_call(7 * i - 30, 20 + 3 * i);
        }
        line.input.settings.overtime = overtime;
        line.input.settings.cost_per_overtime_minute = 1000;
        return value_or_throw(line.plan());
    };
    const auto without = planned(std::nullopt);
    const auto dear = planned(std::chrono::hours{3});
    CHECK(dear.total_score == Approx(without.total_score));
    CHECK(dear.crews.at(0).home <= ClockTime::at(12, 0));
}
