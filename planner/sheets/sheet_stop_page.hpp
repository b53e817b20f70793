/// \file sheet_stop_page.hpp
/// \brief The printed page of one stop.
///
/// Purpose:  all that is needed at the nest on one side of paper.
/// Units:    millimetres.
/// Range:    the type gets smaller, down to 78 %, until it fits; beyond that it goes on overleaf.
/// Accuracy: the drawing is to scale.
/// Errors:   as map_canvas.hpp.
/// Source:   own.
#pragma once

#include "planner/sheets/day_sheet.hpp"
#include "planner/sheets/sheet_flow.hpp"

namespace nestround::sheets {

/// Opens a page, fills it and closes it.
void draw_stop_page(SheetFlow& flow, const StopSheet& stop, UnitStyle units);

}  // namespace nestround::sheets
