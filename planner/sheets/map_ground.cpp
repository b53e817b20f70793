#include "planner/sheets/map_ground.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "geocore/base/error.hpp"
#include "planner/sheets/map_marks.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kGround{0xf5f2ea};
constexpr double kThin = 0.08;  // mm: finer than a printer shows

/// 1, 2 or 5 times a power of ten, the largest at most `most`.
double round_length(double most)
{
    const double ten = std::pow(10.0, std::floor(std::log10(most)));
    for (const double times : {5.0, 2.0}) {
        if (ten * times <= most) {
            return ten * times;
        }
    }
    return ten;
}

/// One half of the scale bar: lengths of a unit of `metres` that is called `name`.
void draw_bar(Canvas& canvas, PagePoint at, double mm_per_metre, double metres,
              std::string_view name, bool ticks_up)
{
    const double mm_per_unit = mm_per_metre * metres;
    const double units = round_length(40 / mm_per_unit);
    const double length = units * mm_per_unit;
    const double tick = ticks_up ? -1.3 : 1.3;
    for (const double x : {0.0, length / 2, length}) {
        canvas.move_to({at.x + x, at.y});
        canvas.line_to({at.x + x, at.y + tick});
    }
    canvas.move_to(at);
    canvas.line_to({at.x + length, at.y});
    canvas.stroke({kInk, 0.3, {}});
    const double base = ticks_up ? at.y - 1.0 : at.y + 2.4;
    canvas.text({at.x + length + 1.5, base}, fmt::format("{} {}", number(units, 0.01), name),
                {2.4, Weight::Normal, kInk, 0});
}

void draw_scale(Canvas& canvas, const PageBox& plate, double mm_per_metre)
{
    canvas.rounded(plate, 1);
    canvas.fill({0xffffff, 0.88});
    const PagePoint at{plate.x + 3, plate.y + plate.height / 2};
    draw_bar(canvas, at, mm_per_metre, 1000, "km", true);
    draw_bar(canvas, at, mm_per_metre, 1609.344, "mi", false);
}

void draw_north(Canvas& canvas, const PageBox& plate)
{
    canvas.rounded(plate, 1);
    canvas.fill({0xffffff, 0.88});
    const double x = plate.x + plate.width / 2;
    const double top = plate.y + 1.6;
    const double low = plate.y + 9;
    canvas.move_to({x, top});
    canvas.line_to({x + 2.3, low});
    canvas.line_to({x, low - 1.5});
    canvas.close();
    canvas.fill(kInk);
    canvas.move_to({x, top});
    canvas.line_to({x - 2.3, low});
    canvas.line_to({x, low - 1.5});
    canvas.close();
    canvas.stroke({kInk, 0.25, {}});
    canvas.text({x, plate.bottom() - 1.5}, "N", {2.9, Weight::Bold, kInk, 0}, Align::Middle);
}

/// Where lanes are many they are drawn thinner, so that they stay a background.
double fineness_of(const std::vector<PageLine>& lines, const PageBox& map)
{
    constexpr double kCalm = 0.16;  // millimetres of lane a square millimetre
    constexpr double kFinest = 0.5;
    double length = 0;
    for (const PageLine& line : lines) {
        length += length_of(line);
    }
    const double crowd = length / (map.width * map.height);
    return crowd > kCalm ? std::max(kFinest, kCalm / crowd) : 1;
}

}  // namespace

RoadRank road_rank(roads::RoadClass road_class)
{
    using roads::RoadClass;
    switch (road_class) {
        case RoadClass::Motorway:
        case RoadClass::MotorwayLink:
        case RoadClass::Trunk:
        case RoadClass::TrunkLink:
            return RoadRank::Fast;
        case RoadClass::Primary:
        case RoadClass::PrimaryLink:
            return RoadRank::Main;
        case RoadClass::Secondary:
        case RoadClass::SecondaryLink:
        case RoadClass::Tertiary:
        case RoadClass::TertiaryLink:
            return RoadRank::Linking;
        case RoadClass::Track:
            return RoadRank::Track;
        case RoadClass::Ferry:
            return RoadRank::Ferry;
        case RoadClass::Unclassified:
        case RoadClass::Residential:
        case RoadClass::LivingStreet:
        case RoadClass::Service:
            break;
    }
    return RoadRank::Local;
}

void check_page(const MapOptions& options)
{
    // Written so that NaN fails; the upper bound is A0 at 300 dots an inch.
    if (!(options.width_mm >= 180 && options.width_mm <= 1200 && options.height_mm >= 130 &&
          options.height_mm <= 1200 && options.dots_per_inch >= 50 &&
          options.dots_per_inch <= 300)) {
        throw Failure{ErrorCode::BadUsage,
                      "a map page is 180 to 1200 mm wide, 130 to 1200 mm high and has 50 to 300 "
                      "dots an inch; choose a size within these"};
    }
}

Furniture furniture_in(const PageBox& map)
{
    return {{map.x + 3, map.bottom() - 15, 54, 12}, {map.right() - 13, map.y + 3, 10, 14}};
}

void draw_ground(Canvas& canvas, const PageBox& map, const MapOptions& options)
{
    canvas.rectangle({0, 0, options.width_mm, options.height_mm});
    canvas.fill(kPaper);
    draw_ground_in(canvas, map);
}

void draw_ground_in(Canvas& canvas, const PageBox& map)
{
    canvas.rectangle(map);
    canvas.fill(kGround);
    canvas.clip(map);
}

void draw_road_web(Canvas& canvas, const MapFrame& frame, const MapRoads& roads)
{
    static constexpr std::array kOrder{RoadRank::Ferry,   RoadRank::Track, RoadRank::Local,
                                       RoadRank::Linking, RoadRank::Main,  RoadRank::Fast};
    for (const RoadRank rank : kOrder) {
        std::vector<PageLine> lines;
        for (const MapRoad& road : roads.roads) {
            if (road.rank == rank) {
                lines.push_back(thinned(frame.line(road.line), kThin));
            }
        }
        const bool small = rank == RoadRank::Local || rank == RoadRank::Track;
        draw_roads(canvas, lines, rank, small ? fineness_of(lines, frame.box()) : 1);
    }
}

void draw_furniture(Canvas& canvas, const MapFrame& frame)
{
    const Furniture furniture = furniture_in(frame.box());
    draw_scale(canvas, furniture.scale, frame.mm_per_metre());
    draw_north(canvas, furniture.north);
}

}  // namespace nestround::sheets
