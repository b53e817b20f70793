#include "planner/tour/route_bound.hpp"

#include "planner/tour/bound.hpp"
#include "planner/tour/checker.hpp"
#include "planner/tour/exact.hpp"
#include "planner/tour/polish.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/random_tours.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

constexpr std::uint64_t kWork = 300'000;

/// With every rule in some of the problems.
test::RandomTourShape shape_of(std::uint64_t seed)
{
    test::RandomTourShape shape{4 + seed % 4, 1 + seed % 3, 0.1, 0.2, 0.2, seed % 4 != 0};
    shape.overtime_chance = seed % 5 == 0 ? 0.7 : 0;
    shape.fixed_chance = seed % 3 == 0 ? 0.5 : 0;
    shape.carried = seed % 7 == 0;
    shape.shared = seed % 11 == 0;
    shape.traffic = seed % 2 == 0;
    shape.follow_chance = seed % 13 == 0 ? 0.4 : 0;
    return shape;
}

}  // namespace

TEST_CASE("RouteBound, NoBestPlanIsWorthMore")
{
    int tighter = 0;
    int met = 0;
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        CAPTURE(seed);
        const auto problem =
            Problem::make(test::random_tour_problem(seed, shape_of(seed)), Hopeless::Leave);
        REQUIRE(problem);
        const auto exact = solve_exact(*problem);
        REQUIRE(exact);
        // Whatever plan is known: the best one, and none.
        Plan none = exact->plan;
        none.objective = Points{0};
        for (const Plan* known :
             {static_cast<const Plan*>(&exact->plan), static_cast<const Plan*>(&none)}) {
            const auto found = best_bound(*problem, *known, kWork);
            REQUIRE(found.bound >= exact->plan.objective);
            REQUIRE(found.bound <= upper_bound(*problem));
            tighter += found.bound < upper_bound(*problem) ? 1 : 0;
            met += found.bound == exact->plan.objective ? 1 : 0;
        }
    }
    CHECK(tighter > 200);
    CHECK(met > 100);
}

TEST_CASE("RouteBound, MeetsTheBestPlanOfAFewCrews")
{
    // Pauses, loads, overtime, fixed costs, a shared load, must-takes, one to three vehicles: all
    // that the tours of the bound know. From the best plan, from the best plan of a look, and from
    // one that is worth nothing.
    int proven = 0;
    int improved = 0;
    int looked_at = 0;
    for (std::uint64_t seed = 1001; seed <= 1400; ++seed) {
        CAPTURE(seed);
        test::RandomTourShape shape{5 + seed % 5, 1 + seed % 3, 0.15, 0, 0.5, seed % 8 != 0};
        shape.overtime_chance = seed % 3 == 0 ? 0.7 : 0;
        shape.fixed_chance = seed % 4 == 0 ? 0.5 : 0;
        shape.shared = seed % 5 == 0;
        shape.traffic = seed % 7 == 0;
        const auto problem = Problem::make(test::random_tour_problem(seed, shape), Hopeless::Leave);
        REQUIRE(problem);
        const auto exact = solve_exact(*problem);
        REQUIRE(exact);
        Plan poor = exact->plan;
        if (exact->feasible) {
            SolveOptions options;
            options.stop.iterations = 3;
            const auto found = solve(*problem, options);
            poor = found.missing_musts.empty() ? found.plan : poor;
        }
        for (const Plan* known :
             {static_cast<const Plan*>(&exact->plan), static_cast<const Plan*>(&poor)}) {
            const auto found = best_bound(*problem, *known, 4'000'000);
            REQUIRE(found.bound >= exact->plan.objective);
            // Where must-takes clash the bound is that of plans that may leave them.
            proven += exact->feasible && found.bound == exact->plan.objective ? 1 : 0;
            looked_at += exact->feasible ? 1 : 0;
            if (found.better) {
                CHECK(check(*problem, *found.better).empty());
                CHECK(found.better->objective > known->objective);
                CHECK(found.better->objective <= exact->plan.objective);
                ++improved;
            }
        }
    }
    CHECK(proven == looked_at);
    CHECK(improved > 100);
}

