/// \file day_conditions.hpp
/// \brief Use case: daylight and weather by the hour for one day at one place.
///
/// Purpose:  what the limits of a day and the ride of live cargo are worked out from.
/// Units:    seconds since local midnight; as planner/day/limits.hpp.
/// Range:    any day. Hourly readings of the nearest station that has them; else a published curve
///           through the nearest station's daily readings, temperature only; else nothing.
/// Accuracy: a station's, wherever it stands; `source` says how far away it is.
/// Errors:   as the book's.
/// Source:   planner/access/heat.hpp, geocore/place/sun.hpp.
#pragma once

#include <string>

#include "geocore/book/book.hpp"
#include "planner/day/limits.hpp"

namespace nestround::app {

/// Sunrise to sunset, or civil dawn to dusk, on the clock of `zone`.
[[nodiscard]] day::Daylight daylight(LonLat place, Day on, const std::string& zone,
                                     day::Light light);

[[nodiscard]] day::DayConditions day_conditions(const book::Book& book, Day on, LonLat place,
                                                const std::string& zone, day::Light light);

}  // namespace nestround::app
