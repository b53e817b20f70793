#include "planner/tour/solver.hpp"

#include <chrono>
#include <stdexcept>
#include <thread>

#include "planner/tour/checker.hpp"
#include "planner/tour/exact.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/made_tours.hpp"
#include "tests/support/random_tours.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

Problem made(ProblemInput input)
{
    return value_or_throw(Problem::make(std::move(input), Hopeless::Leave));
}

}  // namespace

TEST_CASE("Solver, IsTheSameForTheSameSeedOnAnyThread")
{
    const auto problem = made(test::random_tour_problem(7, {40, 3, 0.05, 0.1, 0.5, true}));
    SolveOptions options;
    options.seed = 3;
    options.stop.iterations = 1500;
    const auto first = solve(problem, options);
    const auto again = solve(problem, options);
    Plan elsewhere;
    std::thread{[&] { elsewhere = solve(problem, options).plan; }}.join();
    CHECK(first.plan == again.plan);
    CHECK(first.plan == elsewhere);
    CHECK(first.iterations == 1500);
    CHECK_FALSE(first.stopped);
}

TEST_CASE("Solver, StopsByTheCallersClockAndCallback")
{
    const auto problem = made(test::random_tour_problem(7, {30, 2, 0, 0, 0, true}));
    SolveOptions options;
    options.stop.iterations = 1000000000;
    double share = 0;  // outlives the section: the solver asks after it has ended
    SECTION("clock")
    {
        options.stop.share_used = [&] { return share += 0.1; };
    }
    SECTION("callback")
    {
        options.progress = [](const Progress& progress) { return progress.iteration < 500; };
    }
    const auto solution = solve(problem, options);
    CHECK(solution.stopped);
    CHECK(solution.iterations < 100000);
    CHECK(check(problem, solution.plan).empty());
}

TEST_CASE("Solver, ReportsAProgressThatNeverFalls")
{
    const auto problem = made(test::random_tour_problem(9, {40, 2, 0, 0, 0, true}));
    SolveOptions options;
    options.stop.iterations = 3000;
    std::vector<Points> seen;
    options.progress = [&](const Progress& progress) {
        seen.push_back(progress.objective);
        return true;
    };
    const auto solution = solve(problem, options);
    REQUIRE(seen.size() > 10);
    CHECK(std::is_sorted(seen.begin(), seen.end()));
    CHECK(solution.plan.objective >= seen.back());
}

TEST_CASE("Solver, BeginsFromGivenOrders")
{
    const auto problem = made(test::random_tour_problem(11, {40, 2, 0, 0, 0, true}));
    SolveOptions options;
    options.stop.iterations = 20000;
    const auto good = solve(problem, options);
    SolveOptions from;
    from.stop.iterations = 0;
    for (const auto& tour : good.plan.tours) {
        auto& order = from.start.emplace_back();
        for (const auto& visit : tour.visits) {
            order.push_back(visit.job);
        }
    }
    CHECK(solve(problem, from).plan.objective >= good.plan.objective);
}

TEST_CASE("Solver, ThreadsGiveTheSamePlanHoweverTheyAreTimed")
{
    const auto problem = made(test::random_tour_problem(13, {40, 3, 0, 0, 0, true}));
    SolveOptions options;
    options.searches = 3;
    options.stop.iterations = 6000;
    const auto first = solve(problem, options);
    CHECK(check(problem, first.plan).empty());
    CHECK(first.iterations == 6000);
    // So far one after another; now at once.
    options.side_by_side = [](const std::vector<std::function<void()>>& tasks) {
        std::vector<std::jthread> others;
        for (std::size_t i = 1; i < tasks.size(); ++i) {
            others.emplace_back(tasks[i]);
        }
        tasks.front()();
    };
    for (int run = 0; run < 4; ++run) {
        // The caller's function slows one of the threads down.
        options.progress = [&](const Progress&) {
            std::this_thread::sleep_for(std::chrono::microseconds{50 * run});
            return true;
        };
        CHECK(solve(problem, options).plan == first.plan);
    }
    options.progress = [](const Progress& progress) { return progress.iteration < 1000; };
    const auto cut = solve(problem, options);
    CHECK(cut.stopped);
    CHECK(cut.iterations < 6000);
    options.progress = [](const Progress&) -> bool { throw std::runtime_error{"enough"}; };
    CHECK_THROWS(solve(problem, options));
}

