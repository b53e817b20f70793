#include "planner/tour/part.hpp"

#include "planner/tour/checker.hpp"
#include "planner/tour/ruin.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/made_tours.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

Problem large()
{
    const test::MadeTourShape shape{"", 420, 6, test::Scatter::Mixed, 10000, 900, 3600};
    return value_or_throw(Problem::make(test::made_tour(shape, 2), Hopeless::Leave));
}

}  // namespace

TEST_CASE("Part, EachTourAndJobIsInOne")
{
    const auto problem = large();
    const Flat flat{problem};
    const Ruin ruin{flat};
    SearchState state{flat};
    for (int car = 0; car < flat.cars_count; ++car) {
        for (int job = car; job < flat.jobs; job += flat.cars_count) {
            const Slot slot = state.routes()[car].slot(job, state.routes()[car].size());
            if (slot.position >= 0) {
                state.insert(job, car, slot);
            }
        }
    }
    Random random{1};
    for (int round = 0; round < 10; ++round) {
        for (const int count : {1, 2, 3}) {
            const auto parts = share_out(state, flat, ruin.near(), count, random);
            REQUIRE(parts.size() == static_cast<std::size_t>(count));
            for (int car = 0; car < flat.cars_count; ++car) {
                int has = 0;
                for (const auto& part : parts) {
                    has += part.has_car[car];
                }
                REQUIRE(has == 1);
            }
            std::size_t jobs = 0;
            for (const auto& part : parts) {
                jobs += part.jobs.size();
                for (const int job : part.jobs) {
                    REQUIRE(part.has_job[job] == 1);
                    const int route = state.route_of(job);
                    REQUIRE((route < 0 || part.has_car[route] == 1));
                }
            }
            REQUIRE(jobs == static_cast<std::size_t>(flat.jobs));
        }
    }
}

TEST_CASE("Part, SearchesWithToursOfTheirOwnGiveTheSamePlanEachTimeAndMoreThanOneAlone")
{
    const auto problem = large();
    SolveOptions options;
    options.stop.iterations = 3000;
    const auto alone = solve(problem, options);
    options.searches = 2;
    options.stop.iterations = 6000;
    const auto first = solve(problem, options);
    const auto again = solve(problem, options);
    CHECK(first.plan == again.plan);
    CHECK(check(problem, first.plan).empty());
    CHECK(first.plan.objective > alone.plan.objective);
    // One after the other or at once is the same.
    options.side_by_side = [](const auto& tasks) {
        for (std::size_t i = tasks.size(); i-- > 0;) {
            tasks[i]();
        }
    };
    CHECK(solve(problem, options).plan == first.plan);
}
