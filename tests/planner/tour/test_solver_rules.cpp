// The solver against the proven best where tours share, wait for one another, pay for overtime or
// meet traffic.
#include "planner/tour/checker.hpp"
#include "planner/tour/exact.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/random_tours.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

struct Seen {
    int overtime = 0;
    int given_off = 0;
    int second_visits = 0;
    int across = 0;  ///< second visits by another vehicle
    int short_shared = 0;
    int stays = 0;  ///< idle vehicles
};

Seen solver_equals_exact(std::uint64_t first_seed, int cases, const test::RandomTourShape& shape)
{
    Seen seen;
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
        options.stop.iterations = 12000;
        const auto solution = solve(problem, options);
        for (const auto* plan : {&solution.plan, &exact->plan}) {
            for (const auto& violation : check(problem, *plan)) {
                INFO(violation.message);
                REQUIRE(violation.rule == Rule::MustTake);
            }
        }
        REQUIRE(solution.missing_musts.empty() == exact->feasible);
        REQUIRE(solution.plan.objective.value() == exact->plan.objective.value());
        std::vector<std::size_t> by(problem.jobs().size(), 99);
        for (const auto& tour : solution.plan.tours) {
            seen.overtime +=
                !tour.visits.empty() && tour.home > problem.vehicle(tour.vehicle).shift.closes;
            seen.stays += tour.visits.empty() ? 1 : 0;
            for (const auto& visit : tour.visits) {
                by[visit.job] = tour.vehicle;
                seen.given_off += problem.resources() > 1 && problem.demand(visit.job, 1) < 0;
            }
        }
        for (std::size_t j = 0; j < by.size(); ++j) {
            if (by[j] != 99 && problem.job(j).follows) {
                ++seen.second_visits;
                seen.across += by[problem.job(j).follows->job] != by[j];
            }
        }
    }
    return seen;
}

}  // namespace

TEST_CASE("Solver, EqualsTheProvenBestWithOvertimeAndFixedCosts")
{
    test::RandomTourShape shape{7, 2, 0.1, 0.2, 0.3, true};
    shape.overtime_chance = 0.8;
    shape.fixed_chance = 0.5;
    const Seen seen = solver_equals_exact(6000, 100, shape);
    CHECK(seen.overtime > 10);
    CHECK(seen.stays > 5);
}

TEST_CASE("Solver, EqualsTheProvenBestWithLoadsThatAreGivenOff")
{
    test::RandomTourShape shape{8, 2, 0.1, 0, 0.2, true};
    shape.carried = true;
    CHECK(solver_equals_exact(6200, 100, shape).given_off > 20);
}

TEST_CASE("Solver, EqualsTheProvenBestWithRoomSharedByAll")
{
    test::RandomTourShape shape{8, 3, 0.1, 0, 0, true};
    shape.shared = true;
    solver_equals_exact(6400, 100, shape);
}

TEST_CASE("Solver, EqualsTheProvenBestInTraffic")
{
    test::RandomTourShape shape{7, 2, 0.1, 0.3, 0.3, true};
    shape.traffic = true;
    shape.overtime_chance = 0.3;
    solver_equals_exact(6600, 100, shape);
}

TEST_CASE("Solver, EqualsTheProvenBestWithSecondVisits")
{
    test::RandomTourShape shape{6, 2, 0.1, 0.1, 0, true};
    shape.follow_chance = 0.5;
    const Seen seen = solver_equals_exact(6800, 100, shape);
    CHECK(seen.second_visits > 50);
    CHECK(seen.across > 10);
}

TEST_CASE("Solver, EqualsTheProvenBestWithEveryRuleAtOnce")
{
    test::RandomTourShape shape{6, 2, 0.1, 0.2, 0.3, true};
    shape.follow_chance = 0.3;
    shape.overtime_chance = 0.5;
    shape.fixed_chance = 0.3;
    shape.carried = true;
    shape.shared = true;
    shape.traffic = true;
    const Seen seen = solver_equals_exact(7000, 80, shape);
    CHECK(seen.overtime > 1);
    CHECK(seen.second_visits > 10);
}
