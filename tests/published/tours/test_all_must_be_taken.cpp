// Vehicle routing with time windows: every customer must be served, the distance counts.
// what: least total distance of the first 25, 50 and 100 customers of Solomon's problems of class
//       1, distances truncated to one decimal, vehicles of capacity 200, as many as are wanted
// source: secondhand: proven optima after N. Kohl, J. Desrosiers, O. B. G. Madsen, M. M. Solomon,
//         F. Soumis, "2-path cuts for the vehicle routing problem with time windows", Transp. Sci.
//         33 (1999), and later authors, as tabled in OptimalSolutions.java of the public repository
//         christianmaxmike/ALNS-VRPTW-FL (05be6db), which was read; the papers were not
// units: tenths of the file's unit
// tolerance: none downwards (less than an optimum would break a rule); upwards as each case says
#include <algorithm>

#include "planner/tour/checker.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/tour_files.hpp"

using namespace nestround;

namespace {

struct Row {
    const char* instance;
    std::int64_t of_25;
    std::int64_t of_50;
    std::int64_t of_100;
};

constexpr Row kRows[] = {
    {"c101", 1913, 3624, 8273},   {"c102", 1903, 3614, 8273},   {"c103", 1903, 3614, 8263},
    {"c104", 1869, 3580, 8229},   {"c105", 1913, 3624, 8273},   {"c106", 1913, 3624, 8273},
    {"c107", 1913, 3624, 8273},   {"c108", 1913, 3624, 8273},   {"c109", 1913, 3624, 8273},
    {"r101", 6171, 10440, 16377}, {"r102", 5471, 9090, 14666},  {"r103", 4546, 7729, 12087},
    {"r104", 4169, 6254, 9715},   {"r105", 5305, 8993, 13553},  {"r106", 4654, 7930, 12346},
    {"r107", 4243, 7111, 10646},  {"r108", 3973, 6177, 9321},   {"r109", 4413, 7868, 11469},
    {"r110", 4441, 6970, 10680},  {"r111", 4288, 7072, 10487},  {"r112", 3930, 6302, 9486},
    {"rc101", 4611, 9440, 16198}, {"rc102", 3518, 8225, 14574}, {"rc103", 3328, 7109, 12580},
    {"rc104", 3066, 5458, 11323}, {"rc105", 4113, 8553, 15137}, {"rc106", 3455, 7232, 13727},
    {"rc107", 2983, 6427, 12078}, {"rc108", 2945, 5981, 11142},
};

/// The least distance found for the first `count` customers.
std::int64_t distance_of(const char* instance, std::size_t count, std::uint64_t iterations)
{
    auto input = test::read_tour_file(instance, 25);
    input.jobs.resize(count);
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
    options.stop.iterations = iterations;
    const auto solution = tour::solve(problem, options);
    REQUIRE(solution.missing_musts.empty());
    REQUIRE(tour::check(problem, solution.plan).empty());
    return -solution.plan.objective.value();
}

bool is_skipped()
{
    if (!test::has_tour_files()) {
        WARN("SKIPPED: the published tour problems are not in " << test::tour_folder());
        return true;
    }
    return false;
}

}  // namespace

// The solver is made to choose, not to take all: with so few rounds it does not reach every
// optimum. Seen with this seed: 24 of 29 at 25 customers, the worst 2.9 % above (r112); 12 of 29 at
// 50, the worst 6.8 % above (c103). The limits keep it from getting worse.
TEST_CASE("AllMustBeTaken, ReachesMostOptimaOf25Customers")
{
    if (is_skipped()) {
        return;
    }
    int reached = 0;
    for (const auto& row : kRows) {
        CAPTURE(row.instance);
        const auto found = distance_of(row.instance, 25, 8000);
        CHECK(found >= row.of_25);
        CHECK(100 * found <= 104 * row.of_25);
        reached += found == row.of_25 ? 1 : 0;
    }
    CHECK(reached >= 22);
}

TEST_CASE("AllMustBeTaken, ReachesSomeOptimaOf50Customers")
{
    if (is_skipped()) {
        return;
    }
    int reached = 0;
    for (const auto& row : kRows) {
        CAPTURE(row.instance);
        const auto found = distance_of(row.instance, 50, 10000);
        CHECK(found >= row.of_50);
        CHECK(100 * found <= 108 * row.of_50);
        reached += found == row.of_50 ? 1 : 0;
    }
    CHECK(reached >= 10);
}

TEST_CASE("AllMustBeTaken, ComesNearTheOptimaOf100Customers")
{
    if (is_skipped()) {
        return;
    }
    for (const auto& row : kRows) {
        const std::string name = row.instance;
        if (name != "c101" && name != "c106" && name != "r101" && name != "r105" &&
            name != "rc101") {
            continue;
        }
        CAPTURE(row.instance);
        const auto found = distance_of(row.instance, 100, 20000);
        CHECK(found >= row.of_100);
        CHECK(100 * found <= 102 * row.of_100);
        if (name[0] == 'c') {
            CHECK(found == row.of_100);
        }
    }
}
