/// \file map.hpp
/// \brief The day on one page: roads, tours, stops, depots, calls left out, and what they mean.
///
/// Purpose:  a picture to hang beside the truck keys; readable in grey and by colour-blind eyes.
///           Shows labels and calls' keys, never a client or an address.
/// Units:    page in millimetres; roads and places WGS 84; scale bar in both unit systems.
/// Range:    windows up to some hundred kilometres, within 85 degrees of the equator.
/// Accuracy: local equirectangular projection about the window's middle: shapes are true to about
///           1 % a hundred kilometres across at 50 degrees.
/// Promise:  the same input and fonts give the same bytes.
/// Errors:   throws Failure (OutputFailed) when the picture cannot be made (no memory).
/// Source:   own.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "geocore/roads/road_class.hpp"
#include "geocore/units/units.hpp"
#include "planner/day/day_plan.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {

/// How a road is drawn, strongest first.
enum class RoadRank { Fast, Main, Linking, Local, Track, Ferry };

[[nodiscard]] RoadRank road_rank(roads::RoadClass road_class);

struct MapRoad {
    RoadRank rank = RoadRank::Local;
    std::vector<LonLat> line;
};

/// The caller cuts these from its network to `map_window`.
struct MapRoads {
    std::vector<MapRoad> roads;
};

enum class MapFormat { Png, Svg, Pdf };  ///< Pdf: one page, or the pages of a sheet

struct MapOptions {
    MapFormat format = MapFormat::Png;
    double width_mm = 297;  ///< A4 on its side
    double height_mm = 210;
    double dots_per_inch = 150;  ///< PNG alone
    UnitStyle units = UnitStyle::Metric;
};

/// What the page will show, so that the caller can cut the roads; east may pass 180.
struct MapWindow {
    double west = 0;
    double south = 0;
    double east = 0;
    double north = 0;
};

/// Holds every depot, stop and driven line, with a margin; calls left out may fall outside.
[[nodiscard]] MapWindow map_window(const day::DayPlan& plan, const MapOptions& options = {});
/// Holds all of these with a margin.
[[nodiscard]] MapWindow map_window(std::span<const LonLat> places, const MapOptions& options = {});

/// The bytes of the picture.
[[nodiscard]] std::string draw_morning_map(const day::DayPlan& plan, const MapRoads& roads,
                                           const MapOptions& options = {});

}  // namespace nestround::sheets
