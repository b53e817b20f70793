/// \file scene_view.hpp
/// \brief Metres of a place onto millimetres of a page, and the strokes that scenes share.
///
/// Purpose:  surroundings, work and measures of one set-up are drawn by parts that know nothing of
///           each other but this.
/// Units:    metres of the place in, x outwards from below the nest and z upwards from the standing
///           level; millimetres of the page out.
/// Range:    as access_scene.hpp.
/// Accuracy: to scale.
/// Errors:   as map_canvas.hpp.
/// Source:   own.
#pragma once

#include <string>

#include "planner/sheets/access_scene.hpp"

namespace nestround::sheets {

// What scenes are drawn with: each differs in grey too, for a photocopy.
inline constexpr Colour kSceneInk{0x1f2a30};
inline constexpr Colour kSceneGrey{0x4a565d};
inline constexpr Colour kSceneLeaf{0x7fa06b};
inline constexpr Colour kSceneLeafEdge{0x4f6a45};
inline constexpr Colour kSceneBase{0x1f4c63};
inline constexpr Colour kScenePole{0x245a41};
inline constexpr Colour kSceneDanger{0xb3261e};
inline constexpr double kPersonHeight = 1.75;  // m, a symbol

struct Spot {
    double x = 0;
    double z = 0;
};

inline Spot operator+(Spot a, Spot b) { return {a.x + b.x, a.z + b.z}; }
inline Spot along(Spot a, Spot b, double share)
{
    return {a.x + (b.x - a.x) * share, a.z + (b.z - a.z) * share};
}

class SceneView {
public:
    SceneView(Canvas& canvas, const SceneContent& content, const SceneExtent& extent,
              const PageBox& box, double scale, UnitStyle units);

    [[nodiscard]] PagePoint at(Spot s) const
    {
        return {box.x + (s.x - extent.left) * scale, box.bottom() - (s.z - extent.low) * scale};
    }
    [[nodiscard]] double ground(double x) const { return place.ground_at(Metres{x}).value(); }
    /// Too small for words inside: they stand outside instead.
    [[nodiscard]] bool is_small() const { return scale < 12; }
    /// The nest's middle as it is drawn.
    [[nodiscard]] Spot nest() const;
    [[nodiscard]] std::string said(double metres) const { return measure(Metres{metres}, units); }
    void stroke(Spot from, Spot to, const Pen& pen) const;
    void words(PagePoint p, const std::string& text, Colour colour = kSceneInk,
               Align align = Align::Middle, Weight weight = Weight::Normal,
               double size = 2.7) const;

    Canvas& canvas;
    const SceneContent& content;
    const access::WorkPlace& place;
    const SceneExtent extent;
    const PageBox box;
    const double scale;
    const UnitStyle units;
    const double height;  ///< of the nest
    const double size;    ///< of the nest
};

/// Ground, what the nest hangs on, what keeps the foot away, power lines, the nest.
void draw_surroundings(const SceneView& view);
/// Pole or ladder and people.
void draw_work(const SceneView& view);
/// Set-back, foot or stand-off below; heights at the sides.
void draw_measures(const SceneView& view);

}  // namespace nestround::sheets
