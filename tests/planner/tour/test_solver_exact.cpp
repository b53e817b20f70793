// The solver against the proven best of small problems with everything in them. The exact solver
// shares neither moves nor the backward pass with it.
#include "planner/tour/checker.hpp"
#include "planner/tour/exact.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/random_tours.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

void solver_equals_exact(std::uint64_t first_seed, int cases, const test::RandomTourShape& shape)
{
    int with_pause_taken = 0;
    int with_live = 0;
    for (int i = 0; i < cases; ++i) {
        const std::uint64_t seed = first_seed + static_cast<std::uint64_t>(i);
        CAPTURE(seed);
        auto made = Problem::make(test::random_tour_problem(seed, shape), Hopeless::Leave);
        REQUIRE(made.has_value());
        const Problem problem = std::move(*made);
        const auto exact = solve_exact(problem);
        REQUIRE(exact.has_value());

        SolveOptions options;
        options.seed = seed;
        options.stop.iterations = 12000;  // some 20 ms
        const auto solution = solve(problem, options);

        for (const auto& violation : check(problem, solution.plan)) {
            INFO(violation.message);
            REQUIRE(violation.rule == Rule::MustTake);
        }
        REQUIRE(solution.missing_musts.empty() == exact->feasible);
        REQUIRE(solution.plan.objective.value() == exact->plan.objective.value());
        for (const auto& tour : solution.plan.tours) {
            with_pause_taken += tour.pause ? 1 : 0;
            for (const auto& visit : tour.visits) {
                with_live += problem.job(visit.job).ride_limit ? 1 : 0;
            }
        }
    }
    // The cases must really hold what they are to test.
    if (shape.pause_chance > 0) {
        CHECK(with_pause_taken > cases / 20);
    }
    if (shape.ride_chance > 0) {
        CHECK(with_live > cases / 20);
    }
}

}  // namespace

TEST_CASE("Solver, EqualsTheProvenBestWithWindowsDepotsAndCapacities")
{
    solver_equals_exact(1000, 150, {9, 2, 0.1, 0, 0, true});
}

TEST_CASE("Solver, EqualsTheProvenBestWithPauses")
{
    solver_equals_exact(2000, 100, {8, 2, 0.1, 0, 0.8, true});
}

TEST_CASE("Solver, EqualsTheProvenBestWithLiveCargo")
{
    solver_equals_exact(3000, 100, {7, 2, 0.1, 0.5, 0, true});
}

TEST_CASE("Solver, EqualsTheProvenBestWithEverythingAtOnce")
{
    solver_equals_exact(4000, 100, {6, 3, 0.15, 0.4, 0.5, true});
}

TEST_CASE("Solver, EqualsTheProvenBestWhereDirectRoadsAreSlowerThanDetours")
{
    solver_equals_exact(5000, 60, {7, 2, 0.1, 0.3, 0.3, false});
}

TEST_CASE("Exact, ItsPlanPassesTheChecker")
{
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        auto problem = Problem::make(test::random_tour_problem(seed, {6, 2, 0.2, 0.4, 0.5, true}),
                                     Hopeless::Leave);
        REQUIRE(problem.has_value());
        const auto exact = solve_exact(*problem);
        REQUIRE(exact.has_value());
        for (const auto& violation : check(*problem, exact->plan)) {
            INFO(violation.message);
            CHECK(violation.rule == Rule::MustTake);
            CHECK_FALSE(exact->feasible);
        }
    }
}

TEST_CASE("Exact, RefusesMoreJobsThanItCanProve")
{
    const auto problem = Problem::make(
        test::random_tour_problem(1, {kExactJobs + 1, 1, 0, 0, 0, true}), Hopeless::Leave);
    REQUIRE(problem.has_value());
    CHECK_FALSE(solve_exact(*problem).has_value());
}
