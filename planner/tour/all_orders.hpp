/// \file all_orders.hpp
/// \brief The best plan by trying all orders: where second visits tie tours together.
///
/// Purpose:  the inside of the exact solver; not for others.
/// Units:    as the problem's.
/// Range:    up to kExactFollowJobs jobs.
/// Accuracy: exact.
/// Cost:     grows with the factorial of the jobs that fit in a shift.
/// Errors:   nothing when the work allowed ended first.
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

[[nodiscard]] std::optional<Plan> best_of_all_orders(const Problem& problem, std::uint64_t& work);

}  // namespace nestround::tour
