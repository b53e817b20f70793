#include "planner/day/limits.hpp"

#include "planner/day/limits_check.hpp"
#include "tests/planner/day/day_fixture.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Matchers::Contains;
using day::LimitRule;
using std::chrono::hours;
using std::chrono::minutes;

namespace {

seconds at(int hour, int minute = 0) { return hours{hour} + minutes{minute}; }

/// A way with half an hour on the ground and then a quarter of an hour on a ladder.
access::AccessPlan ladder_way(int people = 1)
{
    access::AccessPlan plan;
    plan.method = WorkMethod::Ladder;
    plan.words = "ladder";
    plan.service = minutes{45};
    access::WayOfWork way;
    way.method = WorkMethod::Ladder;
    way.people = people;
    way.stages = {{"arrive", minutes{15}, false, false, false},
                  {"suits", minutes{15}, true, false, false},
                  {"climb", minutes{15}, true, true, true}};
    plan.ways.push_back(way);
    return plan;
}

day::HourOfWeather hour_of(int hour, double celsius, std::optional<double> humidity, double gust,
                           bool thunder = false)
{
    day::HourOfWeather reading;
    reading.from = at(hour);
    reading.to = at(hour + 1);
    reading.air = Celsius{celsius};
    if (humidity) {
        reading.humidity = Fraction{*humidity};
    }
    reading.wind = MetresPerSecond{gust / 2};
    reading.gust = MetresPerSecond{gust};
    reading.thunder = thunder;
    return reading;
}

/// A crew from 8 to 16 with two nests by ladder, one at 20 minutes and one at 40.
DayOnALine ladder_day()
{
    DayOnALine day;
    day.add_crew();
    day.input.crews[0].people = 2;
    day.add_call(20, 90);
    day.add_call(40, 80);
    for (auto& row : day.input.access) {
        row[0] = ladder_way();
    }
    for (int h = 6; h < 20; ++h) {
        day.input.conditions.hours.push_back(hour_of(h, 20, 0.5, 4));
    }
    return day;
}

std::string all(const std::vector<std::string>& words)
{
    std::string text;
    for (const auto& each : words) {
        text += each + "\n";
    }
    return text;
}

const day::PlannedStop* stop_named(const day::DayPlan& plan, const std::string& label)
{
    for (const auto& stop : plan.crews.at(0).stops) {
        if (stop.call.sheet.site.label == label) {
            return &stop;
        }
    }
    return nullptr;
}

std::string why_not_of(DayOnALine& day, int call)
{
    day.input.wishes.why_not = {call_id(call)};
    const auto plan = day.plan();
    REQUIRE(plan);
    REQUIRE(plan->explained.size() == 1);
    return all(plan->explained[0].words);
}

}  // namespace

TEST_CASE("Limits, StagesKeepTheirShareOfAStretchedStop")
{
    const auto spans = day::work_spans(ladder_way(), minutes{90});
    REQUIRE(spans.size() == 3);
    CHECK(spans[2].begins == minutes{60});
    CHECK(spans[2].ends == minutes{90});
    CHECK(spans[2].on_ladder);
    CHECK_FALSE(spans[1].on_ladder);
    access::AccessPlan bare;
    bare.method = WorkMethod::Ladder;
    const auto whole = day::work_spans(bare, minutes{30});
    REQUIRE(whole.size() == 1);
    CHECK(whole[0].on_ladder);
}

TEST_CASE("Limits, AnHourIsCutForTheClimbAndNotForTheWorkBeforeIt")
{
    const auto spans = day::work_spans(ladder_way(), minutes{45});
    const std::vector<day::Barred> bars{
        {LimitRule::Wind, day::Work::Ladder, at(12), at(14), "gusts"}};
    std::vector<const day::Barred*> bites;
    const auto left = day::cut_hours({{at(8), at(16)}}, spans, bars, &bites);
    REQUIRE(left.size() == 2);
    CHECK(left[0].closes == at(11, 15));  // off the ladder at 12:00
    CHECK(left[1].opens == at(13, 30));   // on it at 14:00
    CHECK(bites.size() == 1);
    bites.clear();
    CHECK(day::cut_hours({{at(15), at(16)}}, spans, bars, &bites).size() == 1);
    CHECK(bites.empty());
}

