#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "planner/access/set_up.hpp"
#include "planner/sheets/scene_view.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kEarth{0xd9cbb4};
constexpr Colour kEarthEdge{0x6b5537};
constexpr Colour kWall{0xe9e4da};
constexpr Colour kWallEdge{0x7c7567};
constexpr Colour kRoof{0x8a5a4a};
constexpr Colour kBark{0x7d6244};
constexpr Colour kNest{0xb98a3e};
constexpr Colour kNestEdge{0x5a3d10};

void draw_ground(const SceneView& v)
{
    const double s = v.place.set_back.value();
    PageLine top;
    const auto add = [&](double x, double z) { top.push_back(v.at({x, z})); };
    add(v.extent.left - 1, s > 0 ? v.place.step.value() : 0);
    if (s > 0) {
        add(s, v.place.step.value());
    }
    add(s, 0);
    add(v.extent.right + 1, v.ground(v.extent.right + 1));
    PageLine whole = top;
    whole.push_back({v.at({v.extent.right + 1, 0}).x, v.box.bottom() + 5});
    whole.push_back({v.at({v.extent.left - 1, 0}).x, v.box.bottom() + 5});
    v.canvas.polyline(whole);
    v.canvas.close();
    v.canvas.fill(kEarth);
    v.canvas.polyline(top);
    v.canvas.stroke({kEarthEdge, 0.5, {}});
}

void draw_set_back(const SceneView& v)
{
    const double s = v.place.set_back.value();
    if (s < 0.3) {
        return;
    }
    // Shrubs stand for whatever keeps the foot away.
    const int count = std::clamp(static_cast<int>(s / 0.45), 1, 12);
    for (int k = 0; k < count; ++k) {
        const double x = (k + 0.5) * s / count;
        const double radius = (k % 2 == 0 ? 0.26 : 0.2) * std::min(1.0, s / 0.6);
        v.canvas.circle(v.at({x, v.place.step.value() + radius * 0.8}), radius * v.scale);
        v.canvas.fill_keep({kSceneLeaf.rgb, 0.75});
        v.canvas.stroke({kSceneLeafEdge, 0.15, {}});
    }
}

void draw_wall(const SceneView& v, double from, double to)
{
    const PagePoint low = v.at({v.extent.left - 1, from});
    const PagePoint high = v.at({0, to});
    v.canvas.rectangle({low.x, high.y, high.x - low.x, low.y - high.y});
    v.canvas.fill(kWall);
    for (double z = from + 0.3; z < to; z += 0.3) {
        v.stroke({v.extent.left - 1, z}, {0, z}, {{kWallEdge.rgb, 0.35}, 0.12, {}});
    }
    v.stroke({0, from}, {0, to}, {kWallEdge, 0.5, {}});
}

void draw_eaves(const SceneView& v, double z)
{
    // Soffit board, fascia, and the roof that runs up behind.
    const double out = 0.6;
    PageLine roof{v.at({out, z}), v.at({out, z + 0.22}),
                  v.at({v.extent.left - 1, z + 0.22 + 0.6 * (out - v.extent.left + 1)}),
                  v.at({v.extent.left - 1, z})};
    v.canvas.polyline(roof);
    v.canvas.close();
    v.canvas.fill({kRoof.rgb, 0.85});
    v.canvas.rectangle({v.at({0, 0}).x, v.at({0, z + 0.06}).y, out * v.scale, 0.06 * v.scale});
    v.canvas.fill_keep({0xf6f3ec});
    v.canvas.stroke({kWallEdge, 0.25, {}});
}

void draw_verge(const SceneView& v, double z)
{
    // The gable's edge seen along the ridge: a board over the wall.
    v.canvas.rectangle({v.at({v.extent.left - 1, 0}).x, v.at({0, z + 0.25}).y,
                        (0.45 - v.extent.left + 1) * v.scale, 0.25 * v.scale});
    v.canvas.fill_keep({kRoof.rgb, 0.85});
    v.canvas.stroke({kSceneInk, 0.2, {}});
}

