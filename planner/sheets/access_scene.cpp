#include "planner/sheets/access_scene.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "planner/access/set_up.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kInk{0x1f2a30};
constexpr Colour kGrey{0x5c6a72};
constexpr Colour kEarth{0xd9cbb4};
constexpr Colour kEarthEdge{0x7d6647};
constexpr Colour kWall{0xe9e4da};
constexpr Colour kWallEdge{0x8c8577};
constexpr Colour kRoof{0x8a5a4a};
constexpr Colour kLeaf{0x7fa06b};
constexpr Colour kNest{0xb98a3e};
constexpr Colour kNestEdge{0x6b4a14};
constexpr Colour kBase{0x27566f};
constexpr Colour kFly{0x3f86ab};
constexpr Colour kOverlap{0xe08a1e};
constexpr Colour kPole{0x2f6b4f};
constexpr Colour kSuit{0x39474f};
constexpr Colour kDanger{0xb3261e};
constexpr double kPersonHeight = 1.75;  // m, a symbol

struct Spot {
    double x = 0;
    double z = 0;
};

Spot operator+(Spot a, Spot b) { return {a.x + b.x, a.z + b.z}; }
Spot along(Spot a, Spot b, double share)
{
    return {a.x + (b.x - a.x) * share, a.z + (b.z - a.z) * share};
}

class Scene {
public:
    Scene(Canvas& canvas, const SceneContent& content, const SceneExtent& extent,
          const PageBox& box, double scale, UnitStyle units)
        : c_{canvas},
          content_{content},
          place_{content.place},
          extent_{extent},
          box_{box},
          scale_{scale},
          units_{units},
          height_{place_.height.value_or(Metres{0}).value()},
          size_{std::clamp(content.nest_size.value_or(Metres{0.3}).value(), 0.15, 1.5)}
    {
    }

    void draw()
    {
        c_.clip(box_);
        draw_lines_zone();
        draw_structure();
        draw_ground();
        draw_set_back();
        draw_nest();
        c_.unclip();
        if (content_.ladder) {
            draw_ladder(*content_.ladder);
        } else if (content_.pole) {
            draw_pole(*content_.pole);
        } else {
            draw_lone_person();
        }
        draw_measures();
    }

private:
    [[nodiscard]] PagePoint at(Spot s) const
    {
        return {box_.x + (s.x - extent_.left) * scale_,
                box_.bottom() - (s.z - extent_.low) * scale_};
    }
    [[nodiscard]] double ground(double x) const { return place_.ground_at(Metres{x}).value(); }
    [[nodiscard]] Spot nest() const
    {
        const bool inside = place_.structure == Structure::Void || content_.kind == NestKind::Void;
        return {inside ? -0.05 : std::min(0.5 * size_, 0.35), height_};
    }
    void stroke(Spot from, Spot to, const Pen& pen)
    {
        c_.move_to(at(from));
        c_.line_to(at(to));
        c_.stroke(pen);
    }
    void words(PagePoint p, const std::string& text, Colour colour = kInk,
               Align align = Align::Middle, Weight weight = Weight::Normal, double size = 2.7)
    {
        c_.text(p, text, Font{size, weight, colour, 0.7}, align);
    }
    [[nodiscard]] std::string said(double metres) const { return measure(Metres{metres}, units_); }

    void draw_ground()
    {
        const double s = place_.set_back.value();
        PageLine top;
        const auto add = [&](double x, double z) { top.push_back(at({x, z})); };
        add(extent_.left - 1, s > 0 ? place_.step.value() : 0);
        if (s > 0) {
            add(s, place_.step.value());
        }
        add(s, 0);
        add(extent_.right + 1, ground(extent_.right + 1));
        PageLine whole = top;
        whole.push_back({at({extent_.right + 1, 0}).x, box_.bottom() + 5});
        whole.push_back({at({extent_.left - 1, 0}).x, box_.bottom() + 5});
        c_.polyline(whole);
        c_.close();
        c_.fill(kEarth);
        c_.polyline(top);
        c_.stroke({kEarthEdge, 0.5, {}});
    }

    void draw_set_back()
    {
        const double s = place_.set_back.value();
        if (s < 0.3) {
            return;
        }
        // Shrubs stand for whatever keeps the foot away.
        const int count = std::clamp(static_cast<int>(s / 0.45), 1, 12);
        for (int k = 0; k < count; ++k) {
            const double x = (k + 0.5) * s / count;
            const double radius = (k % 2 == 0 ? 0.26 : 0.2) * std::min(1.0, s / 0.6);
            c_.circle(at({x, place_.step.value() + radius * 0.8}), radius * scale_);
            c_.fill_keep({kLeaf.rgb, 0.75});
            c_.stroke({{0x55734a}, 0.15, {}});
        }
    }

