// source: SciPy (Debian: python3-scipy): gaussian_kde, multivariate_normal, chi2.ppf, beta.ppf.
// source: GeographicLib, areas of polygons on the WGS 84 ellipsoid.
// source: National Park figure of 144 nests in 320 ha, and 8 to 34 nests a hectare in New Zealand's
//         beech forest, as listed with their sources in docs/science/density.md.
#include <fmt/format.h>

#include <GeographicLib/PolygonArea.hpp>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "geocore/base/random.hpp"
#include "geocore/density/hexagons.hpp"
#include "geocore/density/kernel.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/shell.hpp"
#include "tests/support/witness.hpp"

using namespace nestround;
using namespace nestround::density;

namespace {

std::vector<double> witness(const std::string& request)
{
    return testing::ask_witness("density/density_witness.py", request);
}

/// Spread alike in every direction: each point in four turns about the middle.
std::vector<PlanePoint> four_turns(std::size_t count, double middle, double size)
{
    Random dice{17};
    std::vector<PlanePoint> points;
    for (std::size_t i = 0; i < count; ++i) {
        double x = size * (double(dice.below(2'000'000)) / 1e6 - 1);
        double y = size * (double(dice.below(2'000'000)) / 1e6 - 1);
        for (int turn = 0; turn < 4; ++turn) {
            points.push_back({middle + x, middle + y});
            x = std::exchange(y, x);
            x = -x;
        }
    }
    return points;
}

std::string list(std::span<const PlanePoint> points)
{
    std::string words;
    for (const auto& point : points) {
        words += fmt::format("{:.9g} {:.9g}\n", point.east, point.north);
    }
    return words;
}

}  // namespace

TEST_CASE("PublishedDensity_TheSurfaceIsThatOfSciPy")
{
    const auto points = four_turns(40, 10'000, 3'000);
    const auto searched = all_of(Grid{0, 0, 100, 200, 200}).value();
    const auto surface = kernel_surface(points, searched, 500).value();
    std::vector<PlanePoint> places;
    std::vector<float> ours;
    for (std::size_t row = 60; row < 140; row += 7) {
        for (std::size_t column = 60; column < 140; column += 7) {
            places.push_back(surface.grid.middle(column, row));
            ours.push_back(surface.per_km2[row * 200 + column]);
        }
    }
    const auto theirs = witness(fmt::format("kernel 500 {} {}\n{}{}", points.size(), places.size(),
                                            list(points), list(places)));
    REQUIRE(theirs.size() == ours.size());
    for (std::size_t i = 0; i < ours.size(); ++i) {
        CHECK(ours[i] == Approx(theirs[i]).epsilon(2e-5).margin(1e-5));
    }
}

TEST_CASE("PublishedDensity_NoOtherSmoothingForetellsBetterBySciPy")
{
    Random dice{23};
    std::vector<PlanePoint> points;
    for (int i = 0; i < 60; ++i) {
        points.push_back({8'000 + double(dice.below(4'000)), 8'000 + double(dice.below(2'000))});
    }
    // Far from any edge, so that SciPy, which knows none, compares the same sums.
    const auto searched = all_of(Grid{-30'000, -30'000, 400, 200, 200}).value();
    const auto chosen = choose_smoothing(points, searched).value();
    REQUIRE(chosen.choice == SmoothingChoice::LikelihoodLeftOut);
    std::string request;
    for (const double factor : {0.7, 0.9, 1.0, 1.1, 1.4}) {
        request +=
            fmt::format("loo {:.9g} {}\n{}", chosen.metres * factor, points.size(), list(points));
    }
    const auto scores = witness(request);
    REQUIRE(scores.size() == 5);
    for (const std::size_t other : {0U, 1U, 3U, 4U}) {
        CHECK(scores[2] > scores[other]);
    }
}

TEST_CASE("PublishedDensity_BoundsOfCountsAndSharesAreThoseOfSciPy")
{
    std::string request;
    for (const int count : {0, 1, 2, 5, 12, 150}) {
        request += fmt::format("bounds {}\n", count);
    }
    constexpr std::array<std::pair<int, int>, 5> shares{
        {{0, 4}, {4, 4}, {3, 20}, {1, 2}, {70, 90}}};
    for (const auto& [part, whole] : shares) {
        request += fmt::format("share {} {}\n", part, whole);
    }
    const auto theirs = witness(request);
    REQUIRE(theirs.size() == 22);
    std::size_t at = 0;
    for (const int count : {0, 1, 2, 5, 12, 150}) {
        const auto ours = count_bounds(count);
        CHECK(ours.low == Approx(theirs[at++]).margin(1e-12).epsilon(1e-9));
        CHECK(ours.middle == count);
        CHECK(ours.high == Approx(theirs[at++]).epsilon(1e-9));
    }
    for (const auto& [part, whole] : shares) {
        const auto ours = share_bounds(part, whole);
        CHECK(ours.low == Approx(theirs[at++]).margin(1e-12).epsilon(1e-9));
        CHECK(ours.high == Approx(theirs[at++]).epsilon(1e-9));
    }
}

TEST_CASE("PublishedDensity_HexagonsAreOfOneSizeOnTheEllipsoid")
{
    for (const double latitude : {-43.5, 12.0, 41.0, 60.0}) {
        const place::EqualArea flat{{Longitude{9.5}, Latitude{latitude}}};
        const auto grid = HexagonGrid::of_area(4e6).value();
        for (const CellKey key : {CellKey{0, 0}, CellKey{40, -15}, CellKey{-30, 60}}) {
            const auto corners = grid.corners(key);
            GeographicLib::PolygonArea earth{GeographicLib::Geodesic::WGS84()};
            for (std::size_t i = 0; i < corners.size(); ++i) {
                // Sides are straight on the plane, so they are cut into short geodesics.
                for (int part = 0; part < 32; ++part) {
                    const auto& a = corners[i];
                    const auto& b = corners[(i + 1) % corners.size()];
                    const auto at = flat.earth({a.east + (b.east - a.east) * part / 32,
                                                a.north + (b.north - a.north) * part / 32});
                    earth.AddPoint(at.lat.value(), at.lon.value());
                }
            }
            double around = 0;
            double area = 0;
            earth.Compute(false, true, around, area);
            CHECK(area == Approx(4e6).epsilon(1e-6));
        }
    }
}

TEST_CASE("PublishedDensity_NestsOfAForestPlot")
{
    // 144 nests in 320 ha: 45.0 a square kilometre, +- 0.05.
    const auto grid = HexagonGrid::of_area(3.2e6).value();
    const auto cell = grid.corners({0, 0});
    const std::vector<KnownNest> nests(144, KnownNest{{0, 0}, true});
    const auto counted = count_nests(nests, grid, std::vector<PlaneRing>{cell}, 1).value();
    CHECK(counted.front().per_km2.middle == Approx(45.0).margin(0.05));
    // 12 nests in one hectare: 1200 a square kilometre exactly.
    const auto hectare = HexagonGrid::of_area(1e4).value();
    const std::vector<KnownNest> dozen(12, KnownNest{{0, 0}, true});
    const auto dense =
        count_nests(dozen, hectare, std::vector<PlaneRing>{hectare.corners({0, 0})}, 1).value();
    CHECK(dense.front().per_km2.middle == Approx(1200));
}
