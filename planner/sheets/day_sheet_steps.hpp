/// \file day_sheet_steps.hpp
/// \brief The work at one nest in its order, as the plan has it.
///
/// Purpose:  each stage of the chosen way with its minutes, its set-up in figures and what practice
///           says of it.
/// Units:    words in the user's units.
/// Range:    any stop; a plan without stages gives the order of the work without minutes.
/// Accuracy: as the plan.
/// Errors:   as day_sheet.hpp.
/// Source:   own; planner/sheets/practice.csv.
#pragma once

#include <vector>

#include "planner/sheets/day_sheet.hpp"

namespace nestround::sheets {

[[nodiscard]] std::vector<SheetStep> steps_of(const day::PlannedStop& stop, UnitStyle units);

}  // namespace nestround::sheets