TEST_CASE("Solver, KeepsAStopThatDoesNotPayWhereAPauseNeedsIt")
{
    // The pause can be taken near the second stop only when a first one brings the crew there.
    const auto problem = made(test::random_tour_problem(155464, {8, 2, 0.1, 0, 0.8, true}));
    SolveOptions options;
    options.stop.iterations = 5000;
    CHECK(solve(problem, options).plan.objective == Points{243});
}

TEST_CASE("Exact, AKnownPlanOnlySavesWork")
{
    for (std::uint64_t seed = 400; seed < 430; ++seed) {
        CAPTURE(seed);
        const auto problem =
            made(test::random_tour_problem(seed, {9, 1 + seed % 2, 0.1, 0, 0.2, true}));
        const auto exact = solve_exact(problem);
        REQUIRE(exact);
        const auto again = solve_exact(problem, {std::uint64_t{1} << 40U, &exact->plan});
        REQUIRE(again);
        CHECK(again->plan.objective == exact->plan.objective);
        CHECK_FALSE(solve_exact(problem, {10, nullptr}));
    }
}

TEST_CASE("Exact, ProvesTwentyJobs")
{
    // Short shifts keep the sets few; the search has to agree.
    for (std::uint64_t seed = 500; seed < 504; ++seed) {
        CAPTURE(seed);
        const auto problem = made(test::random_tour_problem(seed, {18, 2, 0, 0, 0, true}));
        SolveOptions options;
        options.stop.iterations = 40000;
        const auto found = solve(problem, options);
        const auto exact = solve_exact(problem, {40'000'000, &found.plan});
        REQUIRE(exact);
        CHECK(check(problem, exact->plan).empty());
        CHECK(exact->plan.objective == found.plan.objective);
    }
}

TEST_CASE("Solver, NothingToDoIsAnEmptyPlan")
{
    auto input = test::random_tour_problem(1, {3, 1, 0, 0, 0, true});
    SECTION("no jobs") { input.jobs.clear(); }
    SECTION("no vehicles")
    {
        input.vehicles.clear();
        for (auto& job : input.jobs) {
            job.forbidden.clear();
            job.prize.resize(1);
            job.service.resize(1);
        }
    }
    const auto problem = made(input);
    const auto solution = solve(problem);
    CHECK(solution.plan.objective == Points{0});
    CHECK(solution.plan.unserved.size() == problem.jobs().size());
    CHECK(check(problem, solution.plan).empty());
}

TEST_CASE("Solver, NeverTakesAJobThatCostsMoreThanItBrings")
{
    auto input = test::random_tour_problem(5, {12, 1, 0, 0, 0, true});
    input.vehicles[0].cost_per_second = Points{1000};
    const auto problem = made(input);
    CHECK(solve(problem).plan.objective == Points{0});
}

TEST_CASE("Solver, NamesMustsThatCannotBeMet")
{
    auto input = test::random_tour_problem(21, {8, 1, 1, 0, 0, true});
    for (auto& job : input.jobs) {
        job.windows = {{seconds{100}, seconds{110}}};
        job.pinned_start.reset();
        job.forbidden.clear();
        job.needs = 0;
        job.demand = {0};
        job.service = {seconds{60}};
    }
    const auto problem = made(input);
    const auto solution = solve(problem);
    CHECK(solution.missing_musts.size() >= 7);  // 60 s of work in windows of 10 s
    const auto clash = smallest_clash(problem);
    REQUIRE(clash.has_value());
    CHECK_FALSE(clash->empty());
    CHECK(clash->size() <= 2);
}

