#include "planner/brood/comb_area.hpp"

#include <cmath>
#include <limits>
#include <numbers>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::brood;

TEST_CASE("CombArea, OfASquareAndATriangleEitherWayRound")
{
    CHECK(*outline_pixels({{0, 0}, {10, 0}, {10, 10}, {0, 10}}) == Approx(100));
    CHECK(*outline_pixels({{0, 10}, {10, 10}, {10, 0}, {0, 0}}) == Approx(100));
    CHECK(*outline_pixels({{0, 0}, {6, 0}, {0, 8}, {0, 0}}) == Approx(24));  // closed by hand
}

TEST_CASE("CombArea, RefusesWhatIsNoOutline")
{
    const auto words = [](const Outline& outline) {
        const auto area = outline_pixels(outline, PictureSize{100, 80});
        REQUIRE_FALSE(area);
        CHECK(area.error().code == ErrorCode::InvalidInput);
        return area.error().message;
    };
    CHECK_THAT(words({{0, 0}, {10, 10}, {10, 0}, {0, 10}}), Catch::Contains("crosses itself"));
    // A point on another side touches it.
    CHECK_THAT(words({{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}),
               Catch::Contains("crosses itself"));
    CHECK_THAT(words({{0, 0}, {10, 10}}), Catch::Contains("3 points"));
    CHECK_THAT(words({{0, 0}, {0, 0}, {5, 5}, {5, 5}}), Catch::Contains("3 points"));
    CHECK_THAT(words({{0, 0}, {101, 0}, {50, 50}}), Catch::Contains("outside the picture"));
    CHECK_THAT(words({{0, 0}, {std::numeric_limits<double>::quiet_NaN(), 0}, {50, 50}}),
               Catch::Contains("no number"));
    CHECK_FALSE(outline_pixels({{0, 0}, {5, 5}, {10, 10}}));  // flat
    CHECK(outline_pixels({{0, 0}, {100, 0}, {100, 80}, {0, 80}}, PictureSize{100, 80}));
}

TEST_CASE("CombArea, OnAPhotographByTwoPointsOfKnownDistance")
{
    const auto& taxa = nature::standard_taxa();
    const std::vector<Outline> square{{{100, 100}, {500, 100}, {500, 500}, {100, 500}}};
    const PictureScale scale{{0, 0}, {0, 400}, 100};  // 400 pixels are 10 cm
    const auto area = area_of(square, scale, {600, 600}, taxa);
    REQUIRE(area);
    CHECK(area->cm2 == Approx(100));
    CHECK(area->doubt > 0.1);
    // Two outlines add up.
    CHECK(area_of(std::vector{square[0], square[0]}, scale, {600, 600}, taxa)->cm2 == Approx(200));
    CHECK_FALSE(area_of(square, {{0, 0}, {0, 0}, 100}, {600, 600}, taxa));
    CHECK_FALSE(area_of(square, {{0, 0}, {0, 400}, 0}, {600, 600}, taxa));
    CHECK_FALSE(area_of(square, {{0, 0}, {0, 700}, 100}, {600, 600}, taxa));
    CHECK_FALSE(area_of({}, scale, {600, 600}, taxa));
    // A short scale is in more doubt.
    const std::vector<Outline> small{{{0, 0}, {40, 0}, {40, 40}, {0, 40}}};
    CHECK(area_of(small, {{0, 0}, {0, 20}, 5}, {600, 600}, taxa)->doubt > area->doubt);
}

TEST_CASE("CombArea, OfADiameterAndCellsByWidthRatioAndGenus")
{
    const auto& taxa = nature::standard_taxa();
    const auto disc = area_of(20, 0, 1, taxa);
    CHECK(disc.cm2 == Approx(std::numbers::pi * 100));
    CHECK(area_of(20, 10, 3, taxa).cm2 == Approx(std::numbers::pi * 150));
    const CombArea hundred{100, 0};
    // Rows of the dossier: 115.47 / w^2 a square centimetre; 5.0746 in Vespula.
    CHECK(cells_on(hundred, 4.8, taxa, "VMAC").cells == Approx(501.2).margin(0.1));
    CHECK(cells_on(hundred, 9, taxa, "").cells == Approx(142.6).margin(0.1));
    CHECK(cells_on(hundred, {}, taxa, "VMAC").cells == Approx(507.46).margin(0.01));
    CHECK(cells_on(hundred, {}, taxa, "VCRA").cells == Approx(159.8).margin(0.1));
    CHECK(cells_on(hundred, {}, taxa, "").doubt > cells_on(hundred, {}, taxa, "VMAC").doubt);
    CHECK(cells_on(hundred, 4.8, taxa, "VMAC").doubt < cells_on(hundred, {}, taxa, "VMAC").doubt);
}
