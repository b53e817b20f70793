/// \file stage_text.hpp
/// \brief The report on one nest's stage, for people and for programs.
///
/// Purpose:  shows yield::StageReport.
/// Units:    counts; days as dates.
/// Range:    any report.
/// Accuracy: as the report; figures are rounded for people only.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>

#include "planner/sheets/morning_text.hpp"
#include "planner/yield/stage_report.hpp"

namespace nestround::sheets {

/// `why`: with the steps.
[[nodiscard]] std::string stage_text(const yield::StageReport& report, const std::string& place,
                                     bool why, const TextOptions& options);
[[nodiscard]] std::string stage_json(const yield::StageReport& report);

}  // namespace nestround::sheets