TEST_CASE("Limits, WindKeepsLaddersOnTheGroundAndIsNamed")
{
    auto day = ladder_day();
    for (auto& hour : day.input.conditions.hours) {
        if (hour.from >= at(11)) {
            hour.gust = MetresPerSecond{11};
        }
    }
    const auto plan = day.plan();
    REQUIRE(plan);
    for (const auto& stop : plan->crews[0].stops) {
        CHECK(stop.leave <= ClockTime::at(11, 0));
    }
    REQUIRE(plan->crews[0].stops.size() == 2);
    CHECK(plan->crews[0].stops.front().bound_by.empty());  // two hours away
    CHECK_THAT(all(plan->crews[0].stops.back().bound_by),
               Contains("over before 11:00") && Contains("25 mph"));
    // All day: nothing is left, and the rule says so.
    for (auto& hour : day.input.conditions.hours) {
        hour.gust = MetresPerSecond{11};
    }
    const auto windy = day.plan();
    REQUIRE(windy);
    CHECK(windy->crews[0].stops.empty());
    CHECK_THAT(reason_of(*windy, 1), Contains("wind: wind or gusts of 11.0 m/s (25 mph)"));
    CHECK_THAT(why_not_of(day, 1),
               Contains("with a wind limit of 11.0 m/s (25 mph) instead of 8.9 m/s (20 mph) it "
                        "would fit with crew 1 at 08:20"));
}

TEST_CASE("Limits, AStopWaitsUntilThunderIsHalfAnHourGone")
{
    auto day = ladder_day();
    day.input.conditions.hours[2].thunder = true;  // 8 to 9
    const auto plan = day.plan();
    REQUIRE(plan);
    REQUIRE(plan->crews[0].stops.size() == 2);
    // Half an hour of ground work may come before the ladder goes up at 9:30.
    CHECK(plan->crews[0].stops[0].begin == ClockTime::at(9, 0));
    CHECK_THAT(all(plan->crews[0].stops[0].bound_by),
               Contains("thunder") && Contains("begins after 09:30"));
}

TEST_CASE("Limits, NoLadderInTheDark")
{
    auto day = ladder_day();
    day.input.conditions.light = day::Daylight{at(9), at(9, 40)};
    const auto plan = day.plan();
    REQUIRE(plan);
    REQUIRE(plan->crews[0].stops.size() == 1);
    CHECK(plan->crews[0].stops[0].begin >= ClockTime::at(8, 30));
    CHECK(plan->crews[0].stops[0].leave <= ClockTime::at(9, 40));
    day.input.conditions.light = day::Daylight{at(1), at(0)};
    CHECK_THAT(why_not_of(day, 1), Contains("daylight") && Contains("dark all day"));
    // Work from the ground goes on by lamp.
    day.input.access[0][0].ways.front().stages[2].on_ladder = false;
    const auto ground = day.plan();
    REQUIRE(ground);
    CHECK(ground->crews[0].stops.size() == 1);
}

TEST_CASE("Limits, NoSuitInTheHotHours")
{
    auto day = ladder_day();
    for (auto& hour : day.input.conditions.hours) {
        if (hour.from >= at(10)) {
            hour.air = Celsius{36};
            hour.humidity = Fraction{0.6};
        }
    }
    day.input.calls[0].sheet.call.allowed = {{ClockTime::at(11, 0), ClockTime::at(15, 0)}};
    const auto plan = day.plan();
    REQUIRE(plan);
    CHECK(stop_named(*plan, "nest 1") == nullptr);
    CHECK_THAT(reason_of(*plan, 1), Contains("heat: heat index"));
    REQUIRE(stop_named(*plan, "nest 2") != nullptr);
    CHECK(stop_named(*plan, "nest 2")->leave <= ClockTime::at(10, 0));
    CHECK_THAT(why_not_of(day, 1), Contains("suits worn up to 'danger'"));
}

TEST_CASE("Limits, WithoutHumidityThereIsNoHeatIndexAndItIsSaid")
{
    auto day = ladder_day();
    for (auto& hour : day.input.conditions.hours) {
        hour.air = Celsius{40};
        hour.humidity.reset();
    }
    const auto plan = day.plan();
    REQUIRE(plan);
    CHECK(plan->crews[0].stops.size() == 2);
    CHECK_THAT(all(plan->not_in_plan), Contains("heat index unknown: no humidity"));
    // The crew's own figure takes its place, and the hours are cut.
    day.input.limits.humidity = Fraction{0.6};
    const auto told = day.plan();
    REQUIRE(told);
    CHECK(told->crews[0].stops.empty());
    CHECK_THAT(all(told->not_in_plan), !Contains("heat index unknown"));
}

