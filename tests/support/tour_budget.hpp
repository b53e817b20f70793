/// \file tour_budget.hpp
/// \brief What the benchmarks of the tour solver share: a clock, and one run of the solver by it.
///
/// Purpose:  every plan that is counted has passed the checker.
/// Units:    seconds.
/// Range:    the benchmarks.
/// Source:   own.
#pragma once

#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <string>

#include "planner/app/side_by_side.hpp"
#include "planner/app/solve_tour.hpp"
#include "planner/tour/checker.hpp"
#include "planner/tour/solver.hpp"

namespace nestround::test {

inline double processor_seconds()
{
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

inline double wall_seconds()
{
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

/// Of this process so far, in MB.
inline double peak_memory()
{
    std::ifstream status{"/proc/self/status"};
    for (std::string word; status >> word;) {
        if (word == "VmHWM:") {
            double kilobytes = 0;
            status >> kilobytes;
            return kilobytes / 1000;
        }
    }
    return 0;
}

/// How a budget is measured.
struct Budget {
    int threads = 1;
    bool by_wall = false;
    std::uint64_t iterations = 0;  ///< above 0: these instead of any clock, and no polish

    [[nodiscard]] double now() const { return by_wall ? wall_seconds() : processor_seconds(); }
    [[nodiscard]] std::string words() const
    {
        if (iterations > 0) {
            return fmt::format("{} iterations by {} searches, no clock", iterations, threads);
        }
        return fmt::format(
            "{} {}, {}", threads, threads == 1 ? "search" : "searches",
            by_wall ? "by the wall clock" : "processor time of the first searching thread");
    }
};

inline tour::Solution solve_for(const tour::Problem& problem, double seconds, std::uint64_t seed,
                                const Budget& budget)
{
    const double begin = budget.now();
    tour::SolveOptions options;
    options.seed = seed;
    options.searches = budget.threads;
    options.side_by_side = app::run_side_by_side;
    options.polish_share = app::kPolishShare;
    if (budget.iterations > 0) {
        options.stop.iterations = budget.iterations;
        options.polish_share = 0;
    } else {
        options.stop.iterations = 1ULL << 40U;
        options.stop.share_used = [&] { return (budget.now() - begin) / seconds; };
    }
    auto solution = tour::solve(problem, options);
    const auto broken = tour::check(problem, solution.plan);
    if (!broken.empty()) {
        fmt::print("BROKEN {}\n", broken.front().message);
        std::exit(1);
    }
    return solution;
}

}  // namespace nestround::test
