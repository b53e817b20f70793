#include "planner/access/ladder.hpp"

#include <cmath>
#include <limits>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::access;

TEST_CASE("Ladder, FootStandsAQuarterOut")
{
    const auto set = ladder::set_up(Metres{5});
    REQUIRE(set);
    CHECK(set->foot_distance.value() == Approx(set->working_length.value() / 4));
    // Pythagoras.
    CHECK(std::hypot(set->foot_distance.value(), set->support_height.value()) ==
          Approx(set->working_length.value()));
    CHECK(set->support_height.value() == Approx(5));
}

TEST_CASE("Ladder, GroundThatFallsAwayWantsALongerLadder")
{
    const auto level = ladder::set_up(Metres{6});
    const auto falls = ladder::set_up(Metres{6}, 0.1);
    const auto rises = ladder::set_up(Metres{6}, -0.1);
    REQUIRE((level && falls && rises));
    CHECK(falls->working_length > level->working_length);
    CHECK(rises->working_length < level->working_length);
    CHECK(std::hypot(falls->foot_distance.value(), falls->support_height.value()) ==
          Approx(falls->working_length.value()));
    CHECK(falls->support_height.value() == Approx(6 + 0.1 * falls->foot_distance.value()));
}

TEST_CASE("Ladder, RefusesWhatCannotStand")
{
    CHECK_FALSE(ladder::set_up(Metres{0}));
    CHECK_FALSE(ladder::set_up(Metres{-2}));
    CHECK_FALSE(ladder::set_up(Metres{std::numeric_limits<double>::quiet_NaN()}));
    CHECK_FALSE(ladder::set_up(Metres{std::numeric_limits<double>::infinity()}));
    CHECK_FALSE(ladder::set_up(Metres{5}, 4));  // steeper than the ladder
    CHECK_FALSE(ladder::longest(Metres{0.5}));  // shorter than its overlap
    CHECK_FALSE(ladder::longest(Metres{-1}));
    CHECK_FALSE(ladder::longest(metres_from_feet(61)));
    CHECK_FALSE(ladder::overlap(Metres{std::numeric_limits<double>::quiet_NaN()}));
}

TEST_CASE("Ladder, StandingAndItsLengthAreInverse")
{
    for (const double height : {0.5, 2.0, 4.4, 8.0}) {
        CHECK(ladder::standing_height(ladder::length_to_stand_at(Metres{height})).value() ==
              Approx(height));
    }
}

TEST_CASE("Pole, TipIsAtTheEndOfABentPole")
{
    // 5 m less 4 % is 4.8; across 1.4: sqrt(23.04 - 1.96) = 4.591; held at 1.3.
    const auto tip = pole_tip(Metres{5}, Metres{1.3}, Metres{1.4}, Fraction{0.04});
    REQUIRE(tip);
    CHECK(tip->value() == Approx(1.3 + std::sqrt(21.08)));
    CHECK_FALSE(pole_tip(Metres{1}, Metres{1.3}, Metres{1.4}, Fraction{0.04}));
    CHECK_FALSE(pole_tip(Metres{-5}, Metres{1.3}, Metres{1.4}, Fraction{0.04}));
    CHECK_FALSE(pole_tip(Metres{std::numeric_limits<double>::quiet_NaN()}, Metres{1.3}, Metres{1.4},
                         Fraction{0}));
}