TEST_CASE("Limits, TwoPeopleWhereTheMethodAsksForTwo")
{
    auto day = ladder_day();
    day.input.crews[0].people = 1;
    day.input.access[0][0] = ladder_way(2);
    const auto plan = day.plan();
    REQUIRE(plan);
    CHECK(stop_named(*plan, "nest 1") == nullptr);
    CHECK_THAT(reason_of(*plan, 1), Contains("two people: crew 1 has 1 of the 2 people"));
    CHECK_THAT(why_not_of(day, 1), Contains("with one person more in crew 1 it would fit"));
}

TEST_CASE("Limits, NoiseIsADoseAndWithoutAMeasurementUnknown")
{
    auto day = ladder_day();
    CHECK_THAT(all(day.plan()->not_in_plan), Contains("dose unknown"));
    CHECK(day.plan()->crews[0].uses.empty());
    // 15 minutes at 97 dB(A): of the 30 that the stricter criterion allows, one half each.
    day.input.limits.vacuum_level = 97;
    const auto plan = day.plan();
    REQUIRE(plan);
    CHECK(plan->crews[0].stops.size() == 2);
    CHECK_THAT(all(plan->crews[0].uses), Contains("noise: 100 of at most 100 %"));
    day.input.limits.vacuum_level = 98;
    const auto loud = day.plan();
    REQUIRE(loud);
    CHECK(loud->crews[0].stops.size() == 1);
    CHECK_THAT(reason_of(*loud, 2), Contains("noise"));
    CHECK_THAT(why_not_of(day, 2), Contains("with 1 dB less at the ear it would fit"));
}

TEST_CASE("Limits, ContainersAndBoxesAreLoads")
{
    auto day = ladder_day();
    day.input.limits.bottles = 1;
    const auto one = day.plan();
    REQUIRE(one);
    CHECK(one->crews[0].stops.size() == 1);
    CHECK_THAT(reason_of(*one, 2), Contains("vacuum containers: crew 1 has no room"));
    CHECK_THAT(why_not_of(day, 2), Contains("with one vacuum container more it would fit"));
    day.input.limits.bottles.reset();
    day.input.wishes.why_not.clear();

    Gear box;
    box.kind = GearKind::ColdBox;
    day.input.crews[0].gear = {box};
    day.input.limits.cold_box = Grams{300};  // each nest may give 200
    const auto cold = day.plan();
    REQUIRE(cold);
    CHECK(cold->crews[0].stops.size() == 1);
    CHECK_THAT(all(cold->crews[0].uses), Contains("cold box: 200 of 300 g"));
    day.input.crews[0].gear[0].count = 2;
    CHECK(day.plan()->crews[0].stops.size() == 2);

    box.kind = GearKind::CombBox;
    day.input.crews[0].gear = {box};
    day.input.limits.nests_per_comb_box = 1;
    const auto comb = day.plan();
    REQUIRE(comb);
    CHECK(comb->crews[0].stops.size() == 1);
    CHECK_THAT(why_not_of(day, 2), Contains("with one comb box more on the truck of crew 1"));
}

TEST_CASE("Limits, ACrewThatCannotIsPassedOverForOneThatCan")
{
    auto day = ladder_day();
    day.add_crew(60);
    day.input.crews[1].people = 2;
    access::AccessPlan pole;
    pole.method = WorkMethod::GroundPole;
    pole.service = minutes{30};
    for (auto& row : day.input.access) {
        row.push_back(pole);
    }
    for (auto& hour : day.input.conditions.hours) {
        hour.gust = MetresPerSecond{15};  // no ladder all day
    }
    const auto plan = day.plan();
    REQUIRE(plan);
    CHECK(plan->crews[0].stops.empty());
    CHECK(plan->crews[1].stops.size() == 2);
}

TEST_CASE("Limits, WhatTheMorningUsedIsGoneWhenTheRestIsPlanned")
{
    auto day = ladder_day();
    day.input.limits.bottles = 1;
    day::Standing standing;
    standing.now = ClockTime::at(9, 30);
    day::CrewStanding crew;
    crew.free_at = ClockTime::at(9, 30);
    crew.is_out = true;
    crew.done = {call_id(1)};
    standing.crews = {crew};
    standing.done = {call_id(1)};
    day.input.standing = standing;
    day.call_at.push_back(20);  // where the crew is
    const auto plan = day.plan();
    REQUIRE(plan);
    CHECK(plan->crews[0].stops.empty());
    CHECK_THAT(reason_of(*plan, 2), Contains("vacuum containers"));
}

