/// \file cut_roads.hpp
/// \brief The roads of a window, as the map draws them.
///
/// Purpose:  the sheets know no network; this hands them lines with a rank.
/// Units:    degrees.
/// Range:    the roads that are drawn at the window's scale, see map_lines.hpp.
/// Accuracy: within a 2,400th of the window's height: 0.08 mm on a page of A4.
/// Errors:   none.
/// Source:   own.
#pragma once

#include "geocore/roads/network.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::app {

[[nodiscard]] sheets::MapRoads cut_roads(const roads::RoadNetwork& network,
                                         const sheets::MapWindow& window);

}  // namespace nestround::app
