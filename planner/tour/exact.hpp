/// \file exact.hpp
/// \brief The best plan of a small problem, proven: dynamic programming over sets of jobs.
///
/// Purpose:  small days, and the oracle that the solver is tested against. It knows nothing of the
///           solver's moves nor of its backward pass for live cargo.
/// Units:    as the problem's.
/// Range:    up to kExactJobs jobs; any number of vehicles.
/// Accuracy: exact. For each vehicle and set of jobs all pairs (time, driving) are kept of which
///           none beats another; live cargo is met by raising the openings until the arrival home
///           no longer moves (the least fixed point); vehicles then share the jobs out.
/// Cost:     some 2^n n^2 a vehicle, 3^n to share out: milliseconds at 10 jobs, about a second at
///           13 of them.
/// Errors:   nothing when there are too many jobs.
/// Source:   own; dynamic programming over subsets after M. Held, R. M. Karp, J. SIAM 10 (1962).
#pragma once

#include <optional>
#include <vector>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

inline constexpr std::size_t kExactJobs = 15;

struct ExactResult {
    bool feasible = false;  ///< every must-take can be met together
    Plan plan;              ///< the best one; when not feasible, the best that takes most of them
};

[[nodiscard]] std::optional<ExactResult> solve_exact(const Problem& problem);

/// A smallest set of must-takes that cannot be met together, ascending; empty when all can. Nothing
/// when there are more than kExactJobs of them.
[[nodiscard]] std::optional<std::vector<std::size_t>> smallest_clash(const Problem& problem);

}  // namespace nestround::tour
