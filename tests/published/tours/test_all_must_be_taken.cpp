// Vehicle routing with time windows: every customer must be served, the distance counts.
// what: least total distance of the first 25 customers of Solomon's problems, distances truncated
// to
//       one decimal, at most 25 vehicles of capacity 200
// source: memory: N. Kohl et al., "2-path cuts for the vehicle routing problem with time windows",
//         Transp. Sci. 33 (1999): c101.25 191.3, c105.25 191.3, r101.25 617.1, rc101.25 461.1
// units: tenths of the file's unit
// tolerance: none: with this seed and number of rounds they are reached, and less would break a
// rule
#include "planner/tour/checker.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/tour_files.hpp"

using namespace nestround;

TEST_CASE("AllMustBeTaken, ReachesTheRememberedDistances")
{
    if (!test::has_tour_files()) {
        WARN("SKIPPED: the published tour problems are not in " << test::tour_folder());
        return;
    }
    struct Row {
        const char* instance;
        std::int64_t tenths;
    };
    for (const auto& row :
         {Row{"c101", 1913}, Row{"c105", 1913}, Row{"r101", 6171}, Row{"rc101", 4611}}) {
        CAPTURE(row.instance);
        auto input = test::read_tour_file(row.instance, 25);
        input.jobs.resize(25);
        input.resources = 1;
        for (auto& job : input.jobs) {
            job.demand = {job.prize.front().value()};  // these files give demands as profits
            job.prize = {tour::Points{0}};
            job.must_take = true;
        }
        for (auto& vehicle : input.vehicles) {
            vehicle.capacity = {200};
            vehicle.cost_per_second = tour::Points{1};
        }
        const auto problem = value_or_throw(tour::Problem::make(std::move(input)));
        tour::SolveOptions options;
        options.stop.iterations = 20000;
        const auto solution = tour::solve(problem, options);
        REQUIRE(solution.missing_musts.empty());
        REQUIRE(tour::check(problem, solution.plan).empty());
        CHECK(-solution.plan.objective.value() == row.tenths);
    }
}
