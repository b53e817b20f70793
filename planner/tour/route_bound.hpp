/// \file route_bound.hpp
/// \brief A value that no plan exceeds, found from the tours that vehicles could drive.
///
/// Purpose:  a user can read "within x % of the best possible", and often "the best possible".
/// Units:    points.
/// Range:    any problem. Problems of more than kBoundJobs jobs or kBoundKinds kinds of vehicle,
/// and
///           those where a detour can be quicker than the direct way, get the knapsack of
///           bound.hpp.
/// Accuracy: never below the best plan. One vehicle: tours may first repeat jobs far from one
///           another, and are forbidden to where the best one does, until it repeats none (a proof)
///           or the work is used up. Several: jobs get a price that vehicles pay for them, moved by
///           subgradients to where the sum of prices and best tours is least.
/// Cost:     up to `work` looks at one job after another, some twenty million a second.
/// Errors:   none.
/// Source:   own; Lagrangian relaxation after M. Held, P. Wolfe, H. Crowder, "Validation of
///           subgradient optimization", Math. Program. 6 (1974); see route_relaxation.hpp.
#pragma once

#include <cstdint>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

inline constexpr std::size_t kBoundJobs = 320;
inline constexpr std::size_t kBoundKinds = 12;

struct RouteBoundResult {
    Points bound{};
    /// Of a single vehicle: the best tour found on the way, when it is worth more than the plan
    /// known. It has passed windows and driving only.
    std::vector<std::size_t> tour;
};

/// `known` keeps all rules; the closer it is to the best plan, the sooner the bound is tight.
[[nodiscard]] RouteBoundResult best_bound(const Problem& problem, const Plan& known,
                                          std::uint64_t work);

}  // namespace nestround::tour
