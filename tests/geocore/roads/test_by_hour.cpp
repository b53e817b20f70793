#include "geocore/roads/by_hour.hpp"

#include "tests/support/catch.hpp"

using namespace nestround::roads;

namespace {

constexpr unsigned kMonday = 0;
constexpr unsigned kFriday = 4;
constexpr unsigned kSunday = 6;

DrivingHours at(unsigned weekday, int hour, int minute = 0)
{
    return {weekday, hour * 60 + minute, hour * 60 + minute};
}

Holds then(const char* condition, DrivingHours hours, Truck truck = {})
{
    return holds(condition, hours, truck);
}

}  // namespace

TEST_CASE("ByHour, HoursHoldFromTheirFirstMinuteToTheirLast")
{
    CHECK(then("07:00-09:00", at(kMonday, 6, 59)) == Holds::Never);
    CHECK(then("07:00-09:00", at(kMonday, 7)) == Holds::Throughout);
    CHECK(then("07:00-09:00", at(kMonday, 8, 59)) == Holds::Throughout);
    CHECK(then("07:00-09:00", at(kMonday, 9)) == Holds::Never);
    CHECK(then("07:00-09:00,16:00-18:00", at(kMonday, 17)) == Holds::Throughout);
}

TEST_CASE("ByHour, WeekdaysAloneWithHoursAndOverTheWeekend")
{
    CHECK(then("Mo-Fr 07:00-19:00; Sa 08:00-12:00", at(kFriday, 18)) == Holds::Throughout);
    CHECK(then("Mo-Fr 07:00-19:00; Sa 08:00-12:00", at(5, 18)) == Holds::Never);
    CHECK(then("Mo-Fr 07:00-19:00; Sa 08:00-12:00", at(5, 9)) == Holds::Throughout);
    CHECK(then("Sa,Su", at(kSunday, 3)) == Holds::Throughout);
    CHECK(then("Sa,Su", at(kMonday, 3)) == Holds::Never);
    CHECK(then("Fr-Mo", at(kMonday, 3)) == Holds::Throughout);
    CHECK(then("Fr-Mo", at(2, 3)) == Holds::Never);
    CHECK(then("24/7", at(2, 3)) == Holds::Throughout);
}

TEST_CASE("ByHour, ANightRunsOverMidnightFromTheDayNamed")
{
    CHECK(then("22:00-06:00", at(kMonday, 23)) == Holds::Throughout);
    CHECK(then("22:00-06:00", at(kMonday, 5)) == Holds::Throughout);
    CHECK(then("22:00-06:00", at(kMonday, 12)) == Holds::Never);
    CHECK(then("Su 22:00-06:00", at(kMonday, 5)) == Holds::Throughout);
    CHECK(then("Mo 22:00-06:00", at(kMonday, 5)) == Holds::Never);
    // A shift from Sunday 20:00 to Monday 02:00 that meets a rule of Monday only.
    CHECK(then("Mo 00:00-01:00", {kSunday, 20 * 60, 26 * 60}) == Holds::Partly);
}

TEST_CASE("ByHour, AShiftIsMetInPartOrThroughout")
{
    const DrivingHours shift{kMonday, 7 * 60, 16 * 60};
    CHECK(then("07:00-09:00", shift) == Holds::Partly);
    CHECK(then("06:00-16:00", shift) == Holds::Throughout);
    CHECK(then("06:00-12:00,12:00-20:00", shift) == Holds::Throughout);
    CHECK(then("16:00-20:00", shift) == Holds::Never);
}

TEST_CASE("ByHour, SizesAreComparedWithTheTruck")
{
    Truck truck;
    CHECK(then("weight>3.5", at(0, 8), truck) == Holds::Never);
    CHECK(then("weight>=3.5", at(0, 8), truck) == Holds::Throughout);
    truck.weight_t = 5;
    truck.height_m = 3;
    CHECK(then("weight>3.5", at(0, 8), truck) == Holds::Throughout);
    CHECK(then("weight > 3.5 AND Mo-Fr 07:00-09:00", at(0, 8), truck) == Holds::Throughout);
    CHECK(then("weight>3.5 AND Sa", at(0, 8), truck) == Holds::Never);
    CHECK(then("height<2.5", at(0, 8), truck) == Holds::Never);
}

TEST_CASE("ByHour, WhatIsNotUnderstoodSaysSo")
{
    for (const char* text :
         {"", "PH", "Mo-Fr 07:00-09:00; PH off", "Jan-Mar", "sunrise-sunset", "winter", "07:00+",
          "length>12", "Mo-Xx", "25:00-26:00", "7-9", "07:00-09:00 AND wet"}) {
        CAPTURE(text);
        CHECK(then(text, at(kMonday, 8)) == Holds::NotUnderstood);
    }
}

TEST_CASE("ByHour, StatementsArePartedOutsideBrackets")
{
    const auto list =
        conditionals("no @ (Mo-Fr 07:00-09:00; Sa 10:00-12:00); destination @ 22:00-06:00");
    REQUIRE(list.size() == 2);
    CHECK(list[0].value == "no");
    CHECK(list[0].condition == "Mo-Fr 07:00-09:00; Sa 10:00-12:00");
    CHECK(list[1].value == "destination");
    CHECK(list[1].condition == "22:00-06:00");
    CHECK(conditionals("").empty());
}
