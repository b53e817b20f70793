/// \file time_strip.hpp
/// \brief A crew's day as one row of characters against the clock.
///
/// Purpose:  the whole day at a glance: when a crew drives, waits, works and rests.
/// Units:    columns of a terminal; a cell is a whole share of an hour.
/// Range:    any day within 48 hours.
/// Accuracy: a cell shows what happens in its middle.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <span>
#include <string>

#include "planner/day/day_plan.hpp"

namespace nestround::sheets {

/// The hours that all crews' rows share.
struct StripScale {
    int first_hour = 0;
    int hours = 0;
    int cells_per_hour = 0;

    [[nodiscard]] int cells() const { return hours * cells_per_hour; }
};

/// As fine as `width` allows; hours == 0 when no crew leaves its depot.
[[nodiscard]] StripScale strip_scale(std::span<const day::CrewDay> crews, int width);
/// "6     7     8": the hour stands over the cell that it begins.
[[nodiscard]] std::string strip_hours(const StripScale& scale);
[[nodiscard]] std::string strip_row(const day::CrewDay& crew, const StripScale& scale);

inline constexpr const char* kStripDriving = "\u2500";
inline constexpr const char* kStripWorking = "\u2588";
inline constexpr const char* kStripWaiting = "\u00b7";
inline constexpr const char* kStripResting = "\u2591";

}  // namespace nestround::sheets
