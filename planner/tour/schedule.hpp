/// \file schedule.hpp
/// \brief A tour with all its times from the order of its jobs; a plan from its tours.
///
/// Purpose:  the one place that turns an order into times for solver, exact solver and day.
/// Units:    as the problem's.
/// Range:    jobs are indices of the problem, each at most once.
/// Accuracy: exact; of all schedules of the order, one that is home earliest.
/// Errors:   nothing when the order breaks a window, the shift, the pause, a ride limit, a road, or
/// a
///           second visit that is not after its first.
/// Source:   own.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

/// Times only: skills and capacities are not looked at, nor jobs of other tours that it follows.
[[nodiscard]] std::optional<Tour> schedule(const Problem& problem, std::size_t vehicle,
                                           std::span<const std::size_t> jobs);

/// All tours of a plan, one order a vehicle, with second visits after first ones. Of all schedules
/// one with the least overtime, then the soonest home.
[[nodiscard]] std::optional<std::vector<Tour>> schedule_all(
    const Problem& problem, std::span<const std::vector<std::size_t>> orders);

/// Prizes of the visits less the cost of driving, of overtime and of leaving at all.
[[nodiscard]] Points value_of(const Problem& problem, const Tour& tour);

/// Completes a plan: the jobs nobody visits, and the objective. One tour a vehicle, in order.
[[nodiscard]] Plan plan_of(const Problem& problem, std::vector<Tour> tours);

}  // namespace nestround::tour
