/// \file map_panel.hpp
/// \brief The words beside the map: the day, the tours, and what the marks mean.
///
/// Purpose:  the map's text column; map.cpp draws the rest.
/// Units:    millimetres.
/// Range:    what does not fit is counted, not drawn over.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include "planner/day/day_plan.hpp"
#include "planner/sheets/map_canvas.hpp"

namespace nestround::sheets {

void draw_panel(Canvas& canvas, const PageBox& box, const day::DayPlan& plan,
                const MapOptions& options, std::size_t left_out_shown);

}  // namespace nestround::sheets
