// Published ladder tables and worked examples; sources as in planner/access/sources.csv.
#include <cmath>

#include "planner/access/figures.hpp"
#include "planner/access/ladder.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::access;

// 29 CFR 1926.1053(a)(1)(ii) tests ladders at 75 1/2 degrees; a quarter of the working length is
// arccos(1/4) = 75.5225.
TEST_CASE("Published, AngleOfALadder")
{
    CHECK(ladder::angle_degrees() == Approx(75.5225).margin(1e-3));
    CHECK(ladder::angle_degrees() == Approx(75.5).margin(0.05));
}

// 29 CFR 1910.26(a)(2), overlap of two-section ladders by nominal size.
TEST_CASE("Published, OverlapOfSections")
{
    for (const auto& [nominal, kept] : {std::pair{16, 3},
                                        {24, 3},
                                        {32, 3},
                                        {36, 3},
                                        {37, 4},
                                        {40, 4},
                                        {48, 4},
                                        {49, 5},
                                        {60, 5}}) {
        const auto overlap = ladder::overlap(metres_from_feet(nominal));
        CAPTURE(nominal);
        REQUIRE(overlap);
        CHECK(feet(*overlap) == Approx(kept));
    }
    CHECK_FALSE(ladder::overlap(metres_from_feet(61)));
}

// The same table: the longest extended lengths.
TEST_CASE("Published, ExtendedLengths")
{
    for (const auto& [nominal, extended] : {std::pair{16, 13},
                                            {20, 17},
                                            {24, 21},
                                            {28, 25},
                                            {32, 29},
                                            {36, 33},
                                            {40, 36},
                                            {44, 40},
                                            {48, 44},
                                            {60, 55}}) {
        CAPTURE(nominal);
        CHECK(feet(*ladder::longest(metres_from_feet(nominal))) == Approx(extended));
    }
    CHECK(feet(ladder::support_height(*ladder::longest(metres_from_feet(32)))) ==
          Approx(28.08).margin(0.01));
}

// A maker's size table: nominal size, highest reach (person of 5 ft 6 in, arm 12 in), highest
// gutter or top support with 3 ft above it.
TEST_CASE("Published, SizeTableOfALadderMaker")
{
    struct Row {
        double nominal;
        double reach;
        double support;
    };
    const double above = figure("ladder", "above_landing").middle();
    for (const auto& row : {Row{16, 15, 9}, Row{20, 19, 13}, Row{24, 23, 17}, Row{28, 27, 21},
                            Row{32, 31, 25}, Row{36, 34, 28}, Row{40, 37, 31}}) {
        CAPTURE(row.nominal);
        const auto extended = ladder::longest(metres_from_feet(row.nominal));
        REQUIRE(extended);
        // The table is in whole feet, rounded down.
        CHECK(std::floor(feet(ladder::support_height(*extended)) - above) == row.support);
        CHECK(feet(ladder::standing_height(*extended)) + 5.5 + 1 == Approx(row.reach).margin(0.6));
    }
}

// Working length and foot distance for a support at 20 ft, and at 10 m.
TEST_CASE("Published, WorkingLengthForAHeight")
{
    const auto twenty = ladder::set_up(metres_from_feet(20));
    REQUIRE(twenty);
    CHECK(feet(twenty->working_length) == Approx(20.656).margin(0.001));
    CHECK(feet(twenty->foot_distance) == Approx(5.164).margin(0.001));
    const auto ten = ladder::set_up(Metres{10});
    CHECK(ten->working_length.value() == Approx(10.328).margin(1e-3));
    CHECK(ten->foot_distance.value() == Approx(2.582).margin(1e-3));
}

// The rule by height, 5 ft out for 20 ft, prints 20.62 ft; the two rules differ by under 0.3 %.
TEST_CASE("Published, RuleByHeightAndRuleByLengthAgree")
{
    const auto twenty = ladder::set_up(metres_from_feet(20));
    CHECK(feet(twenty->working_length) == Approx(20.62).epsilon(0.003));
}

// 29 CFR 1926.1053(b)(1): 3 ft above a landing at 16 ft wants a rail of 19.623 ft, so size 24.
TEST_CASE("Published, RailAboveALanding")
{
    const auto rail = ladder::rail_for_landing(metres_from_feet(16), metres_from_feet(3));
    CHECK(feet(rail) == Approx(19.623).margin(0.001));
    CHECK(*ladder::longest(metres_from_feet(20)) < rail);
    CHECK(*ladder::longest(metres_from_feet(24)) >= rail);
}

// Geometry of ground that falls away by a tenth.
TEST_CASE("Published, FallingGround")
{
    const auto set = ladder::set_up(metres_from_feet(20), 0.1);
    REQUIRE(set);
    CHECK(feet(set->working_length) == Approx(21.2034).margin(1e-3));
    CHECK(feet(set->foot_distance) == Approx(5.3008).margin(1e-3));
    CHECK(feet(set->support_height) == Approx(20.5301).margin(1e-3));
}

// Duty ratings of ANSI A14 as relayed: 210 + 25 + 20 lb is too much for type I, not for IA.
TEST_CASE("Published, DutyRatings")
{
    const double load = 210 + 25 + 20;
    CHECK(load > figure("ladder", "rating_i").middle());
    CHECK(load < figure("ladder", "rating_ia").middle());
    CHECK(figure("ladder", "rating_iaa").middle() == 375);
}
