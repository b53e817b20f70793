#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "planner/sheets/scene_view.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kFly{0x3f86ab};
constexpr Colour kOverlap{0xb86400};
constexpr Colour kSuit{0x2f3b42};

void limb(const SceneView& v, Spot from, Spot to, double width)
{
    v.stroke(from, to, {kSuit, std::max(0.5, width * v.scale), {}});
}

struct Pose {
    double lean = 0;       ///< of the shoulders towards the wall, metres
    double stance = 0.12;  ///< half of the stride; small on a rung
    bool kneels = false;
};

/// A person in a suit with feet at `feet`, hands at `hands`, facing the wall.
void draw_person(const SceneView& v, Spot feet, Spot hands, const Pose& pose = {})
{
    const double low = pose.kneels ? 0.42 : 0;
    const Spot hip = feet + Spot{-0.03 - pose.lean * 0.5, 0.92 - low};
    const Spot shoulder = feet + Spot{-0.06 - pose.lean, 1.42 - low};
    if (pose.kneels) {
        const Spot knee = feet + Spot{-0.34, 0.06};
        limb(v, feet + Spot{0.12, 0.05}, knee, 0.14);
        limb(v, knee, hip, 0.16);
    } else {
        limb(v, feet + Spot{pose.stance, 0.03}, hip, 0.15);
        limb(v, feet + Spot{-pose.stance, 0.03}, hip, 0.15);
    }
    limb(v, hip, shoulder, 0.24);
    const double far = std::hypot(hands.x - shoulder.x, hands.z - shoulder.z);
    const double reach = std::min(1.0, 0.7 / std::max(far, 0.01));
    limb(v, shoulder, along(shoulder, hands, reach), 0.1);
    const Spot head = shoulder + Spot{-0.02 - 0.3 * std::max(0.0, pose.lean), 0.21};
    v.canvas.circle(v.at(head), 0.13 * v.scale);
    v.canvas.fill_keep({0xf2efe6});
    v.canvas.stroke({kSuit, 0.35, {}});
    // Brim and veil.
    v.stroke(head + Spot{-0.2, 0.07}, head + Spot{0.2, 0.07},
             {kSuit, std::max(0.4, 0.045 * v.scale), {}});
}

/// Who stays at the foot, a hand on the rail.
void draw_second_person(const SceneView& v, Spot foot, Spot rail)
{
    if (v.content.people < 2) {
        return;
    }
    const double x = foot.x + 0.5;
    draw_person(v, {x, v.ground(x)}, rail);
}

/// An arc from the level line towards the wall up to the rail.
void draw_angle(const SceneView& v, Spot corner, double radians, double degrees, double radius)
{
    PageLine arc;
    for (int k = 0; k <= 24; ++k) {
        const double t = radians * k / 24;
        arc.push_back(v.at(corner + Spot{-radius * std::cos(t), radius * std::sin(t)}));
    }
    v.stroke(corner, corner + Spot{-radius * 1.25, 0}, {{kSceneGrey.rgb, 0.8}, 0.18, {0.8, 0.8}});
    v.canvas.polyline(arc);
    v.canvas.stroke({kSceneInk, 0.28, {}});
    const std::string said = fmt::format("{:.1f}°", degrees);
    if (v.is_small()) {
        return;  // said beside the pole or under the foot
    }
    v.words({v.at(corner + Spot{-radius * 0.62, 0}).x, v.at(corner + Spot{0, radius * 0.28}).y},
            said, kSceneInk, Align::Middle, Weight::Bold, 2.5);
}

void draw_pole(const SceneView& v, const access::PoleSetUp& set)
{
    const Spot feet{set.stand_off.value() + 0.25, v.ground(set.stand_off.value() + 0.25)};
    const Spot grip{set.stand_off.value(), set.grip.value()};
    Spot tip = v.nest();
    tip.x += 0.4 * v.size;
    tip.z -= 0.3 * v.size;
    // The hose behind the hands, the pole in tapering sections.
    const Spot butt = along(grip, tip, -0.12);
    v.stroke(butt, grip, {kScenePole, std::max(0.7, 0.05 * v.scale), {}});
    constexpr int kSections = 4;
    for (int k = 0; k < kSections; ++k) {
        v.stroke(along(grip, tip, static_cast<double>(k) / kSections),
                 along(grip, tip, static_cast<double>(k + 1) / kSections),
                 {kScenePole, std::max(0.45, (0.055 - 0.009 * k) * v.scale), {}});
    }
    v.canvas.circle(v.at(tip), std::max(0.7, 0.06 * v.scale));
    v.canvas.fill(kScenePole);
    draw_person(v, feet, grip);
    const double line = std::hypot(tip.x - grip.x, tip.z - grip.z);
    if (line > 1.2) {
        draw_angle(v, grip, std::atan2(tip.z - grip.z, grip.x - tip.x), set.angle, 0.55);
    }
    // Beside the pole, clear of it; a flat pole leaves room over it alone.
    const double steep = (tip.z - grip.z) / std::max(0.05, grip.x - tip.x);
    PagePoint p = v.at(along(grip, tip, 0.55));
    p.x += 2.3 + 4.4 / std::max(1.2, steep);
    if (steep < 1.2) {
        p = {v.at(tip).x + 3, v.at(tip).y - 4.2};
    }
    v.words(
        p,
        fmt::format("pole {} of {}{}", v.said(set.used.value()), v.said(set.gear.length->value()),
                    v.is_small() ? fmt::format(", {:.0f}°", set.angle) : ""),
        kScenePole, Align::Left, Weight::Bold);
    if (set.left > Metres{0.05}) {
        v.words({p.x, p.y + 3.4}, v.said(set.left.value()) + " to spare", kScenePole, Align::Left);
    }
}

