/// \file access_scene.hpp
/// \brief One set-up before one nest, drawn to scale from the side.
///
/// Purpose:  ground, wall, nest, pole or ladder, person and measures of one stage; the page around
///           it is access_drawing's.
/// Units:    metres of the place in, millimetres of the page out; x outwards from below the nest.
/// Range:    any WorkPlace with a height.
/// Accuracy: to scale; walls, shrubs and people are symbols.
/// Errors:   as map_canvas.hpp.
/// Source:   own.
#pragma once

#include <optional>
#include <string>

#include "planner/access/access_plan.hpp"
#include "planner/sheets/map_canvas.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {

/// What one scene shows; neither pole nor ladder: a person by hand, or a nest that nothing reaches.
struct SceneContent {
    access::WorkPlace place;
    NestKind kind = NestKind::Unknown;
    std::optional<Metres> nest_size;
    std::optional<access::PoleSetUp> pole;
    std::optional<access::LadderSetUp> ladder;
    bool by_hand = false;
    int people = 1;                    ///< two: one stays at the foot of the ladder
    std::optional<Metres> reach_line;  ///< highest that this gear comes, where it is not enough
    std::string title;
};

/// The stretch of the place that a scene needs.
struct SceneExtent {
    double left = 0;
    double right = 0;
    double low = 0;
    double high = 0;
    double work_right = 0;  ///< these two without what only a power line asks for
    double work_high = 0;
};

[[nodiscard]] SceneExtent scene_extent(const SceneContent& content);

/// "8.7 m", "28 ft 6 in".
[[nodiscard]] std::string measure(Metres length, UnitStyle units);

/// Draws into `box` at `scale` millimetres a metre, the extent's lower left corner in the box's.
void draw_scene(Canvas& canvas, const SceneContent& content, const SceneExtent& extent,
                const PageBox& box, double scale, UnitStyle units);

}  // namespace nestround::sheets
