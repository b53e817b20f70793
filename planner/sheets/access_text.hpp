/// \file access_text.hpp
/// \brief How a nest is reached, for the terminal and as JSON.
///
/// Purpose:  every way that does, its set-up, stages and minutes; what was ruled out and why.
/// Units:    both systems in words; JSON in metres, seconds, degrees, kilograms.
/// Range:    any AccessPlan.
/// Accuracy: as the plan.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "planner/access/learned.hpp"
#include "planner/sheets/access_drawing.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::sheets {

[[nodiscard]] std::string access_text(const AccessPage& page,
                                      const std::vector<access::MethodTime>& times,
                                      const TextOptions& options);
[[nodiscard]] std::string access_json(const AccessPage& page);

}  // namespace nestround::sheets
