#include "planner/sheets/access_scene.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/access/set_up.hpp"
#include "planner/sheets/scene_view.hpp"

namespace nestround::sheets {

SceneView::SceneView(Canvas& on, const SceneContent& what, const SceneExtent& stretch,
                     const PageBox& where, double millimetres_a_metre, UnitStyle style)
    : canvas{on},
      content{what},
      place{what.place},
      extent{stretch},
      box{where},
      scale{millimetres_a_metre},
      units{style},
      height{place.height.value_or(Metres{0}).value()},
      size{std::clamp(content.nest_size.value_or(Metres{0.3}).value(), 0.15, 1.5)}
{
}

Spot SceneView::nest() const
{
    const bool inside = place.structure == Structure::Void || content.kind == NestKind::Void;
    return {inside ? -0.05 : std::min(0.5 * size, 0.35), height};
}

void SceneView::stroke(Spot from, Spot to, const Pen& pen) const
{
    canvas.move_to(at(from));
    canvas.line_to(at(to));
    canvas.stroke(pen);
}

void SceneView::words(PagePoint p, const std::string& text, Colour colour, Align align,
                      Weight weight, double letters) const
{
    canvas.text(p, text, Font{letters, weight, colour, 0.7}, align);
}

std::string measure(Metres length, UnitStyle units)
{
    if (units == UnitStyle::Metric) {
        return fmt::format("{:.1f} m", length.value());
    }
    const auto whole = std::lround(inches(Metres{std::abs(length.value())}));
    const char* sign = length < Metres{0} && whole > 0 ? "-" : "";
    if (whole < 12) {
        return fmt::format("{}{} in", sign, whole);
    }
    return whole % 12 == 0 ? fmt::format("{}{} ft", sign, whole / 12)
                           : fmt::format("{}{} ft {} in", sign, whole / 12, whole % 12);
}

SceneExtent scene_extent(const SceneContent& content)
{
    const access::WorkPlace& place = content.place;
    const double height = place.height.value_or(Metres{0}).value();
    SceneExtent extent;
    extent.left = place.structure == Structure::Tree ? -1.15 : -0.7;
    extent.right = std::max(place.set_back.value() + 0.9, 1.6);
    extent.high = std::max(height, 0.0) + (place.structure == Structure::Tree ? 2.3 : 1.5);
    if (content.pole) {
        extent.right = std::max(extent.right, content.pole->stand_off.value() + 0.9);
    }
    if (content.ladder) {
        extent.right = std::max(
            extent.right, content.ladder->foot_distance.value() + (content.people > 1 ? 1.0 : 0.6));
        extent.high =
            std::max(extent.high, content.ladder->stand_height.value() + kPersonHeight + 0.3);
        if (content.ladder->type == LadderType::Step) {
            extent.right =
                std::max(extent.right, 1.0 + 0.4 * content.ladder->working_length.value());
        }
    }
    extent.high = std::max(extent.high, 2.6);
    if (content.by_hand) {
        extent.right = std::max(extent.right, 2.2);
    }
    if (place.structure == Structure::Tree) {
        extent.right = std::max(extent.right, 1.2);
    }
    extent.work_right = extent.right;
    extent.work_high = extent.high;
    if (place.power_lines == PowerLines::Near && place.power_line_distance &&
        place.power_line_distance->value() < 15) {
        const double away = place.power_line_distance->value();
        const double kept = access::power_line_clearance(0).value() + 0.1;
        extent.right = std::max(extent.right, 0.8 * away + kept);
        extent.high = std::max(extent.high, height + 0.6 * away + kept);
    }
    extent.low = std::min({0.0, place.step.value(), height - 0.3,
                           place.ground_at(Metres{extent.right}).value()}) -
                 0.35;
    return extent;
}

void draw_scene(Canvas& canvas, const SceneContent& content, const SceneExtent& extent,
                const PageBox& box, double scale, UnitStyle units)
{
    const SceneView view{canvas, content, extent, box, scale, units};
    draw_surroundings(view);
    draw_work(view);
    draw_measures(view);
}

}  // namespace nestround::sheets
