/// \file access_scenes.hpp
/// \brief The stages of the chosen way, side by side at one scale.
///
/// Purpose:  what the drawing of one nest and the morning sheet share.
/// Units:    millimetres of the page.
/// Range:    any AccessPlan whose place has a height; boxes of 90 by 60 mm and more.
/// Accuracy: to scale, the bar says which.
/// Errors:   as map_canvas.hpp.
/// Source:   own.
#pragma once

#include <vector>

#include "planner/sheets/access_drawing.hpp"
#include "planner/sheets/access_scene.hpp"

namespace nestround::sheets {

/// One a stage with a pole, a ladder or hands; one of the refusal where nothing reaches.
[[nodiscard]] std::vector<SceneContent> scenes_of(const AccessPage& page);

/// With titles above, measures around and a scale bar below, all within `box`.
void draw_scenes(Canvas& canvas, const std::vector<SceneContent>& scenes, const PageBox& box,
                 UnitStyle units);

}  // namespace nestround::sheets
