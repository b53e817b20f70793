/// \file map_ground.hpp
/// \brief What every map stands on: the page, the web of roads, the scale and the arrow to north.
///
/// Purpose:  one look for the morning's map and the pictures of reach and route.
/// Units:    millimetres; the scale bar in kilometres and miles.
/// Range:    as map.hpp.
/// Accuracy: as map.hpp.
/// Errors:   check_page throws Failure (BadUsage) for a page too small or too large.
/// Source:   own.
#pragma once

#include "planner/sheets/map_canvas.hpp"

namespace nestround::sheets {

struct Furniture {
    PageBox scale;
    PageBox north;
};

void check_page(const MapOptions& options);
[[nodiscard]] Furniture furniture_in(const PageBox& map);

/// The page and the map's ground; until `unclip` nothing is drawn outside `map`.
void draw_ground(Canvas& canvas, const PageBox& map, const MapOptions& options);
/// The same for one map of several on a page.
void draw_ground_in(Canvas& canvas, const PageBox& map);
void draw_road_web(Canvas& canvas, const MapFrame& frame, const MapRoads& roads);
void draw_furniture(Canvas& canvas, const MapFrame& frame);

}  // namespace nestround::sheets
