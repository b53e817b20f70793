#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/sheets/scene_view.hpp"

namespace nestround::sheets {

namespace {

void tick(const SceneView& v, PagePoint p, bool upright)
{
    v.canvas.move_to({p.x - (upright ? 1.0 : 0.0), p.y - (upright ? 0.0 : 1.0)});
    v.canvas.line_to({p.x + (upright ? 1.0 : 0.0), p.y + (upright ? 0.0 : 1.0)});
    v.canvas.stroke({kSceneInk, 0.3, {}});
}
void level_measure(const SceneView& v, double from, double to, double y, const std::string& text,
                   Colour colour)
{
    const PagePoint a{v.at({from, 0}).x, y};
    const PagePoint b{v.at({to, 0}).x, y};
    v.canvas.move_to(a);
    v.canvas.line_to(b);
    v.canvas.stroke({colour, 0.25, {}});
    tick(v, a, false);
    tick(v, b, false);
    v.words({(a.x + b.x) / 2, y + 3.4}, text, colour, Align::Middle, Weight::Bold, 2.6);
}
void upright_measure(const SceneView& v, double x_mm, double from, double to,
                     const std::string& name, const std::string& text, Align align)
{
    const PagePoint a{x_mm, v.at({0, from}).y};
    const PagePoint b{x_mm, v.at({0, to}).y};
    v.canvas.move_to(a);
    v.canvas.line_to(b);
    v.canvas.stroke({kSceneInk, 0.25, {}});
    tick(v, a, true);
    tick(v, b, true);
    const double side = align == Align::Left ? 1.6 : -1.6;
    const double y = (a.y + b.y) / 2;
    v.words({x_mm + side, y}, text, kSceneInk, align, Weight::Bold, 2.9);
    v.words({x_mm + side, y + 3.2}, name, kSceneGrey, align, Weight::Normal, 2.3);
}

}  // namespace

void draw_measures(const SceneView& v)
{
    const double base = v.box.bottom() + 3;
    if (std::abs(v.height) > 0.05) {
        upright_measure(v, v.box.x - 3, 0, v.height, "nest", v.said(v.height), Align::Right);
    }
    double row = base;
    if (v.place.set_back > Metres{0.05}) {
        level_measure(v, 0, v.place.set_back.value(), row,
                      "set-back " + v.said(v.place.set_back.value()), kSceneLeafEdge);
        row += 6.5;
    }
    double edge = v.at({v.extent.work_right, 0}).x + 2;
    if (v.content.ladder && v.content.ladder->type == LadderType::Extension) {
        // Beyond the words about the overlap, which stand beside the ladder's middle.
        const auto& set = *v.content.ladder;
        const Spot middle{0.5 * set.foot_distance.value() + 0.2, 0};
        edge = std::max(edge, v.at(middle).x + 4 +
                                  v.canvas.text_width("overlap " + v.said(set.overlap.value()),
                                                      Font{2.7, Weight::Bold, kSceneInk, 0}));
    }
    if (v.content.ladder && v.content.ladder->type != LadderType::Step) {
        const auto& set = *v.content.ladder;
        const std::string angle = v.is_small() ? fmt::format(", {:.1f}°", set.angle) : "";
        level_measure(v, 0, set.foot_distance.value(), row,
                      "foot " + v.said(set.foot_distance.value()) + " (1 in 4)" + angle,
                      kSceneBase);
        upright_measure(v, edge, set.foot_level.value(), set.stand_height.value(), "feet",
                        v.said((set.stand_height - set.foot_level).value()), Align::Left);
        v.canvas.move_to(v.at({set.stand_out.value(), set.stand_height.value()}));
        v.canvas.line_to({edge, v.at({0, set.stand_height.value()}).y});
        v.canvas.stroke({{kSceneGrey.rgb, 0.6}, 0.15, {0.8, 0.8}});
    } else if (v.content.ladder) {
        upright_measure(v, edge, 0, v.content.ladder->stand_height.value(), "feet",
                        v.said(v.content.ladder->stand_height.value()), Align::Left);
    } else if (v.content.pole) {
        level_measure(v, 0, v.content.pole->stand_off.value(), row,
                      "stand off " + v.said(v.content.pole->stand_off.value()), kScenePole);
        upright_measure(
            v, edge, v.content.pole->stand_level.value(), v.content.pole->grip.value(), "hands",
            v.said((v.content.pole->grip - v.content.pole->stand_level).value()), Align::Left);
    }
}

}  // namespace nestround::sheets