TEST_CASE("LimitsCheck, FindsEachRuleBrokenByHand")
{
    auto day = ladder_day();
    const auto plan = day.plan();
    REQUIRE(plan);
    const auto rules = [&](const day::DayInput& input, const std::vector<day::CrewDay>& crews) {
        std::string found;
        for (const auto& broken : day::check_limits(input, crews)) {
            found += std::string{day::text(broken.rule)} + ";";
        }
        return found;
    };
    CHECK(rules(day.input, plan->crews).empty());
    auto input = day.input;
    for (auto& hour : input.conditions.hours) {
        hour.gust = MetresPerSecond{20};
    }
    CHECK_THAT(rules(input, plan->crews), Contains("wind"));
    input = day.input;
    input.conditions.hours[1].thunder = true;  // 7 to 8, so until 8:30
    input.conditions.hours[2].thunder = true;
    CHECK_THAT(rules(input, plan->crews), Contains("thunder"));
    input = day.input;
    input.conditions.light = day::Daylight{at(12), at(13)};
    CHECK_THAT(rules(input, plan->crews), Contains("daylight"));
    input = day.input;
    for (auto& hour : input.conditions.hours) {
        hour.air = Celsius{40};
    }
    CHECK_THAT(rules(input, plan->crews), Contains("heat"));
    input = day.input;
    input.limits.vacuum_level = 110;
    CHECK_THAT(rules(input, plan->crews), Contains("noise"));
    input = day.input;
    input.limits.bottles = 1;
    CHECK_THAT(rules(input, plan->crews), Contains("vacuum containers"));
    auto crews = plan->crews;
    crews[0].stops[0].access = ladder_way(3);
    CHECK_THAT(rules(day.input, crews), Contains("two people"));
}

TEST_CASE("Limits, ABarFarFromTheWorkIsSaidForTheDayAndNotForTheStop")
{
    auto day = ladder_day();
    for (auto& hour : day.input.conditions.hours) {
        if (hour.from >= at(15)) {
            hour.gust = MetresPerSecond{11};
        }
    }
    const auto plan = day.plan();
    REQUIRE(plan);
    REQUIRE(plan->crews[0].stops.size() == 2);
    CHECK(plan->crews[0].stops[0].bound_by.empty());
    CHECK_THAT(plan->held_to, Contains("today wind: wind or gusts of 11.0 m/s"));
}

TEST_CASE("WhyNot, ACallThatOtherStopsCrowdOutIsNotBlamedOnTheLimits")
{
    DayOnALine day;
    day.add_crew(0, ClockTime::at(8, 0), ClockTime::at(9, 30));
    day.add_call(20, 90);
    day.add_call(20, 30);
    CHECK_THAT(why_not_of(day, 2), Contains("the tours as they stand do not"));
    CHECK_THAT(why_not_of(day, 1), Contains("it is in the plan: crew 1 begins there at 08:20"));
}

TEST_CASE("WhyNot, SeveralLimitsTogetherAreNamedAsSuch")
{
    auto day = ladder_day();
    for (auto& hour : day.input.conditions.hours) {
        hour.gust = MetresPerSecond{11};
        hour.thunder = true;
    }
    CHECK_THAT(why_not_of(day, 1),
               Contains("no single limit keeps it out") && Contains("without any of them"));
}

TEST_CASE("Limits, APromiseThatALimitForbidsIsAnErrorThatNamesTheRule")
{
    auto day = ladder_day();
    day.input.calls[0].sheet.call.must_take = true;
    for (auto& hour : day.input.conditions.hours) {
        hour.gust = MetresPerSecond{11};
    }
    const auto plan = day.plan();
    REQUIRE_FALSE(plan);
    CHECK(plan.error().code == ErrorCode::Infeasible);
    CHECK_THAT(plan.error().message, Contains("wind"));
    day.input.settings.allow_missing_must = true;
    const auto allowed = day.plan();
    REQUIRE(allowed);
    CHECK_THAT(all(allowed->cautions), Contains("NOT TAKEN though it must be"));
}
