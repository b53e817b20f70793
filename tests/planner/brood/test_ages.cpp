#include "planner/brood/ages.hpp"

#include <cmath>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::brood;

TEST_CASE("Ages, OfAGrowingNestAreYoungAndLeaveLate")
{
    const EmergenceClock even{14.8, 0.05, 0};
    const EmergenceClock growing{14.8, 0.05, 0.1};
    const EmergenceClock fading{14.8, 0.05, -0.1};
    for (const double days : {2.0, 5.0, 10.0, 14.0}) {
        CHECK(growing.left_by(days) < even.left_by(days));
        CHECK(fading.left_by(days) > even.left_by(days));
    }
    for (const auto* clock : {&even, &growing, &fading}) {
        CHECK(clock->left_by(0) == 0);
        CHECK(clock->left_by(-3) == 0);
        CHECK(clock->left_by(25) == Approx(1).margin(1e-6));
        double before = 0;
        for (double days = 0; days < 30; days += 0.25) {
            const double now = clock->left_by(days);
            CHECK(now >= before - 1e-12);
            before = now;
        }
    }
}

TEST_CASE("Ages, KnownInPartNarrowTheDaysOfEmergence")
{
    const EmergenceClock clock{14.8, 0.03, 0};
    // Sealed 2 to 4 days ago: out between 10.8 and 12.8 days from now, and a little about it.
    CHECK(clock.left_by(9, 2, 4) < 0.01);
    CHECK(clock.left_by(14.2, 2, 4) > 0.99);
    CHECK(clock.left_by(11.8, 2, 4) == Approx(0.5).margin(0.02));
    // Older than any cell stays sealed.
    CHECK(clock.left_by(0.1, 40, 50) == 1);
    // Known to the day.
    CHECK(clock.left_by(4.6, 10, 10) == Approx(0.5).margin(0.05));
}

TEST_CASE("Ages, LarvaeThatSpinOpenASealedTimeLater")
{
    const EmergenceClock clock{14.8, 0.03, 0};
    CHECK(clock.larvae_left_by(0, 2.6) == 0);
    CHECK(clock.larvae_left_by(13, 2.6) < 0.01);
    CHECK(clock.larvae_left_by(14.8 + 1.3, 2.6) == Approx(0.5).margin(0.02));
    CHECK(clock.larvae_left_by(19.5, 2.6) > 0.99);
}