    void draw_structure()
    {
        const double foot = std::min(place_.step.value(), 0.0) - 0.5;
        switch (place_.structure) {
            case Structure::Tree:
                draw_tree();
                return;
            case Structure::Ground:
                return;
            case Structure::Soffit:
                draw_wall(foot, height_ + 0.5 * size_ + 0.05);
                draw_eaves(height_ + 0.5 * size_);
                return;
            case Structure::Gable:
                draw_wall(foot, height_ + 1.0);
                draw_verge(height_ + 1.0);
                return;
            default:
                if (content_.kind == NestKind::Ground) {
                    return;
                }
                draw_wall(foot, std::max(height_ + 0.8, 2.4));
        }
    }

    void draw_wall(double from, double to)
    {
        const PagePoint low = at({extent_.left - 1, from});
        const PagePoint high = at({0, to});
        c_.rectangle({low.x, high.y, high.x - low.x, low.y - high.y});
        c_.fill(kWall);
        for (double z = from + 0.3; z < to; z += 0.3) {
            stroke({extent_.left - 1, z}, {0, z}, {{kWallEdge.rgb, 0.35}, 0.12, {}});
        }
        stroke({0, from}, {0, to}, {kWallEdge, 0.5, {}});
    }

    void draw_eaves(double z)
    {
        // Soffit board, fascia, and the roof that runs up behind.
        const double out = 0.6;
        PageLine roof{at({out, z}), at({out, z + 0.22}),
                      at({extent_.left - 1, z + 0.22 + 0.6 * (out - extent_.left + 1)}),
                      at({extent_.left - 1, z})};
        c_.polyline(roof);
        c_.close();
        c_.fill({kRoof.rgb, 0.85});
        c_.rectangle({at({0, 0}).x, at({0, z + 0.06}).y, out * scale_, 0.06 * scale_});
        c_.fill_keep({0xf6f3ec});
        c_.stroke({kWallEdge, 0.25, {}});
    }

    void draw_verge(double z)
    {
        // The gable's edge seen along the ridge: a board over the wall.
        c_.rectangle({at({extent_.left - 1, 0}).x, at({0, z + 0.25}).y,
                      (0.45 - extent_.left + 1) * scale_, 0.25 * scale_});
        c_.fill_keep({kRoof.rgb, 0.85});
        c_.stroke({kInk, 0.2, {}});
    }

    void draw_tree()
    {
        const double top = height_ + 1.2;
        PageLine trunk{at({-0.42, ground(0) - 0.3}), at({-0.34, top}), at({-0.14, top}),
                       at({-0.02, ground(0) - 0.3})};
        c_.polyline(trunk);
        c_.close();
        c_.fill({0x8b6f4e});
        stroke({-0.25, height_ + 0.15 + 0.5 * size_}, {0.7, height_ + 0.35 + 0.5 * size_},
               {{0x8b6f4e}, 0.09 * scale_, {}});
        for (const auto& [x, z, r] :
             {std::tuple{-0.5, 0.9, 0.6}, {0.1, 1.2, 0.65}, {0.6, 0.8, 0.45}, {-0.1, 0.7, 0.45}}) {
            c_.circle(at({x, height_ + z + 0.3 * size_}), r * scale_);
            c_.fill({kLeaf.rgb, 0.8});
        }
    }

    void draw_nest()
    {
        const Spot middle = nest();
        const bool in_ground = content_.kind == NestKind::Ground || height_ < 0;
        c_.circle(at(middle), std::max(1.3, 0.5 * size_ * scale_));
        c_.fill_keep({kNest.rgb, in_ground ? 0.7 : 1.0});
        c_.stroke({kNestEdge, 0.35, {}});
        const double r = 0.5 * size_;
        for (const double part : {-0.4, 0.0, 0.4}) {
            const double half = r * std::sqrt(1 - part * part) * 0.9;
            stroke({middle.x - half, middle.z + part * r}, {middle.x + half, middle.z + part * r},
                   {{kNestEdge.rgb, 0.6}, 0.15, {}});
        }
    }

    void limb(Spot from, Spot to, double width)
    {
        stroke(from, to, {kSuit, std::max(0.5, width * scale_), {}});
    }

