/// \file bound.hpp
/// \brief No plan of a problem is worth more than this.
///
/// Purpose:  lets a reader see how far a plan can be from the best possible.
/// Units:    points.
/// Range:    any problem; the bound is never below the best plan, musts or not.
/// Accuracy: loose where windows rule, close where the length of the shifts does.
/// Cost:     jobs times places, and a sort.
/// Errors:   none.
/// Source:   own; the continuous knapsack after G. B. Dantzig, "Discrete-variable extremum
///           problems", Oper. Res. 5 (1957).
#pragma once

#include "planner/tour/problem.hpp"

namespace nestround::tour {

/// Each job takes at least its service and the shortest way in; each vehicle that sets out has its
/// shift less the shortest way home. Filling that time with the best parts of jobs is a plan that
/// knows fewer rules.
[[nodiscard]] Points upper_bound(const Problem& problem);

}  // namespace nestround::tour