void draw_tree(const SceneView& v)
{
    const double top = v.height + 1.2;
    PageLine trunk{v.at({-0.42, v.ground(0) - 0.3}), v.at({-0.34, top}), v.at({-0.14, top}),
                   v.at({-0.02, v.ground(0) - 0.3})};
    v.canvas.polyline(trunk);
    v.canvas.close();
    v.canvas.fill(kBark);
    v.stroke({-0.25, v.height + 0.15 + 0.5 * v.size}, {0.7, v.height + 0.35 + 0.5 * v.size},
             {kBark, 0.09 * v.scale, {}});
    for (const auto& [x, z, r] :
         {std::tuple{-0.5, 0.9, 0.6}, {0.1, 1.2, 0.65}, {0.6, 0.8, 0.45}, {-0.1, 0.7, 0.45}}) {
        v.canvas.circle(v.at({x, v.height + z + 0.3 * v.size}), r * v.scale);
        v.canvas.fill({kSceneLeaf.rgb, 0.8});
    }
}

void draw_structure(const SceneView& v)
{
    const double foot = std::min(v.place.step.value(), 0.0) - 0.5;
    switch (v.place.structure) {
        case Structure::Tree:
            draw_tree(v);
            return;
        case Structure::Ground:
            return;
        case Structure::Soffit:
            draw_wall(v, foot, v.height + 0.5 * v.size + 0.05);
            draw_eaves(v, v.height + 0.5 * v.size);
            return;
        case Structure::Gable:
            draw_wall(v, foot, v.height + 1.0);
            draw_verge(v, v.height + 1.0);
            return;
        default:
            if (v.content.kind == NestKind::Ground) {
                return;
            }
            draw_wall(v, foot, std::max(v.height + 0.8, 2.4));
    }
}

/// What holds a nest that hangs, or the way down to one that lies in the ground.
void draw_hold(const SceneView& v, bool in_ground)
{
    const Spot middle = v.nest();
    if (in_ground && v.height < 0) {
        const double up = v.place.step.value();
        v.stroke(middle, {middle.x + 0.12, up}, {{0x3d2f1c}, std::max(0.8, 0.05 * v.scale), {}});
    } else if (v.place.structure == Structure::Tree) {
        v.stroke(middle, {middle.x, v.height + 0.26 + 0.5 * v.size},
                 {kBark, std::max(0.5, 0.035 * v.scale), {}});
    }
}

void draw_nest(const SceneView& v)
{
    const Spot middle = v.nest();
    const bool in_ground = v.content.kind == NestKind::Ground || v.height < 0;
    draw_hold(v, in_ground);
    v.canvas.circle(v.at(middle), std::max(1.3, 0.5 * v.size * v.scale));
    v.canvas.fill_keep({kNest.rgb, in_ground ? 0.85 : 1.0});
    v.canvas.stroke({kNestEdge, 0.45, {}});
    const double r = 0.5 * v.size;
    for (const double part : {-0.4, 0.0, 0.4}) {
        const double half = r * std::sqrt(1 - part * part) * 0.9;
        v.stroke({middle.x - half, middle.z + part * r}, {middle.x + half, middle.z + part * r},
                 {{kNestEdge.rgb, 0.6}, 0.15, {}});
    }
}

void draw_lines_zone(const SceneView& v)
{
    if (v.place.power_lines != PowerLines::Near || !v.place.power_line_distance) {
        return;
    }
    const double away = v.place.power_line_distance->value();
    // Up and outwards: where it is from the nest is not in the book, only how far.
    const Spot wire{0.8 * away, v.height + 0.6 * away};
    const double kept = access::power_line_clearance(0).value();
    if (!v.box.holds(v.at(wire))) {
        v.canvas.unclip();
        v.words(
            {v.box.x + v.box.width / 2, v.box.y - 1.2},
            fmt::format("power line {} from the nest, keep {} clear", v.said(away), v.said(kept)),
            kSceneDanger, Align::Middle, Weight::Bold);
        v.canvas.clip(v.box);
        return;
    }
    v.canvas.circle(v.at(wire), kept * v.scale);
    v.canvas.fill_keep({kSceneDanger.rgb, 0.1});
    v.canvas.stroke({kSceneDanger, 0.35, {1.4, 1}});
    v.canvas.circle(v.at(wire), 1.1);
    v.canvas.fill(kSceneDanger);
    v.words({v.at(wire).x, v.at(wire).y - 2.2}, "power line", kSceneDanger, Align::Middle,
            Weight::Bold);
    v.words({v.at(wire).x, v.at(wire).y + 4.2}, "keep " + v.said(kept) + " clear", kSceneDanger);
}

}  // namespace

void draw_surroundings(const SceneView& v)
{
    v.canvas.clip(v.box);
    draw_lines_zone(v);
    draw_structure(v);
    draw_ground(v);
    draw_set_back(v);
    draw_nest(v);
    v.canvas.unclip();
}

}  // namespace nestround::sheets
