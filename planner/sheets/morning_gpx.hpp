/// \file morning_gpx.hpp
/// \brief The day for a navigation device: a waypoint a stop, a track a crew.
///
/// Purpose:  GPX 1.1. Where legs have road lines, a crew's track has one segment a leg; where none
///           has, the crew gets a route through its stops. Nothing private: see morning_geojson.
/// Units:    degrees WGS 84; the words in descriptions as asked.
/// Range:    places that are not on Earth are left out.
/// Accuracy: 1e-7 degrees.
/// Errors:   none; characters that XML 1.0 forbids become U+FFFD or spaces.
/// Source:   own; GPX 1.1 schema, elements in its order.
#pragma once

#include <string>
#include <string_view>

#include "planner/day/day_plan.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {

[[nodiscard]] std::string morning_gpx(const day::DayPlan& plan,
                                      UnitStyle units = UnitStyle::Metric);

/// `text` for use inside an XML element or attribute.
[[nodiscard]] std::string xml_text(std::string_view text);

}  // namespace nestround::sheets
