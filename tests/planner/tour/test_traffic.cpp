#include "planner/tour/traffic.hpp"

#include "tests/support/catch.hpp"

using namespace nestround::tour;

TEST_CASE("Traffic, EvenTrafficIsTheMatrix")
{
    const Traffic even;
    CHECK(even.is_even());
    CHECK(even.arrive(100, 30) == 130);
    CHECK(even.leave_by(130, 30) == 100);
}

TEST_CASE("Traffic, WorkedByHand")
{
    // Half speed from 100 to 200, then double.
    const Traffic traffic{{{0, 1000}, {100, 500}, {200, 2000}}, 0};
    CHECK(traffic.arrive(50, 40) == 90);
    CHECK(traffic.arrive(80, 30) == 120);   // 20 s at full speed, 10 s of road at half
    CHECK(traffic.arrive(150, 45) == 210);  // 25 s of road in 50 s, 20 in 10
    CHECK(traffic.leave_by(120, 30) == 80);
    CHECK(traffic.leave_by(10, 30) < 0);
}

TEST_CASE("Traffic, WhoLeavesLaterNeverArrivesSooner")
{
    const Traffic once{{{0, 700}, {37, 1900}, {90, 333}}, 0};
    const Traffic daily{{{0, 700}, {37, 1900}, {90, 333}}, 120};
    for (const auto* traffic : {&once, &daily}) {
        for (const Time drive : {1, 7, 50, 400}) {
            Time last = 0;
            for (Time leave = 0; leave < 500; ++leave) {
                const Time arrive = traffic->arrive(leave, drive);
                CHECK(arrive > leave);
                CHECK(arrive >= last);
                last = arrive;
                // The latest leaving that keeps the arrival is this one or a later one, exactly.
                const Time by = traffic->leave_by(arrive, drive);
                CHECK(by >= leave);
                CHECK(traffic->arrive(by, drive) <= arrive);
                CHECK(traffic->arrive(by + 1, drive) > arrive);
                // Second by second.
                std::int64_t left = 1000 * drive;
                Time now = leave;
                for (; left > 0; ++now) {
                    const Time clock = traffic == &daily ? now % 120 : now;
                    left -= clock < 37 ? 700 : clock < 90 ? 1900 : 333;
                }
                CHECK(now == arrive);
            }
        }
    }
}
