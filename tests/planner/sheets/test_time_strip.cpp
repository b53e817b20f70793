#include "planner/sheets/time_strip.hpp"

#include "planner/sheets/show.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

/// 07:00 drive, 07:30 wait, 08:00-09:00 at the nest, break to 09:30, home at 10:00.
day::CrewDay short_day()
{
    day::CrewDay crew;
    crew.depart = ClockTime::at(7, 0);
    day::PlannedStop stop;
    stop.arrive = ClockTime::at(7, 30);
    stop.begin = ClockTime::at(8, 0);
    stop.leave = ClockTime::at(9, 0);
    crew.stops = {stop};
    crew.pause = day::PlannedBreak{1, ClockTime::at(9, 0), std::chrono::minutes{30}};
    crew.home = ClockTime::at(10, 0);
    return crew;
}

}  // namespace

TEST_CASE("TimeStrip, ShowsWhatHappensWhen")
{
    const day::CrewDay crew = short_day();
    const StripScale scale = strip_scale({&crew, 1}, 14);
    CHECK(scale.first_hour == 7);
    CHECK(scale.hours == 3);
    CHECK(scale.cells_per_hour == 4);  // a cell is a quarter of an hour
    CHECK(strip_row(crew, scale) ==
          "\u2500\u2500\u00b7\u00b7"
          "1\u2588\u2588\u2588"
          "\u2591\u2591\u2500\u2500");
    CHECK(strip_hours(scale) == "7   8   9");
}

TEST_CASE("TimeStrip, IsNeverWiderThanAsked")
{
    const day::CrewDay crew = short_day();
    for (int width = 3; width < 60; ++width) {
        const StripScale scale = strip_scale({&crew, 1}, width);
        CHECK(columns(strip_row(crew, scale)) <= width);
    }
}

TEST_CASE("TimeStrip, SaysThatACrewStays")
{
    const day::CrewDay idle;
    CHECK(strip_scale({&idle, 1}, 80).hours == 0);
    CHECK(strip_row(idle, strip_scale({&idle, 1}, 80)) == "stays at the depot");
}
