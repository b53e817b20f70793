#include "geocore/density/kernel.hpp"

#include <cmath>
#include <numbers>
#include <thread>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::density;

namespace {

std::vector<PlanePoint> scattered(std::size_t count, double size, std::uint64_t seed)
{
    Random dice{seed};
    std::vector<PlanePoint> points;
    for (std::size_t i = 0; i < count; ++i) {
        points.push_back({size * double(dice.below(1'000'000)) / 1e6,
                          size * double(dice.below(1'000'000)) / 1e6});
    }
    return points;
}

double nests_of(const Surface& surface)
{
    double sum = 0;
    for (const float cell : surface.per_km2) {
        sum += std::isnan(cell) ? 0 : cell;
    }
    return sum * surface.grid.cell * surface.grid.cell / 1e6;
}

double pairwise(std::span<const PlanePoint> points, PlanePoint at, double smoothing)
{
    double sum = 0;
    for (const auto& point : points) {
        const double d = std::hypot(point.east - at.east, point.north - at.north) / smoothing;
        sum += std::exp(-d * d / 2);
    }
    return sum * 1e6 / (2 * std::numbers::pi * smoothing * smoothing);
}

Workers two_threads()
{
    return {2, [](std::size_t count, const Workers::Job& job) {
                std::vector<std::thread> threads;
                for (std::size_t i = 0; i < count; ++i) {
                    threads.emplace_back([&job, i] { job(i); });
                }
                for (auto& thread : threads) {
                    thread.join();
                }
            }};
}

}  // namespace

TEST_CASE("Kernel_FarFromTheEdgeIsTheSumOfBells")
{
    const std::vector<PlanePoint> points{{5'000, 5'000}, {5'300, 4'800}, {5'310, 4'790}};
    const auto searched = all_of(Grid{0, 0, 50, 200, 200}).value();
    const auto surface = kernel_surface(points, searched, 250).value();
    for (const std::size_t cell : {100U * 200 + 100, 96U * 200 + 106, 90U * 200 + 95}) {
        const auto at = surface.grid.middle(cell % 200, cell / 200);
        CHECK(surface.per_km2[cell] == Approx(pairwise(points, at, 250)).epsilon(1e-5));
    }
    // One nest alone: its standard error is its own density.
    const auto one = kernel_surface(std::span{points}.first(1), searched, 250).value();
    CHECK(one.standard_error[100 * 200 + 100] == Approx(one.per_km2[100 * 200 + 100]));
}

