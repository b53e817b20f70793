/// \file standing.hpp
/// \brief Where the day stands at a moment in its middle, and what a new plan changes.
///
/// Purpose:  planning again while crews are out: what is done stands, promises are kept unless that
///           is impossible, and of plans worth the same the one with the fewest changes is taken.
/// Units:    in the types; clock times local to the depot.
/// Range:    one CrewStanding for each crew of the input, in its order.
/// Accuracy: exact for what it is told; a crew's place and the end of its work come from a person
///           or from the plan that stood.
/// Errors:   none.
/// Source:   own; docs/science/day.md, "Planning again".
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "planner/day/day_plan.hpp"
#include "planner/tour/plan.hpp"

namespace nestround::day {

struct CrewStanding {
    LonLat at{};                       ///< where it sets off from
    ClockTime free_at{};               ///< not before the moment of planning
    bool rested = false;               ///< its midday break is over, or is missed
    bool is_out = false;               ///< has left the depot, so it must come home
    std::optional<ClockTime> home_by;  ///< for live comb already aboard
    std::vector<CallId> done;  ///< its stops so far: they have used ears, containers and boxes
    /// Still to come by the plan that stood, in its order, with the beginning of work.
    std::vector<std::pair<CallId, ClockTime>> planned;
};

struct Standing {
    ClockTime now{};
    std::vector<CrewStanding> crews;
    std::vector<CallId> done;  ///< not asked for again
    /// Points that a change must bring: a stop dropped, added, moved to another crew or overtaken
    /// by another. Assumption.
    double change_costs = 8;
};

/// Where the plan that stood had the calls; what a new plan changes of it.
[[nodiscard]] std::vector<PlanChange> changes_between(const Standing& standing,
                                                      const std::vector<CrewDay>& crews,
                                                      const std::vector<LeftOut>& left_out);

/// How many stops are dropped, added, moved to another crew or overtaken, from the orders `was` to
/// those of `plan`, both of jobs, one order a vehicle.
[[nodiscard]] std::size_t count_changes(const std::vector<std::vector<std::size_t>>& was,
                                        const tour::Plan& plan);

}  // namespace nestround::day
