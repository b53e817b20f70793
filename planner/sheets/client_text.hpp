/// \file client_text.hpp
/// \brief When a client may expect the crew, and what to tell them beforehand.
///
/// Purpose:  texts ready to be read over and sent by hand; the program sends nothing.
/// Units:    clock times local to the depot; windows in minutes.
/// Range:    windows of 30 to 240 minutes.
/// Accuracy: a window begins on a quarter of an hour and holds the planned moment.
/// Errors:   none.
/// Source:   own; planner/sheets/practice.csv.
#pragma once

#include <chrono>
#include <string>

#include "planner/day/day_plan.hpp"
#include "planner/sheets/day_sheet.hpp"

namespace nestround::sheets {

/// A third of it lies before the planned moment, for crews are late more than early; never outside
/// the hours that the client allows.
[[nodiscard]] ClockSpan arrival_window(const day::PlannedStop& stop, std::chrono::minutes width);

/// One text a stop, crew by crew; names and addresses only as `options` hold them.
[[nodiscard]] std::string client_texts(const day::DayPlan& plan, std::chrono::minutes width,
                                       const DaySheetOptions& options);

}  // namespace nestround::sheets