    /// A person in a suit with feet at `feet`, hands at `hands`, facing the wall.
    void draw_person(Spot feet, Spot hands, double lean = 0)
    {
        const Spot hip = feet + Spot{-0.03 - lean * 0.5, 0.92};
        const Spot shoulder = feet + Spot{-0.06 - lean, 1.42};
        limb(feet + Spot{0.14, 0.03}, hip, 0.15);
        limb(feet + Spot{-0.1, 0.03}, hip, 0.15);
        limb(hip, shoulder, 0.24);
        const double far = std::hypot(hands.x - shoulder.x, hands.z - shoulder.z);
        const double reach = std::min(1.0, 0.7 / std::max(far, 0.01));
        limb(shoulder, along(shoulder, hands, reach), 0.1);
        const Spot head = shoulder + Spot{-0.02, 0.21};
        c_.circle(at(head), 0.13 * scale_);
        c_.fill_keep({0xf2efe6});
        c_.stroke({kSuit, 0.35, {}});
        // Brim and veil.
        stroke(head + Spot{-0.2, 0.07}, head + Spot{0.2, 0.07},
               {kSuit, std::max(0.4, 0.045 * scale_), {}});
    }

    void draw_pole(const access::PoleSetUp& set)
    {
        const Spot feet{set.stand_off.value() + 0.25, ground(set.stand_off.value() + 0.25)};
        const Spot grip{set.stand_off.value(), set.grip.value()};
        Spot tip = nest();
        tip.x += 0.4 * size_;
        tip.z -= 0.3 * size_;
        // The hose behind the hands, the pole in tapering sections.
        const Spot butt = along(grip, tip, -0.12);
        stroke(butt, grip, {kPole, std::max(0.7, 0.05 * scale_), {}});
        constexpr int kSections = 4;
        for (int k = 0; k < kSections; ++k) {
            stroke(along(grip, tip, static_cast<double>(k) / kSections),
                   along(grip, tip, static_cast<double>(k + 1) / kSections),
                   {kPole, std::max(0.45, (0.055 - 0.009 * k) * scale_), {}});
        }
        c_.circle(at(tip), std::max(0.7, 0.06 * scale_));
        c_.fill(kPole);
        draw_person(feet, grip);
        const double line = std::hypot(tip.x - grip.x, tip.z - grip.z);
        if (line > 1.2) {
            draw_angle(grip, std::atan2(tip.z - grip.z, grip.x - tip.x), set.angle, 0.55);
        }
        const Spot middle = along(grip, tip, 0.55);
        words({at(middle).x + 2.5, at(middle).y},
              fmt::format("pole {} of {}", said(set.used.value()), said(set.gear.length->value())),
              kPole, Align::Left, Weight::Bold);
        if (set.left > Metres{0.05}) {
            words({at(middle).x + 2.5, at(middle).y + 3.4}, said(set.left.value()) + " to spare",
                  kPole, Align::Left);
        }
    }

    /// An arc from the level line towards the wall up to the rail.
    void draw_angle(Spot corner, double radians, double degrees, double radius)
    {
        PageLine arc;
        for (int k = 0; k <= 24; ++k) {
            const double t = radians * k / 24;
            arc.push_back(at(corner + Spot{-radius * std::cos(t), radius * std::sin(t)}));
        }
        stroke(corner, corner + Spot{-radius * 1.25, 0}, {{kGrey.rgb, 0.8}, 0.18, {0.8, 0.8}});
        c_.polyline(arc);
        c_.stroke({kInk, 0.28, {}});
        words({at(corner + Spot{-radius * 0.62, 0}).x, at(corner + Spot{0, radius * 0.28}).y},
              fmt::format("{:.1f}°", degrees), kInk, Align::Middle, Weight::Bold, 2.5);
    }

