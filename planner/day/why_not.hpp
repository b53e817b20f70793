/// \file why_not.hpp
/// \brief What would have to change for a call to be in the plan, the smallest change of each rule.
///
/// Purpose:  `nestround morning --why-not CALL`. It says what a rule costs, never that breaking it
///           would do.
/// Units:    in the words.
/// Range:    any call of the day's input.
/// Accuracy: each change was tried: the call was put into the tours as they stand at every place.
///           That other tours could hold it sooner is not looked at. Starts are found to the
///           second.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "planner/day/day_problem.hpp"
#include "planner/tour/plan.hpp"

namespace nestround::day {

/// Sentences, the call's own state first.
[[nodiscard]] std::vector<std::string> why_not(const DayInput& input, const DayProblem& day,
                                               const tour::Plan& plan, std::size_t call);

/// How the bars of the day moved or bound a stop that is in the plan: those within 45 minutes of
/// the work that they bar.
[[nodiscard]] std::vector<std::string> bound_by(const DayProblem& day, const PlannedStop& stop,
                                                const tour::Window& shift);

}  // namespace nestround::day
