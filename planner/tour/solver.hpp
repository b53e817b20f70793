/// \file solver.hpp
/// \brief A good plan for a problem of any size, better the longer it is given.
///
/// Purpose:  chooses jobs, shares them out and orders them. Anytime: stopped at any moment it gives
///           the best plan so far. Deterministic: the same problem, seed and iterations give the
///           same plan on every machine, as long as no clock stops it. Clock and callback are asked
///           on the caller's thread only.
/// Units:    as the problem's.
/// Range:    up to some thousand jobs.
/// Accuracy: a heuristic; measured gaps stand in docs/science/tour.md. Every plan returned keeps
/// all
///           rules but, at worst, must-takes that could not be fitted; those are named.
/// Cost:     some ten thousand iterations a second at 100 jobs and 4 vehicles.
/// Errors:   none: the problem is valid.
/// Source:   own code after J. Christiaens, G. Vanden Berghe, "Slack induction by string removals
///           for vehicle routing problems", Transp. Sci. 54 (2020), under simulated annealing.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

struct Progress {
    std::uint64_t iteration = 0;
    Points objective{};  ///< of the best plan so far
    std::size_t served = 0;
    std::size_t missing_musts = 0;
};

struct StopRule {
    std::uint64_t iterations = 20000;
    /// The share of the budget that is used up, by a clock of the caller's; 1 or more stops. The
    /// search cools by it. May be empty: then the iterations are the budget.
    std::function<double()> share_used;
};

struct SolveOptions {
    std::uint64_t seed = 1;
    /// Searches side by side, each with its share of the iterations. They meet at fixed shares of
    /// the budget and go on from the best plan, so that the answer depends on this number but not
    /// on which of them is faster.
    int searches = 1;
    /// Runs all tasks, at once where it can, the first on the caller's thread; returns when all are
    /// done. Empty: one after another.
    std::function<void(const std::vector<std::function<void()>>&)> side_by_side;
    StopRule stop;
    /// Share of the clock, up to a half, that goes to polish.hpp at the end; beside iterations,
    /// that much more. Where tours hang together or vehicles are many the search keeps it.
    double polish_share = 0;
    /// Called now and then; false stops. May be empty.
    std::function<bool(const Progress&)> progress;
    /// Orders of jobs to begin from, one a vehicle; what cannot be kept is dropped. May be empty.
    std::vector<std::vector<std::size_t>> start;
};

struct Solution {
    Plan plan;
    std::vector<std::size_t> missing_musts;  ///< ascending
    std::uint64_t iterations = 0;
    bool stopped = false;  ///< by the clock or the callback, before the iterations were used up
};

[[nodiscard]] Solution solve(const Problem& problem, const SolveOptions& options = {});

}  // namespace nestround::tour
