#include "geocore/density/hexagons.hpp"

#include <cmath>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::density;

TEST_CASE("Hexagons_AreOfTheSizeAskedFor")
{
    const auto grid = HexagonGrid::of_area(4e6).value();
    CHECK(ring_area(grid.corners({0, 0})) == Approx(4e6).epsilon(1e-12));
    CHECK(ring_area(grid.corners({-7, 12})) == Approx(4e6).epsilon(1e-9));
    CHECK_FALSE(HexagonGrid::of_area(0));
    CHECK_FALSE(HexagonGrid::of_area(std::nan("")));
    CHECK_FALSE(HexagonGrid::of_area(1e12));
}

TEST_CASE("Hexagons_APointLiesInTheCellWithTheNearestMiddle")
{
    const auto grid = HexagonGrid::of_area(1e6).value();
    Random dice{1};
    for (int i = 0; i < 5'000; ++i) {
        const PlanePoint point{double(dice.below(40'000)) - 20'000,
                               double(dice.below(40'000)) - 20'000};
        const auto key = grid.cell_at(point);
        const auto away = [&](CellKey k) {
            const auto middle = grid.middle(k);
            return std::hypot(middle.east - point.east, middle.north - point.north);
        };
        for (const auto& [dq, dr] : {std::pair{1, 0}, {0, 1}, {-1, 1}, {-1, 0}, {0, -1}, {1, -1}}) {
            REQUIRE(away(key) <= away({key.q + dq, key.r + dr}) + 1e-6);
        }
    }
}

TEST_CASE("Hexagons_CountWhatIsThereAndWhatIsNot")
{
    const auto grid = HexagonGrid::of_area(1e6).value();
    const std::vector<PlaneRing> land{
        {{-5'000, -5'000}, {5'000, -5'000}, {5'000, 5'000}, {-5'000, 5'000}}};
    const std::vector<KnownNest> nests{
        {{0, 0}, true}, {{10, 10}, true}, {{-20, 5}, false}, {{3'000, 3'000}, true}};
    const auto cells = count_nests(nests, grid, land, 2).value();
    int counted = 0;
    int known = 0;
    double searched = 0;
    for (const auto& cell : cells) {
        counted += cell.nests;
        known += cell.known;
        searched += cell.searched_m2;
        CHECK(cell.per_km2.low <= cell.per_km2.middle);
        CHECK(cell.per_km2.middle < cell.per_km2.high);
        if (cell.key == CellKey{0, 0}) {
            CHECK(cell.nests == 2);
            CHECK(cell.known == 3);
            CHECK(cell.per_km2.middle == Approx(1));  // 2 nests, 1 km2, 2 seasons
            CHECK(cell.share.middle == Approx(2.0 / 3));
        }
    }
    CHECK(counted == 3);
    CHECK(known == 4);
    // Cells whose middle is outside and that hold nothing are not listed; they are slivers here.
    CHECK(searched <= 1e8 * (1 + 1e-9));
    CHECK(searched > 0.9e8);
    CHECK(cells.size() > 90);
}

TEST_CASE("Hexagons_ANestBeyondTheLandHasNoDensity")
{
    const auto grid = HexagonGrid::of_area(1e6).value();
    const std::vector<PlaneRing> land{{{0, 0}, {3'000, 0}, {3'000, 3'000}, {0, 3'000}}};
    const auto cells =
        count_nests(std::vector<KnownNest>{{{90'000, 0}, true}}, grid, land, 1).value();
    CHECK(cells.back().nests == 1);
    CHECK(cells.back().searched_m2 == 0);
    CHECK(cells.back().per_km2.high == 0);
}

TEST_CASE("Hexagons_TooManyCellsAreRefused")
{
    const auto grid = HexagonGrid::of_area(100).value();
    const std::vector<PlaneRing> land{{{0, 0}, {300'000, 0}, {300'000, 300'000}, {0, 300'000}}};
    CHECK_FALSE(count_nests({}, grid, land, 1));
    CHECK_FALSE(count_nests({}, grid, {}, 0));
}
