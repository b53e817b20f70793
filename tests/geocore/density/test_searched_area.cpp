#include "geocore/density/searched_area.hpp"

#include <cmath>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::density;

namespace {

PlaneRing square(double low, double high)
{
    return {{low, low}, {high, low}, {high, high}, {low, high}};
}

}  // namespace

TEST_CASE("SearchedArea_OfATriangleIsItsArea")
{
    const PlaneRing triangle{{10, 5}, {910, 105}, {310, 805}};
    const auto grid = grid_around(std::vector<PlaneRing>{triangle}, 7);
    const auto area = within(grid.value(), std::vector<PlaneRing>{triangle});
    REQUIRE(area);
    CHECK(area->square_metres() == Approx(ring_area(triangle)).epsilon(1e-3));
}

TEST_CASE("SearchedArea_AHoleIsNotSearched")
{
    const std::vector<PlaneRing> rings{square(0, 1000), square(200, 400)};
    const auto area = within(grid_around(rings, 100).value(), rings);
    REQUIRE(area);
    CHECK(area->square_metres() == Approx(1e6 - 4e4));
    CHECK(area->share_at(2 * 10 + 2) == 0);
    CHECK(area->share_at(0) == Approx(1));
}

TEST_CASE("SearchedArea_ACellCutInTwoIsHalf")
{
    const std::vector<PlaneRing> rings{PlaneRing{{0, 0}, {100, 0}, {100, 50}, {0, 50}}};
    const auto area = within(Grid{0, 0, 100, 1, 1}, rings);
    REQUIRE(area);
    CHECK(area->share_at(0) == Approx(0.5));
}

TEST_CASE("SearchedArea_ARingAroundHoldsEveryPointWithItsMargin")
{
    Random dice{7};
    std::vector<PlanePoint> points;
    for (int i = 0; i < 200; ++i) {
        points.push_back({double(dice.below(10'000)), double(dice.below(6'000))});
    }
    const auto ring = ring_around(points, 300);
    CHECK(ring_area(ring) > 0);
    for (const auto& point : points) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const auto& a = ring[i];
            const auto& b = ring[(i + 1) % ring.size()];
            const double length = std::hypot(b.east - a.east, b.north - a.north);
            const double inside = ((b.east - a.east) * (point.north - a.north) -
                                   (b.north - a.north) * (point.east - a.east)) /
                                  length;
            CHECK(inside >= 300 - 1e-6);
        }
    }
}

TEST_CASE("SearchedArea_OneHouseIsACircleOfItsMargin")
{
    const auto ring = ring_around(std::vector<PlanePoint>{{5, 5}}, 100);
    CHECK(ring_area(ring) == Approx(31'416).epsilon(0.02));
    CHECK(ring_around(std::vector<PlanePoint>{}, 100).empty());
}

TEST_CASE("SearchedArea_RefusesGridsWithoutSense")
{
    const std::vector<PlaneRing> rings{square(0, 1000)};
    CHECK_FALSE(grid_around(rings, 0));
    CHECK_FALSE(grid_around(rings, -5));
    CHECK_FALSE(grid_around(rings, std::nan("")));
    CHECK_FALSE(grid_around(std::vector<PlaneRing>{}, 10));
    CHECK_FALSE(all_of(Grid{0, 0, 1, 1'000'000, 1'000'000}));
    const auto many = grid_around(rings, 0.01);
    REQUIRE_FALSE(many);
    CHECK(many.error().message.find("100000 by 100000 cells") != std::string::npos);
}
