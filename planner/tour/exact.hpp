/// \file exact.hpp
/// \brief The best plan of a small problem, proven: dynamic programming over sets of jobs.
///
/// Purpose:  small days, and the oracle that the solver is tested against. It knows nothing of the
///           solver's moves nor of its backward pass for live cargo.
/// Units:    as the problem's.
/// Range:    up to kExactJobs jobs; up to kExactFollowJobs where second visits tie tours together;
///           any number of vehicles, but with more than two of them the work grows fast.
/// Accuracy: exact. For each vehicle and set of jobs all pairs (time, driving) are kept of which
///           none beats another; live cargo is met by raising the openings until the arrival home
///           no longer moves (the least fixed point); vehicles then share the sets out, by dynamic
///           programming or by branch and bound against the best that each could have alone.
///           Second visits: all orders are tried, cut off where time or worth has run out.
/// Cost:     up to 2^n n^2 a vehicle: milliseconds at 10 jobs; at 20 jobs seconds, and some 100 MB,
///           unless shifts are short.
/// Errors:   nothing when there are too many jobs or the work allowed ends first.
/// Source:   own; dynamic programming over subsets after M. Held, R. M. Karp, J. SIAM 10 (1962).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

inline constexpr std::size_t kExactJobs = 20;
inline constexpr std::size_t kExactFollowJobs = 9;

struct ExactLimits {
    /// Steps of the inner loops, some ten million a second; the default is hours.
    std::uint64_t work = std::uint64_t{1} << 40U;
    /// A plan that keeps all rules: what cannot be better is not looked at. May be null.
    const Plan* known = nullptr;
};

struct ExactResult {
    bool feasible = false;  ///< every must-take can be met together
    Plan plan;              ///< the best one; when not feasible, the best that takes most of them
};

[[nodiscard]] std::optional<ExactResult> solve_exact(const Problem& problem,
                                                     const ExactLimits& limits = {});

/// A smallest set of must-takes that cannot be met together, ascending; empty when all can. Nothing
/// when that would take too long: more than kClashJobs of them, unless as few as three clash.
inline constexpr std::size_t kClashJobs = 15;
[[nodiscard]] std::optional<std::vector<std::size_t>> smallest_clash(const Problem& problem);

}  // namespace nestround::tour
