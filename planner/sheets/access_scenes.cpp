#include "planner/sheets/access_scenes.hpp"

#include <algorithm>

namespace nestround::sheets {

namespace {

constexpr Colour kInk{0x1f2a30};
constexpr double kLeft = 19;     // for the height of the nest
constexpr double kRight = 25;    // for what stands beside pole, ladder and person
constexpr double kAbove = 10;    // title
constexpr double kBelow = 21;    // distances, scale bar
constexpr double kLargest = 34;  // millimetres a metre: beyond, a person looks like a giant

void draw_scale_bar(Canvas& canvas, PagePoint at, double scale, UnitStyle units)
{
    const double metres =
        units == UnitStyle::Metric ? (scale < 8 ? 5 : 1) : (scale < 8 ? 15 : 3) * 0.3048;
    canvas.rectangle({at.x, at.y - 1.1, metres * scale, 1.1});
    canvas.fill(kInk);
    canvas.text({at.x + metres * scale + 2, at.y + 0.3}, measure(Metres{metres}, units),
                Font{2.7, Weight::Normal, kInk, 0});
}

/// Gives all extents the same heights, and the scale at which each fits.
double common_scale(std::vector<SceneExtent>& extents, double room, double tall)
{
    double high = 0;
    double low = 0;
    for (const auto& extent : extents) {
        high = std::max(high, extent.high);
        low = std::min(low, extent.low);
    }
    double scale = kLargest;
    for (auto& extent : extents) {
        extent.high = high;
        extent.low = low;
        scale = std::min({scale, room / (extent.right - extent.left), tall / (high - low)});
    }
    return scale;
}

}  // namespace

std::vector<SceneContent> scenes_of(const AccessPage& page)
{
    SceneContent base;
    base.place = page.plan.place;
    base.kind = page.nest.kind;
    base.nest_size = page.nest.length ? page.nest.length : page.nest.width;
    std::vector<SceneContent> scenes;
    if (page.plan.ways.empty()) {
        base.title = "not with this gear";
        base.reach_line = page.plan.reach_best;
        scenes.push_back(base);
        return scenes;
    }
    const access::WayOfWork& way = page.plan.ways.front();
    if (way.pole) {
        SceneContent scene = base;
        scene.pole = way.pole;
        scene.title = way.ladder ? "1  from the ground, with the pole" : "with the pole";
        scenes.push_back(std::move(scene));
    }
    if (way.ladder) {
        SceneContent scene = base;
        scene.ladder = way.ladder;
        scene.people = way.people;
        scene.title = way.pole ? "2  a short climb for the comb" : "from the ladder";
        scenes.push_back(std::move(scene));
    }
    if (scenes.empty()) {
        base.by_hand = true;
        base.title = "by hand, from the ground";
        scenes.push_back(base);
    }
    return scenes;
}

void draw_scenes(Canvas& canvas, const std::vector<SceneContent>& scenes, const PageBox& box,
                 UnitStyle units)
{
    const double slot = box.width / static_cast<double>(scenes.size());
    const double room = slot - kLeft - kRight;
    const double tall = box.height - kAbove - kBelow;
    std::vector<SceneExtent> extents;
    for (const auto& scene : scenes) {
        extents.push_back(scene_extent(scene));
    }
    double scale = common_scale(extents, room, tall);
    constexpr double kLegible = 11;
    if (scale < kLegible) {  // a far power line is told in words, not drawn, before work is a dot
        for (auto& extent : extents) {
            extent.right = extent.work_right;
            extent.high = extent.work_high;
        }
        scale = common_scale(extents, room, tall);
    }
    const double high = extents.front().high;
    const double low = extents.front().low;
    for (std::size_t k = 0; k < scenes.size(); ++k) {
        const SceneExtent& extent = extents[k];
        const double wide = (extent.right - extent.left) * scale;
        const double start = box.x + static_cast<double>(k) * slot + kLeft;
        const double height = (high - low) * scale;
        const PageBox scene{start + std::max(0.0, (room - wide) / 2),
                            box.y + kAbove + std::max(0.0, (tall - height) / 2), wide, height};
        draw_scene(canvas, scenes[k], extent, scene, scale, units);
        canvas.text(
            {box.x + (static_cast<double>(k) + 0.5) * slot, std::max(box.y + 4.5, scene.y - 5.5)},
            scenes[k].title, Font{3.8, Weight::Bold, kInk, 0}, Align::Middle);
    }
    draw_scale_bar(canvas, {box.x, box.bottom() - 1.5}, scale, units);
}

}  // namespace nestround::sheets
