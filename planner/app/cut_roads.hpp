/// \file cut_roads.hpp
/// \brief The roads of a window, as the map draws them.
///
/// Purpose:  the sheets know no network; this hands them lines with a rank.
/// Units:    degrees.
/// Range:    edges whose box touches the window.
/// Accuracy: as the network.
/// Errors:   none.
/// Source:   own.
#pragma once

#include "geocore/roads/network.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::app {

[[nodiscard]] sheets::MapRoads cut_roads(const roads::RoadNetwork& network,
                                         const sheets::MapWindow& window);

}  // namespace nestround::app
