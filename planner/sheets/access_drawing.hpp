/// \file access_drawing.hpp
/// \brief The set-up on one page: what a crew looks at before it lifts a ladder.
///
/// Purpose:  each stage of the chosen way to scale from the side, its minutes and cautions beside
///           it; a nest that nothing reaches is drawn as refused.
/// Units:    page 297 by 210 mm; measures in the user's units.
/// Range:    any AccessPlan; a nest without a height gives a page of words.
/// Accuracy: to scale, the scale bar says which.
/// Promise:  the same input and fonts give the same bytes.
/// Errors:   as map_canvas.hpp.
/// Source:   own.
#pragma once

#include <string>

#include "planner/access/access_plan.hpp"
#include "planner/sheets/map.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {

struct AccessPage {
    access::AccessPlan plan;
    Nest nest;
    std::string place;  ///< how the crew names it
    std::string crew;
};

[[nodiscard]] std::string access_drawing(const AccessPage& page, MapFormat format, UnitStyle units);

}  // namespace nestround::sheets
