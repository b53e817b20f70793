/// \file route_bound.hpp
/// \brief A value that no plan exceeds, found from the tours that vehicles could drive.
///
/// Purpose:  a user can read "within x % of the best possible", and often "the best possible".
/// Units:    points.
/// Range:    any problem; of more than kBoundJobs jobs or kBoundKinds kinds of vehicle it is the
///           knapsack of bound.hpp.
/// Accuracy: never below the best plan; where the plan known takes all must-takes, of those that
///           do. One vehicle: tours may first repeat jobs far from one another, and are forbidden
///           to where the best one does, until it repeats none (a proof) or the work is used up.
///           Several: things of which there is only so much get a price, moved to where the sum of
///           prices and best tours is least; when that is close to the plan known, all tours that a
///           better plan could have are listed and mixed (a proof). Ride limits, carried loads and
///           the times of second visits are not looked at.
/// Cost:     up to `work` looks at one job after another, some twenty million a second.
/// Errors:   none.
/// Source:   own; column generation after J. Desrosiers, F. Soumis, M. Desrochers, "Routing with
///           time windows by column generation", Networks 14 (1984), between prices after
///           W. Ben-Ameur, J. Neto, Networks 49 (2007); listing after R. Baldacci,
///           N. Christofides, A. Mingozzi, Math. Program. 115 (2008); see route_relaxation.hpp.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

inline constexpr std::size_t kBoundJobs = 320;
inline constexpr std::size_t kBoundKinds = 12;

struct RouteBoundResult {
    Points bound{};
    /// Of a single vehicle: the best tour found on the way, when it is worth more than the plan
    /// known. It has passed windows and driving only.
    std::vector<std::size_t> tour;
    /// A plan found on the way that is worth more than the one known and has passed the checker.
    std::optional<Plan> better;
};

/// `known` keeps all rules; the closer it is to the best plan, the sooner the bound is tight.
[[nodiscard]] RouteBoundResult best_bound(const Problem& problem, const Plan& known,
                                          std::uint64_t work);

}  // namespace nestround::tour