TEST_CASE("RouteBound, ProvesOneVehicleWithWindows")
{
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        CAPTURE(seed);
        auto input = test::random_tour_problem(seed, {10, 1, 0, 0, 0, true});
        input.vehicles[0].capacity.clear();
        const auto problem = Problem::make(input, Hopeless::Leave);
        REQUIRE(problem);
        const auto exact = solve_exact(*problem);
        REQUIRE(exact);
        Plan none = exact->plan;
        none.objective = Points{0};
        const auto found = best_bound(*problem, none, 3'000'000);
        CHECK(found.bound == exact->plan.objective);
    }
}

TEST_CASE("RouteBound, WithoutWorkItIsTheKnapsack")
{
    const auto problem =
        Problem::make(test::random_tour_problem(5, {9, 2, 0, 0, 0, true}), Hopeless::Leave);
    REQUIRE(problem);
    CHECK(best_bound(*problem, Plan{}, 0).bound == upper_bound(*problem));
}

TEST_CASE("Polish, MendsSingleToursAndBreaksNothing")
{
    int better = 0;
    int both = 0;
    for (std::uint64_t seed = 1; seed <= 120; ++seed) {
        CAPTURE(seed);
        auto shape = shape_of(seed);
        shape.jobs = 12;
        const auto problem = Problem::make(test::random_tour_problem(seed, shape), Hopeless::Leave);
        REQUIRE(problem);
        SolveOptions options;
        options.stop.iterations = 2;  // a poor plan
        const Plan poor = solve(*problem, options).plan;
        const Plan plan = polished(*problem, poor, 2'000'000).plan;
        CHECK(plan.objective >= poor.objective);
        CHECK(check(*problem, plan).size() <= check(*problem, poor).size());
        better += plan.objective > poor.objective ? 1 : 0;
        // A second time nothing is left to find in a problem of windows and driving only.
        CHECK(polished(*problem, plan, 2'000'000).plan.objective >= plan.objective);
        // Two vehicles at once, in whatever order they are done.
        const auto backwards = [](const auto& tasks) {
            for (std::size_t i = tasks.size(); i-- > 0;) {
                tasks[i]();
            }
        };
        const Plan two = polished(*problem, poor, 2'000'000, 2).plan;
        CHECK(two == polished(*problem, poor, 2'000'000, 2, backwards).plan);
        CHECK(two.objective >= poor.objective);
        CHECK(check(*problem, two).size() <= check(*problem, poor).size());
        both += two.objective > poor.objective ? 1 : 0;
    }
    CHECK(better > 5);
    CHECK(both > 5);
}

TEST_CASE("RouteBound, AVehicleThatMayNotDoAJobDoesNotLoosenTheBound")
{
    // Stops of half an hour, but no time on record for the vehicle that may not do the first: it
    // must not look as if a stop there were a short cut.
    const auto bound_of = [](seconds unused) {
        ProblemInput input;
        const std::size_t places = 7;
        input.travel.rows = input.travel.columns = places;
        for (std::size_t a = 0; a < places; ++a) {
            for (std::size_t b = 0; b < places; ++b) {
                const bool is_short = a == 0 || b == 0;  // by job 0 the way is shorter
                input.travel.duration_s.push_back(a == b ? 0 : is_short ? 300 : 900);
                input.travel.length_m.push_back(0);
            }
        }
        for (std::size_t j = 0; j < 5; ++j) {
            Job job;
            job.name = "job " + std::to_string(j);
            job.place = j;
            job.prize = {Points{100}, Points{100}};
            job.service = {seconds{1800}, j == 0 ? unused : seconds{1800}};
            if (j == 0) {
                job.forbidden = {1};
            }
            input.jobs.push_back(std::move(job));
        }
        for (std::size_t v = 0; v < 2; ++v) {
            Vehicle vehicle;
            vehicle.name = "vehicle " + std::to_string(v);
            vehicle.start_place = vehicle.end_place = 5 + v;
            vehicle.shift = {seconds{0}, seconds{4000}};
            vehicle.cost_per_second = Points{0};
            input.vehicles.push_back(std::move(vehicle));
        }
        const auto problem = value_or_throw(Problem::make(std::move(input), Hopeless::Leave));
        const auto exact = solve_exact(problem);
        const auto found = best_bound(problem, exact->plan, 4'000'000);
        CHECK(found.bound >= exact->plan.objective);
        return found.bound;
    };
    CHECK(bound_of(seconds{0}) == bound_of(seconds{1800}));
    CHECK(bound_of(seconds{0}) == Points{200});
}
