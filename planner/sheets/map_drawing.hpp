/// \file map_drawing.hpp
/// \brief The day's map into any box of a page.
///
/// Purpose:  the map page and the morning sheet show the same map.
/// Units:    as map.hpp; the box in millimetres.
/// Range:    boxes of 80 by 60 mm and more.
/// Accuracy: as map.hpp.
/// Errors:   as map_canvas.hpp.
/// Source:   own.
#pragma once

#include "planner/sheets/map_canvas.hpp"

namespace nestround::sheets {

/// Roads should be cut to `map_window(plan, box)`. Gives how many left-out calls it shows.
std::size_t draw_map(Canvas& canvas, const PageBox& box, const day::DayPlan& plan,
                     const MapRoads& roads);

}  // namespace nestround::sheets
