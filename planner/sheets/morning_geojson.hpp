/// \file morning_geojson.hpp
/// \brief The day for a map program: stops, legs along the roads, and depots.
///
/// Purpose:  one FeatureCollection. Holds what a partner at the map needs and nothing private: the
///           label and key of a call, no client, address, note, reason or caution.
/// Units:    in the property's name: _s, _m, _g; coordinates in degrees, WGS 84, longitude first.
/// Range:    a line over the 180th meridian becomes a MultiLineString cut there; a leg that brought
///           no line has no geometry.
/// Accuracy: 1e-7 degrees.
/// Errors:   none.
/// Source:   own; RFC 7946.
#pragma once

#include <string>

#include "planner/day/day_plan.hpp"

namespace nestround::sheets {

[[nodiscard]] std::string morning_geojson(const day::DayPlan& plan);

}  // namespace nestround::sheets
