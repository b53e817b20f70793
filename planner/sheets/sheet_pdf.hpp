/// \file sheet_pdf.hpp
/// \brief The morning sheet on paper: a page of the day for each crew, then a page a stop.
///
/// Purpose:  what is taken to the truck: large type, black on white, to be read in the sun and to
///           survive a photocopier.
/// Units:    page in millimetres; words as the sheet.
/// Range:    any number of stops. What doesn't fit a page at its smallest type goes on to the next.
/// Accuracy: drawings are to scale, each with its bar.
/// Promise:  the same input and fonts give the same bytes; no page is without the caution.
/// Errors:   as map_canvas.hpp.
/// Source:   own; paper sizes of ISO 216 and of ANSI/ASME Y14.1.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "planner/sheets/day_sheet.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::sheets {

enum class Paper { A4, Letter };

/// "a4" or "letter".
[[nodiscard]] std::optional<Paper> paper(std::string_view name);

/// Holds the maps of sheet_pdf and of sheet_html, so that the caller can cut the roads.
[[nodiscard]] MapWindow sheet_map_window(const day::DayPlan& plan);

/// `plan` is what `sheet` was made of; it gives the map.
[[nodiscard]] std::string sheet_pdf(const DaySheet& sheet, const day::DayPlan& plan,
                                    const MapRoads& roads, Paper paper);

}  // namespace nestround::sheets
