/// \file why.hpp
/// \brief Why a call is in the day's plan or not, in figures a person can check.
///
/// Purpose:  `nestround morning --why CALL`: value, detour, the limit that binds, and what would
///           have to change.
/// Units:    points, minutes, clock times.
/// Range:    any call of the day's input.
/// Accuracy: exact against the plan that stands: each 'would fit' and 'could begin' was scheduled.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "planner/day/day_problem.hpp"
#include "planner/tour/plan.hpp"

namespace nestround::day {

/// Sentences, the weightiest first. `call` is an index into the input's calls.
[[nodiscard]] std::vector<std::string> why(const DayProblem& day, const tour::Plan& plan,
                                           std::size_t call);

}  // namespace nestround::day
