/// \file sheet_html.hpp
/// \brief The morning sheet as one file for a phone: no network, no script, nothing from outside.
///
/// Purpose:  to be read on a small screen in the sun, or printed from a browser.
/// Units:    as the sheet.
/// Range:    screens of 320 pixels and more; drawings are SVG, the map is PNG, inside the file.
/// Accuracy: as the sheet.
/// Promise:  well-formed as XML too; all that comes from the book is escaped; the same input and
///           fonts give the same bytes.
/// Errors:   as map_canvas.hpp.
/// Source:   own; HTML Living Standard; RFC 4648 (base64).
#pragma once

#include <string>

#include "planner/sheets/day_sheet.hpp"
#include "planner/sheets/map_frame.hpp"

namespace nestround::sheets {

/// Of the map in the file: nearly square, for a phone held upright.
[[nodiscard]] PageBox html_map_box();

[[nodiscard]] std::string sheet_html(const DaySheet& sheet, const day::DayPlan& plan,
                                     const MapRoads& roads);

}  // namespace nestround::sheets