    void draw_ladder(const access::LadderSetUp& set)
    {
        if (set.type == LadderType::Step) {
            draw_step_ladder(set);
            return;
        }
        const Spot foot{set.foot_distance.value(), set.foot_level.value()};
        const Spot top{0, set.support_height.value()};
        const double working = set.working_length.value();
        const double section = set.type == LadderType::Single
                                   ? working
                                   : std::min(working, (working + set.overlap.value()) / 2);
        const double rail = std::max(0.7, 0.09 * scale_);
        // The fly section lies on the climber's side of the base.
        const Spot across{0.09 * std::sin(set.angle * std::numbers::pi / 180),
                          0.09 * std::cos(set.angle * std::numbers::pi / 180)};
        stroke(foot, along(foot, top, section / working), {kBase, rail, {}});
        if (set.type != LadderType::Single && section < working) {
            const double from = 1 - section / working;
            stroke(along(foot, top, from) + across, top + across, {kFly, rail, {}});
            const Spot low = along(foot, top, from);
            const Spot high = along(foot, top, section / working);
            const Spot beside{across.x * 2.2, across.z * 2.2};
            stroke(low + beside, high + beside, {{kOverlap.rgb, 0.95}, 0.7, {}});
            const PagePoint p = at(along(low, high, 0.5) + beside);
            words({p.x + 2, p.y}, "overlap " + said(set.overlap.value()), kOverlap, Align::Left,
                  Weight::Bold);
            words({p.x + 2, p.y + 3.3}, "at least " + said(set.overlap_least.value()), kOverlap,
                  Align::Left, Weight::Normal, 2.3);
        }
        for (double up = 0.3048; up < working - 0.1; up += 0.3048) {
            const bool fly = set.type != LadderType::Single && up > working - section;
            c_.circle(at(along(foot, top, up / working) + (fly ? across : Spot{})),
                      std::max(0.22, 0.018 * scale_));
            c_.fill({0xffffff});
        }
        c_.circle(at(foot), std::max(0.6, 0.05 * scale_));
        c_.fill(kInk);
        const Spot feet{set.stand_out.value() + across.x, set.stand_height.value()};
        Spot hands = nest();
        hands.x += 0.5 * size_;
        draw_person(feet + Spot{0.14, 0}, hands, -0.16);
        draw_angle(foot, set.angle * std::numbers::pi / 180, set.angle,
                   std::clamp(0.16 * working, 0.45, 1.1));
    }

    void draw_step_ladder(const access::LadderSetUp& set)
    {
        const double tall = set.working_length.value();
        const double x = std::max(set.foot_distance.value(), 0.55 + 0.13 * tall);
        const double level = ground(x);
        const Spot head{x, level + tall};
        const double rail = std::max(0.7, 0.07 * scale_);
        stroke({x + 0.27 * tall, level}, head, {kBase, rail, {}});
        stroke({x - 0.2 * tall, level}, head, {{kBase.rgb, 0.6}, rail * 0.8, {}});
        stroke({x + 0.12 * tall, level + 0.45 * tall}, {x - 0.1 * tall, level + 0.45 * tall},
               {kGrey, 0.4, {}});
        const double share = std::clamp(set.stand_height.value() / tall, 0.0, 1.0);
        const Spot feet{x + 0.27 * tall * (1 - share), set.stand_height.value() + level};
        draw_person(feet, nest());
    }

    void draw_lone_person()
    {
        const double x = std::max(place_.set_back.value() + 0.3, 0.6);
        draw_person({x, ground(x)}, content_.by_hand ? nest() : Spot{x - 0.2, ground(x) + 0.7},
                    content_.by_hand && height_ < 0.8 ? 0.25 : 0);
        if (content_.reach_line) {
            const double z = content_.reach_line->value();
            stroke({extent_.left, z}, {extent_.right, z}, {kPole, 0.35, {1.6, 1.2}});
            words({at({extent_.right, z}).x + 1.5, at({0, z}).y + 1},
                  "this gear comes to " + said(z), kPole, Align::Left, Weight::Bold);
        }
    }

    void draw_lines_zone()
    {
        if (place_.power_lines != PowerLines::Near || !place_.power_line_distance) {
            return;
        }
        const double away = place_.power_line_distance->value();
        // Up and outwards: where it is from the nest is not in the book, only how far.
        const Spot wire{0.8 * away, height_ + 0.6 * away};
        const double kept = access::power_line_clearance(0).value();
        c_.circle(at(wire), kept * scale_);
        c_.fill_keep({kDanger.rgb, 0.1});
        c_.stroke({kDanger, 0.35, {1.4, 1}});
        c_.circle(at(wire), 1.1);
        c_.fill(kDanger);
        words({at(wire).x, at(wire).y - 2.2}, "power line", kDanger, Align::Middle, Weight::Bold);
        words({at(wire).x, at(wire).y + 4.2}, "keep " + said(kept) + " clear", kDanger);
    }

    // Measures ------------------------------------------------------------------------------------