TEST_CASE("Solver, MoreTimeCrewsOrHoursNeverMakeTheProvenBestWorse")
{
    for (std::uint64_t seed = 300; seed < 330; ++seed) {
        CAPTURE(seed);
        const auto input = test::random_tour_problem(seed, {7, 2, 0, 0.2, 0, true});
        const auto best = [](const ProblemInput& changed) {
            return solve_exact(made(changed)).value().plan.objective.value();
        };
        const auto before = best(input);
        auto longer = input;
        longer.vehicles[0].shift.closes += seconds{60};
        CHECK(best(longer) >= before);
        auto looser = input;
        for (auto& job : looser.jobs) {
            for (auto& window : job.windows) {
                window.closes += seconds{15};
            }
        }
        CHECK(best(looser) >= before);
        auto more = input;
        more.vehicles.push_back(more.vehicles[0]);
        for (auto& job : more.jobs) {
            if (job.prize.size() > 1) {
                job.prize.push_back(job.prize[0]);
                job.service.push_back(job.service[0]);
            }
        }
        CHECK(best(more) >= before);
        // And the solver keeps up with each.
        SolveOptions options;
        options.stop.iterations = 3000;
        CHECK(solve(made(longer), options).plan.objective.value() == best(longer));
        CHECK(solve(made(more), options).plan.objective.value() == best(more));
    }
}

TEST_CASE("Exact, FindsASmallestClash")
{
    for (std::uint64_t seed = 50; seed < 80; ++seed) {
        CAPTURE(seed);
        auto input = test::random_tour_problem(seed, {7, 1, 1, 0, 0, true});
        const auto problem = made(input);
        const auto exact = solve_exact(problem);
        const auto clash = smallest_clash(problem);
        REQUIRE(exact.has_value());
        REQUIRE(clash.has_value());
        CHECK(clash->empty() == exact->feasible);
        if (clash->empty()) {
            continue;
        }
        // The clash alone cannot be met; without any one of it the rest can.
        for (std::size_t without = 0; without <= clash->size(); ++without) {
            auto some = input;
            for (auto& job : some.jobs) {
                job.must_take = false;
            }
            for (std::size_t i = 0; i < clash->size(); ++i) {
                some.jobs[(*clash)[i]].must_take = i != without;
            }
            CHECK(solve_exact(made(some))->feasible == (without < clash->size()));
        }
    }
}

TEST_CASE("Solver, LargeProblemsAreCheckedAndPolishingNeverCosts")
{
    // Above the number of jobs from which only those near to the ruin are looked at.
    for (const auto& shape : test::made_tour_shapes()) {
        if (shape.jobs > 216 || shape.jobs < 144) {
            continue;
        }
        CAPTURE(shape.name);
        const auto problem = value_or_throw(Problem::make(test::made_tour(shape, 4)));
        SolveOptions options;
        options.stop.iterations = 2000;
        const auto plain = solve(problem, options);
        CHECK(check(problem, plain.plan).empty());
        options.polish_share = 0.3;
        const auto polished = solve(problem, options);
        CHECK(check(problem, polished.plan).empty());
        CHECK(polished.plan.objective >= plain.plan.objective);
        CHECK(solve(problem, options).plan == polished.plan);
    }
}

TEST_CASE("Solver, PolishingByTheClockEnds")
{
    const auto problem =
        value_or_throw(Problem::make(test::made_tour(test::made_tour_shapes()[1], 5)));
    SolveOptions options;
    options.polish_share = 0.5;
    options.stop.iterations = std::uint64_t{1} << 40U;
    int asked = 0;  // a clock that goes on by itself whenever it is looked at
    options.stop.share_used = [&] { return 0.01 * ++asked; };
    const auto found = solve(problem, options);
    CHECK(check(problem, found.plan).empty());
    CHECK(asked >= 52);  // the search had its half, and the polish looked too
    CHECK(asked <= 130);
}
