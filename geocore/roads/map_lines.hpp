/// \file map_lines.hpp
/// \brief The roads of a window as lines to draw: fewer points, fewer roads, fewer lines.
///
/// Purpose:  a map of a county needs neither every bend nor every lane, and needs them quickly.
/// Units:    1e-7 degree; tolerances in metres on the ground.
/// Range:    zoom 0 to 22. Windows not across the antimeridian.
/// Accuracy: no point left out lies further than tolerance(zoom) from the line drawn. Junctions
/// stay
///           where they are, and a stretch is drawn alike in every window of a zoom.
/// Cost:     the edges whose boxes touch the window, once each, and a sort of their ends.
/// Errors:   none.
/// Source:   D. Douglas, T. Peucker, Cartographica 10 (1973) 112; cutting: Y.-D. Liang, B. A.
///           Barsky, ACM Trans. Graph. 3 (1984) 1. Zoom: own numbering, doubling from step to step;
///           at 0 the equator is 256 dots long.
#pragma once

#include <vector>

#include "geocore/roads/network.hpp"
#include "geocore/units/units.hpp"

namespace nestround::roads {

inline constexpr int kFinestZoom = 22;

struct MapLine {
    RoadClass road_class = RoadClass::Unclassified;
    std::vector<RoadPoint> line;  ///< at least two points, inside the window
};

/// Half a dot of that zoom at the equator.
[[nodiscard]] Metres tolerance(int zoom);
/// The coarsest zoom whose tolerance is `wanted` at most.
[[nodiscard]] int zoom_for(Metres wanted);
/// The coarsest zoom at which roads of this class are drawn.
[[nodiscard]] int first_zoom(RoadClass road_class);

/// Adjoining stretches of one class come as one line where no third road that is drawn meets them.
[[nodiscard]] std::vector<MapLine> lines_in(const RoadNetwork& network, RoadBox box, int zoom);

}  // namespace nestround::roads
