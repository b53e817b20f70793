/// \file reach_roads.hpp
/// \brief How far a crew comes by road within so many minutes, as areas, a file and a picture.
///
/// Purpose:  `nestround roads reach`, and the picture of `nestround roads path`.
/// Units:    whole minutes, 1 to 1,440; metres.
/// Range:    up to kMostBands areas.
/// Accuracy: the roads as reached_roads.hpp, the areas as line_area.hpp.
/// Errors:   Failure: what reading the road file throws; InvalidInput when no road lies near the
///           start (named as it was typed); BadUsage for minutes without sense; OutputFailed.
/// Source:   own.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "geocore/roads/network.hpp"
#include "planner/app/road_times.hpp"
#include "planner/sheets/area_file.hpp"

namespace nestround::app {

inline constexpr std::size_t kMostBands = 12;

struct ReachWish {
    std::string roads;
    std::string start;  ///< as typed, for messages and the picture
    LonLat from{};
    std::vector<int> minutes;  ///< any order
    TravelOptions travel;
    place::AreaOptions area;
};

struct ReachAnswer {
    std::shared_ptr<const roads::RoadNetwork> network;
    roads::RoadStop start;
    std::string typed;
    std::string warning;  ///< as CutOffRoads::warning, or empty
    sheets::ReachedAreas reached;
    place::AreaOptions area;
};

[[nodiscard]] ReachAnswer reach_roads(const ReachWish& wish);

/// PNG, or SVG when the name ends in .svg.
void draw_reach(const ReachAnswer& answer, const std::string& path);
/// The way on a map; `roads` names the road file it was found in.
void draw_path(const PathAnswer& answer, const std::string& roads, const std::string& path);

}  // namespace nestround::app