    void tick(PagePoint p, bool upright)
    {
        c_.move_to({p.x - (upright ? 1.0 : 0.0), p.y - (upright ? 0.0 : 1.0)});
        c_.line_to({p.x + (upright ? 1.0 : 0.0), p.y + (upright ? 0.0 : 1.0)});
        c_.stroke({kInk, 0.3, {}});
    }
    void level_measure(double from, double to, double y, const std::string& text, Colour colour)
    {
        const PagePoint a{at({from, 0}).x, y};
        const PagePoint b{at({to, 0}).x, y};
        c_.move_to(a);
        c_.line_to(b);
        c_.stroke({colour, 0.25, {}});
        tick(a, false);
        tick(b, false);
        words({(a.x + b.x) / 2, y + 3.4}, text, colour, Align::Middle, Weight::Bold, 2.6);
    }
    void upright_measure(double x_mm, double from, double to, const std::string& name,
                         const std::string& text, Align align)
    {
        const PagePoint a{x_mm, at({0, from}).y};
        const PagePoint b{x_mm, at({0, to}).y};
        c_.move_to(a);
        c_.line_to(b);
        c_.stroke({kInk, 0.25, {}});
        tick(a, true);
        tick(b, true);
        const double side = align == Align::Left ? 1.6 : -1.6;
        const double y = (a.y + b.y) / 2;
        words({x_mm + side, y}, text, kInk, align, Weight::Bold, 2.9);
        words({x_mm + side, y + 3.2}, name, kGrey, align, Weight::Normal, 2.3);
    }

    void draw_measures()
    {
        const double base = box_.bottom() + 3;
        upright_measure(box_.x - 3, 0, height_, "nest", said(height_), Align::Right);
        double row = base;
        if (place_.set_back > Metres{0.05}) {
            level_measure(0, place_.set_back.value(), row,
                          "set-back " + said(place_.set_back.value()), {0x55734a});
            row += 6.5;
        }
        const double edge = box_.right() + 2;
        if (content_.ladder && content_.ladder->type != LadderType::Step) {
            const auto& set = *content_.ladder;
            level_measure(0, set.foot_distance.value(), row,
                          "foot " + said(set.foot_distance.value()) + " (1 in 4)", kBase);
            upright_measure(edge, set.foot_level.value(), set.stand_height.value(), "feet",
                            said((set.stand_height - set.foot_level).value()), Align::Left);
            c_.move_to(at({set.stand_out.value(), set.stand_height.value()}));
            c_.line_to({edge, at({0, set.stand_height.value()}).y});
            c_.stroke({{kGrey.rgb, 0.6}, 0.15, {0.8, 0.8}});
        } else if (content_.ladder) {
            upright_measure(edge, 0, content_.ladder->stand_height.value(), "feet",
                            said(content_.ladder->stand_height.value()), Align::Left);
        } else if (content_.pole) {
            level_measure(0, content_.pole->stand_off.value(), row,
                          "stand off " + said(content_.pole->stand_off.value()), kPole);
            upright_measure(
                edge, content_.pole->stand_level.value(), content_.pole->grip.value(), "hands",
                said((content_.pole->grip - content_.pole->stand_level).value()), Align::Left);
        }
    }

    Canvas& c_;
    const SceneContent& content_;
    const access::WorkPlace& place_;
    SceneExtent extent_;
    PageBox box_;
    double scale_;
    UnitStyle units_;
    double height_;
    double size_;
};

}  // namespace

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
    extent.left = -0.7;
    extent.right = std::max(place.set_back.value() + 0.9, 1.6);
    extent.high = std::max(height, 0.0) + 1.5;
    if (content.pole) {
        extent.right = std::max(extent.right, content.pole->stand_off.value() + 0.9);
    }
    if (content.ladder) {
        extent.right = std::max(extent.right, content.ladder->foot_distance.value() + 0.6);
        extent.high =
            std::max(extent.high, content.ladder->stand_height.value() + kPersonHeight + 0.3);
        if (content.ladder->type == LadderType::Step) {
            extent.right =
                std::max(extent.right, 1.0 + 0.4 * content.ladder->working_length.value());
        }
    }
    extent.high = std::max(extent.high, 2.6);
    if (place.power_lines == PowerLines::Near && place.power_line_distance &&
        place.power_line_distance->value() < 15) {
        const double away = place.power_line_distance->value();
        extent.right = std::max(extent.right, 0.8 * away + 1.2);
        extent.high = std::max(extent.high, height + 0.6 * away + 1.2);
    }
    extent.low = std::min({0.0, place.step.value(), height - 0.3,
                           place.ground_at(Metres{extent.right}).value()}) -
                 0.35;
    return extent;
}

void draw_scene(Canvas& canvas, const SceneContent& content, const SceneExtent& extent,
                const PageBox& box, double scale, UnitStyle units)
{
    Scene{canvas, content, extent, box, scale, units}.draw();
}

}  // namespace nestround::sheets
