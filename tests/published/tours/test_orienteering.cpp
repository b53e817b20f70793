// Published orienteering problems with time windows, gated on proven optima and on values for which
// a checked plan exists.
// what: profit collected by m tours
// source: G. Righini, M. Salani, "Decremental state space relaxation strategies and initialization
//         heuristics for solving the Orienteering Problem with Time Windows with dynamic
//         programming", Comput. Oper. Res. 36 (2009): optima for m = 1 (Solomon's series 1 and
//         Cordeau's pr). m > 1: P. Vansteenwegen et al., Comput. Oper. Res. 36 (2009) defines the
//         problems; the bounds are profits of plans that the checker accepts (reference.csv).
// units: profit; times in tenths (Solomon) or hundredths (Cordeau) of the file's unit
// tolerance: as each row below says: measured with this seed and number of iterations, which on one
//         seed give the same plan everywhere
#include <algorithm>

#include "planner/tour/checker.hpp"
#include "planner/tour/route_bound.hpp"
#include "planner/tour/schedule.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/tour_files.hpp"

using namespace nestround;

namespace {

struct Row {
    const char* instance;
    std::size_t tours;
    double tolerance;  ///< share of the reference that may be missing
};

const Row kRows[] = {
    {"c101", 1, 0},    {"c104", 1, 0},     {"c105", 1, 0},    {"r101", 1, 0},    {"r105", 1, 0},
    {"rc101", 1, 0},   {"rc105", 1, 0},    {"rc108", 1, 0},   {"pr01", 1, 0},    {"pr02", 1, 0},
    {"pr01", 4, 0},    {"c101", 3, 0},     {"r101", 3, 0},    {"c109", 4, 0.01}, {"r104", 2, 0.01},
    {"r112", 3, 0.01}, {"rc104", 4, 0.01}, {"pr03", 2, 0.01}, {"pr05", 3, 0.03},
};

}  // namespace

TEST_CASE("PublishedOrienteering, SolverReachesProvenAndCertifiedValues")
{
    if (!test::has_tour_files()) {
        WARN("SKIPPED: the published tour problems are not in " << test::tour_folder());
        return;
    }
    const auto references = test::read_tour_references();
    for (const auto& row : kRows) {
        CAPTURE(row.instance, row.tours);
        const auto reference = std::find_if(
            references.begin(), references.end(),
            [&](const auto& r) { return r.instance == row.instance && r.tours == row.tours; });
        REQUIRE(reference != references.end());
        const auto problem = value_or_throw(tour::Problem::make(
            test::read_tour_file(row.instance, row.tours), tour::Hopeless::Leave));
        tour::SolveOptions options;
        options.stop.iterations = 20000;
        const auto solution = tour::solve(problem, options);
        REQUIRE(tour::check(problem, solution.plan).empty());
        const auto value = static_cast<double>(solution.plan.objective.value());
        const auto floor = static_cast<double>(reference->proven.value_or(reference->certified));
        CHECK(value >= (1 - row.tolerance) * floor);
        if (reference->proven) {
            // More than a proven optimum would mean that a rule is not kept.
            CHECK(value <= static_cast<double>(*reference->proven));
        }
    }
}

// The bound alone, from a search too short to be trusted, must close on the proven optimum, from
// above and with a tour that the checker accepts. All 34 cases close in bench_tour --prove; these
// are quick.
TEST_CASE("PublishedOrienteering, BoundProvesSingleTours")
{
    if (!test::has_tour_files()) {
        WARN("SKIPPED: the published tour problems are not in " << test::tour_folder());
        return;
    }
    int closed = 0;
    for (const auto& reference : test::read_tour_references()) {
        const std::string& name = reference.instance;
        const bool is_quick = name[0] == 'c' || name == "r101" || name == "r105" ||
                              name == "r109" || name == "r110" || name.rfind("rc", 0) == 0 ||
                              name == "pr01" || name == "pr02";
        if (reference.tours != 1 || !is_quick) {
            continue;
        }
        CAPTURE(name);
        const auto problem = value_or_throw(
            tour::Problem::make(test::read_tour_file(name, 1), tour::Hopeless::Leave));
        tour::SolveOptions options;
        options.stop.iterations = 3000;
        auto plan = tour::solve(problem, options).plan;
        const auto found = tour::best_bound(problem, plan, 30'000'000);
        if (!found.tour.empty()) {
            auto better = tour::plan_of(problem, {tour::schedule(problem, 0, found.tour).value()});
            REQUIRE(tour::check(problem, better).empty());
            if (better.objective > plan.objective) {
                plan = std::move(better);
            }
        }
        CHECK(plan.objective == found.bound);
        REQUIRE(reference.proven.has_value());
        CHECK(found.bound.value() == *reference.proven);
        ++closed;
    }
    CHECK(closed == 23);
}
