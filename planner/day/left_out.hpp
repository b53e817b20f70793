/// \file left_out.hpp
/// \brief Why a call that could have been asked for is not in the plan: the binding limit in words.
///
/// Purpose:  tries every place in the finished tours and names what forbids the best of them, or
///           what it would cost.
/// Units:    minutes and points in the words.
/// Range:    jobs of the problem that the plan leaves unserved.
/// Accuracy: exact for adding the one job to the plan as it stands; that another plan could hold it
///           at the price of others is said, not worked out.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "planner/day/day_problem.hpp"
#include "planner/tour/plan.hpp"

namespace nestround::day {

[[nodiscard]] std::string why_left_out(const DayProblem& day, const tour::Plan& plan,
                                       std::size_t job);

/// Adds unserved jobs that fit as the plan stands and pay for their detour, best gain first.
void fill_gaps(const tour::Problem& problem, tour::Plan& plan);

}  // namespace nestround::day