void draw_step_ladder(const SceneView& v, const access::LadderSetUp& set)
{
    const double tall = set.working_length.value();
    const double x = std::max(set.foot_distance.value(), 0.55 + 0.13 * tall);
    const double level = v.ground(x);
    const Spot head{x, level + tall};
    const double rail = std::max(0.7, 0.07 * v.scale);
    v.stroke({x + 0.27 * tall, level}, head, {kSceneBase, rail, {}});
    v.stroke({x - 0.2 * tall, level}, head, {{kSceneBase.rgb, 0.6}, rail * 0.8, {}});
    v.stroke({x + 0.12 * tall, level + 0.45 * tall}, {x - 0.1 * tall, level + 0.45 * tall},
             {kSceneGrey, 0.4, {}});
    for (double up = 0.3048; up < tall - 0.1; up += 0.3048) {
        const double tread = x + 0.27 * tall * (1 - up / tall);
        v.stroke({tread - 0.1, level + up}, {tread + 0.03, level + up},
                 {kSceneBase, std::max(0.5, 0.035 * v.scale), {}});
    }
    const double share = std::clamp(set.stand_height.value() / tall, 0.0, 1.0);
    const Spot feet{x + 0.27 * tall * (1 - share), set.stand_height.value() + level};
    draw_person(v, feet, v.nest(), {0, 0.05, false});
    draw_second_person(v, {x + 0.27 * tall, level}, {x + 0.2 * tall, level + 1});
}

void draw_ladder(const SceneView& v, const access::LadderSetUp& set)
{
    if (set.type == LadderType::Step) {
        draw_step_ladder(v, set);
        return;
    }
    const Spot foot{set.foot_distance.value(), set.foot_level.value()};
    const Spot top{0, set.support_height.value()};
    const double working = set.working_length.value();
    const double section = set.type == LadderType::Single
                               ? working
                               : std::min(working, (working + set.overlap.value()) / 2);
    const double rail = std::max(0.7, 0.09 * v.scale);
    // The fly section lies on the climber's side of the base.
    const Spot across{0.09 * std::sin(set.angle * std::numbers::pi / 180),
                      0.09 * std::cos(set.angle * std::numbers::pi / 180)};
    v.stroke(foot, along(foot, top, section / working), {kSceneBase, rail, {}});
    if (set.type != LadderType::Single && section < working) {
        const double from = 1 - section / working;
        v.stroke(along(foot, top, from) + across, top + across, {kFly, rail, {}});
        const Spot low = along(foot, top, from);
        const Spot high = along(foot, top, section / working);
        const Spot beside{across.x * 2.2, across.z * 2.2};
        v.stroke(low + beside, high + beside, {{kOverlap.rgb, 0.95}, 0.7, {}});
        const PagePoint p = v.at(along(low, high, 0.5) + beside);
        v.words({p.x + 2, p.y}, "overlap " + v.said(set.overlap.value()), kOverlap, Align::Left,
                Weight::Bold);
        v.words({p.x + 2, p.y + 3.3}, "at least " + v.said(set.overlap_least.value()), kOverlap,
                Align::Left, Weight::Normal, 2.3);
    }
    for (double up = 0.3048; up < working - 0.1; up += 0.3048) {
        const bool fly = set.type != LadderType::Single && up > working - section;
        v.canvas.circle(v.at(along(foot, top, up / working) + (fly ? across : Spot{})),
                        std::max(0.22, 0.018 * v.scale));
        v.canvas.fill({0xffffff});
    }
    v.canvas.circle(v.at(foot), std::max(0.6, 0.05 * v.scale));
    v.canvas.fill(kSceneInk);
    const Spot feet{set.stand_out.value() + across.x, set.stand_height.value()};
    Spot hands = v.nest();
    hands.x += 0.5 * v.size;
    draw_person(v, feet + Spot{0.1, 0}, hands, {-0.13, 0.06, false});
    const Spot held = along(foot, top, std::min(0.5, 1.25 / working));
    draw_second_person(v, foot, held + across);
    draw_angle(v, foot, set.angle * std::numbers::pi / 180, set.angle,
               std::clamp(0.16 * working, 0.45, 1.1));
}

void draw_lone_person(const SceneView& v)
{
    const bool low = v.content.by_hand && v.height < 0.8;
    const double x = std::max(v.place.set_back.value() + 0.3, low ? 1.0 : 0.6);
    draw_person(v, {x, v.ground(x)},
                v.content.by_hand ? v.nest() : Spot{x - 0.2, v.ground(x) + 0.7},
                low ? Pose{0.28, 0.12, true} : Pose{});
    if (v.content.reach_line) {
        const double z = v.content.reach_line->value();
        v.stroke({v.extent.left, z}, {v.extent.right, z}, {kScenePole, 0.35, {1.6, 1.2}});
        v.words({v.at({v.extent.right, z}).x + 1.5, v.at({0, z}).y + 1},
                "this gear comes to " + v.said(z), kScenePole, Align::Left, Weight::Bold);
    }
}

}  // namespace

void draw_work(const SceneView& v)
{
    if (v.content.ladder) {
        draw_ladder(v, *v.content.ladder);
    } else if (v.content.pole) {
        draw_pole(v, *v.content.pole);
    } else {
        draw_lone_person(v);
    }
}

}  // namespace nestround::sheets