TEST_CASE("Kernel_NoNestIsLostAtTheEdge")
{
    const auto points = scattered(300, 10'000, 3);
    const auto searched = all_of(Grid{0, 0, 50, 200, 200}).value();
    CHECK(nests_of(kernel_surface(points, searched, 600).value()) == Approx(300).epsilon(1e-3));
    // A shape with a hole: the same, to the grain of the grid.
    const std::vector<PlaneRing> rings{
        {{0, 0}, {10'000, 0}, {8'000, 9'000}, {2'000, 10'000}},
        {{4'000, 4'000}, {4'000, 5'000}, {5'000, 5'000}, {5'000, 4'000}}};
    const auto shape = within(Grid{0, 0, 50, 200, 200}, rings).value();
    const auto surface = kernel_surface(points, shape, 600).value();
    CHECK(surface.points < 300);
    CHECK(surface.points > 150);
    CHECK(nests_of(surface) == Approx(double(surface.points)).epsilon(0.02));
    CHECK(std::isnan(surface.per_km2[90 * 200 + 90]));  // in the hole
}

TEST_CASE("Kernel_SharedOutIsNearlyTheSame")
{
    const auto points = scattered(60'000, 10'000, 5);
    const auto searched = all_of(Grid{0, 0, 25, 400, 400}).value();
    const auto many = kernel_surface(points, searched, 400).value();
    REQUIRE(many.shared_out);
    std::vector<PlanePoint> some;
    for (std::size_t i = 0; i < points.size(); i += 1) {
        some.push_back(points[i]);
    }
    for (const std::size_t cell : {200U * 400 + 200, 150U * 400 + 260}) {
        const auto at = many.grid.middle(cell % 400, cell / 400);
        CHECK(many.per_km2[cell] == Approx(pairwise(some, at, 400)).epsilon(1e-3));
        // Evenly scattered: variance of a Poisson field, density / (4 pi smoothing^2).
        const double per_m2 = many.per_km2[cell] / 1e6;
        CHECK(many.standard_error[cell] ==
              Approx(1e6 * std::sqrt(per_m2 / (4 * std::numbers::pi * 400 * 400))).epsilon(0.05));
    }
}

TEST_CASE("Kernel_TheSameBitsOnTwoThreads")
{
    const auto points = scattered(500, 5'000, 9);
    const auto searched = all_of(Grid{0, 0, 25, 201, 199}).value();
    const auto one = kernel_surface(points, searched, 300).value();
    const auto two = kernel_surface(points, searched, 300, two_threads()).value();
    CHECK(one.per_km2 == two.per_km2);
    CHECK(one.standard_error == two.standard_error);
}

TEST_CASE("Kernel_TheShareInsideIsAHalfAtAnEdgeAndAQuarterInACorner")
{
    const Grid grid{0, 0, 20, 300, 300};
    const std::vector<PlaneRing> rings{{{0, 0}, {6'000, 0}, {6'000, 6'000}, {0, 6'000}}};
    for (const auto& searched : {all_of(grid).value(), within(grid, rings).value()}) {
        CHECK(kernel_inside({3'000, 3'000}, searched, 200) == Approx(1).epsilon(1e-4));
        CHECK(kernel_inside({3'000, 0}, searched, 200) == Approx(0.5).epsilon(0.05));
        CHECK(kernel_inside({0, 0}, searched, 200) == Approx(0.25).epsilon(0.1));
    }
}

TEST_CASE("Kernel_SmoothingFollowsTheClumps")
{
    // Clumps of 120 m across: a smoothing near that, far below the normal rule's.
    Random dice{11};
    std::vector<PlanePoint> points;
    for (int clump = 0; clump < 12; ++clump) {
        const PlanePoint middle{double(dice.below(20'000)), double(dice.below(20'000))};
        for (int i = 0; i < 25; ++i) {
            double x = 0;
            double y = 0;
            for (int k = 0; k < 12; ++k) {
                x += double(dice.below(1000)) / 1000 - 0.5;
                y += double(dice.below(1000)) / 1000 - 0.5;
            }
            points.push_back({middle.east + 120 * x, middle.north + 120 * y});
        }
    }
    const auto searched = all_of(Grid{-2'000, -2'000, 120, 200, 200}).value();
    const auto chosen = choose_smoothing(points, searched).value();
    CHECK(chosen.choice == SmoothingChoice::LikelihoodLeftOut);
    CHECK(chosen.metres > 50);
    CHECK(chosen.metres < 200);
    // The same points without clumps want a far wider one.
    const auto even = choose_smoothing(scattered(300, 20'000, 4), searched).value();
    CHECK(even.metres > 5 * chosen.metres);
}

TEST_CASE("Kernel_FewPointsTakeTheNormalRule")
{
    const std::vector<PlanePoint> points{{0, 0}, {1'000, 0}, {0, 1'000}, {1'000, 1'000}};
    const auto searched = all_of(Grid{-500, -500, 20, 100, 100}).value();
    const auto chosen = choose_smoothing(points, searched).value();
    CHECK(chosen.choice == SmoothingChoice::NormalRule);
    CHECK(chosen.metres == Approx(1'000 / std::sqrt(3.0) * std::pow(4, -1.0 / 6)));
    CHECK_FALSE(choose_smoothing(std::span{points}.first(1), searched));
}

TEST_CASE("Kernel_RefusesNoSmoothing")
{
    const auto searched = all_of(Grid{0, 0, 20, 10, 10}).value();
    for (const double smoothing : {0.0, -1.0, std::nan(""), double{INFINITY}}) {
        CHECK_FALSE(kernel_surface(std::vector<PlanePoint>{}, searched, smoothing));
    }
    const auto none = kernel_surface(std::vector<PlanePoint>{}, searched, 50).value();
    CHECK(none.per_km2.front() == 0);
}
