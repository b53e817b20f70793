#include "planner/sheets/density_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "geocore/base/error.hpp"
#include "planner/sheets/density_text.hpp"
#include "planner/sheets/map_ground.hpp"
#include "planner/sheets/map_marks.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {
namespace {

constexpr std::size_t kMostSmallMaps = 12;
constexpr int kFewKnown = 3;
constexpr double kInkOpacity = 0.88;
constexpr double kReadableSide = 2.2;  // mm
constexpr Colour kRule{0xb9b4aa};
constexpr Colour kRim{0x6b5a4a};
constexpr Colour kNone{0xfdfbf5};
constexpr std::array kInks{Colour{0xf6dfae}, Colour{0xe9b872}, Colour{0xcb8546}, Colour{0x97502c},
                           Colour{0x552414}};

std::size_t class_of(double value, const std::vector<double>& bounds)
{
    std::size_t at = 0;
    while (at + 1 < bounds.size() && value > bounds[at]) {
        ++at;
    }
    return at;
}

double densest(const std::vector<density::CountedCell>& cells)
{
    double most = 0;
    for (const auto& cell : cells) {
        most = std::max(most, cell.per_km2.middle);
    }
    return most;
}

PageLine outline(const density::DensityMap& map, const MapFrame& frame, density::CellKey key)
{
    PageLine line;
    for (const auto& corner : map.hexagons.corners(key)) {
        line.push_back(frame.at(map.plane.earth(corner)));
    }
    return line;
}

void path_of(Canvas& canvas, const PageLine& line)
{
    for (std::size_t i = 0; i < line.size(); ++i) {
        i == 0 ? canvas.move_to(line[i]) : canvas.line_to(line[i]);
    }
    canvas.close();
}

/// Over the roads, which show through: the inks, the rims and the counts.
void draw_cells(Canvas& canvas, const MapFrame& frame, const density::DensityMap& map,
                const std::vector<density::CountedCell>& cells, const std::vector<double>& bounds)
{
    const double side = map.hexagons.side() * frame.mm_per_metre();
    for (const auto& cell : cells) {
        path_of(canvas, outline(map, frame, cell.key));
        if (cell.nests == 0) {
            canvas.stroke({kRule, 0.1, {}});
            continue;
        }
        Colour ink = kInks[class_of(cell.per_km2.middle, bounds)];
        ink.opacity = kInkOpacity;
        canvas.fill(ink);
    }
    for (const auto& cell : cells) {
        if (cell.nests == 0) {
            continue;
        }
        path_of(canvas, outline(map, frame, cell.key));
        canvas.stroke(cell.known < kFewKnown ? Pen{kRim, 0.3, {0.9, 0.7}} : Pen{kRim, 0.25, {}});
        if (side > kReadableSide) {
            const bool dark = class_of(cell.per_km2.middle, bounds) >= 3;
            const PagePoint at = frame.at(map.plane.earth(map.hexagons.middle(cell.key)));
            const double size = std::min(2.6, side * 0.6);
            canvas.text({at.x, at.y + size * 0.36}, fmt::format("{}", cell.nests),
                        {size, Weight::Bold, dark ? kPaper : kInk, 0}, Align::Middle);
        }
    }
}

void draw_land(Canvas& canvas, const MapFrame& frame, const density::DensityMap& map)
{
    for (const auto& ring : map.land) {
        PageLine line;
        for (const auto& point : ring) {
            line.push_back(frame.at(map.plane.earth(point)));
        }
        path_of(canvas, thinned(line, 0.05));
        canvas.stroke({kInk, 0.35, {2.4, 1.0, 0.6, 1.0}});
    }
}

void draw_one(Canvas& canvas, const PageBox& box, const MapWindow& window,
              const density::DensityMap& map, const std::vector<density::CountedCell>& cells,
              const std::vector<double>& bounds, const MapRoads& roads, bool furniture)
{
    const MapFrame frame{window, box};
    draw_ground_in(canvas, box);
    draw_road_web(canvas, frame, roads);
    draw_cells(canvas, frame, map, cells, bounds);
    draw_land(canvas, frame, map);
    if (furniture) {
        draw_furniture(canvas, frame);
    }
    canvas.unclip();
    canvas.rectangle(box);
    canvas.stroke({{0x8d8779}, 0.3, {}});
}

void sample(Canvas& canvas, PagePoint at, Colour ink, bool broken)
{
    canvas.rounded({at.x, at.y - 3.1, 7, 4.2}, 0.5);
    canvas.fill_keep(ink);
    canvas.stroke(broken ? Pen{kRim, 0.3, {0.9, 0.7}} : Pen{kRim, 0.15, {}});
}

/// One entry a line; gives the y below the last.
double draw_legend(Canvas& canvas, const PageBox& box, double y, const std::vector<double>& bounds)
{
    canvas.text({box.x, y}, "Nests a km2 and season", {2.8, Weight::Bold, kInk, 0}, Align::Left,
                box.width);
    y += 5.4;
    sample(canvas, {box.x, y}, kNone, false);
    canvas.text({box.x + 10, y}, "searched, none known", {2.5, Weight::Normal, kInk, 0});
    y += 5.4;
    double below = 0;
    for (std::size_t i = 0; i < bounds.size(); ++i) {
        sample(canvas, {box.x, y}, kInks[i], false);
        canvas.text({box.x + 10, y},
                    i == 0 ? fmt::format("up to {:g}", bounds[i])
                           : fmt::format("{:g} to {:g}", below, bounds[i]),
                    {2.5, Weight::Normal, kInk, 0});
        below = bounds[i];
        y += 5.4;
    }
    sample(canvas, {box.x, y}, kInks[1], true);
    canvas.text({box.x + 10, y}, "fewer than three nests known", {2.5, Weight::Normal, kInk, 0},
                Align::Left, box.width - 10);
    y += 5.4;
    canvas.move_to({box.x, y - 1});
    canvas.line_to({box.x + 7, y - 1});
    canvas.stroke({kInk, 0.35, {2.4, 1.0, 0.6, 1.0}});
    canvas.text({box.x + 10, y}, "land searched", {2.5, Weight::Normal, kInk, 0});
    return y + 5.4;
}

std::vector<std::string> facts_of(const density::DensityMap& map)
{
    const auto total = density::count_bounds(static_cast<int>(map.nests));
    const double over = map.searched_km2 * map.season_count();
    std::vector<std::string> facts;
    facts.push_back(
        fmt::format("{} nests on {} km2: {} a km2 and season, {} to {} by chance alone "
                    "(80 %).",
                    map.nests, number(map.searched_km2), per_km2_words(total.middle / over),
                    per_km2_words(total.low / over), per_km2_words(total.high / over)));
    facts.push_back(
        fmt::format("How much was searched: {} nests of all kinds became known. "
                    "Searched: {}.",
                    map.known, map.land_words));
    facts.push_back(fmt::format("Cells of {} km2; a figure is the nests counted in a cell.",
                                per_km2_words(map.hexagons.square_metres() / 1e6)));
    facts.push_back(density_caution());
    return facts;
}

std::string foot_of(const DensityPicture& picture)
{
    std::string foot;
    if (!picture.attribution.empty()) {
        foot += "Roads: " + picture.attribution + ". ";
    }
    return foot + fmt::format("Drawn by Nestround on {}.", picture.drawn_on);
}

void draw_panel_words(Canvas& canvas, const PageBox& box, const density::DensityMap& map,
                      const DensityPicture& picture, const std::vector<double>& bounds)
{
    double y = box.y + canvas.paragraph({box.x, box.y}, box.width, picture.title,
                                        {4.6, Weight::Bold, kInk, 0});
    y += 1.5;
    y += canvas.paragraph({box.x, y}, box.width, fmt::format("{}, {}", map.what, season_words(map)),
                          {3.2, Weight::Normal, kInk, 0});
    y += 3;
    canvas.move_to({box.x, y});
    canvas.line_to({box.right(), y});
    canvas.stroke({kRule, 0.2, {}});
    y = draw_legend(canvas, box, y + 6, bounds) + 1;
    for (const std::string& fact : facts_of(map)) {
        y += canvas.paragraph({box.x, y - 2}, box.width, fact, {2.4, Weight::Normal, kInk, 0}) + 2;
    }
    canvas.paragraph({box.x, box.bottom() - 8}, box.width, foot_of(picture),
                     {2.1, Weight::Normal, kQuietInk, 0});
}

/// The land alone, with a little around it; the page's own shape does not matter here.
MapWindow tight_window(const density::DensityMap& map)
{
    MapWindow window{180, 90, -180, -90};
    for (const auto& ring : map.land) {
        for (const auto& point : ring) {
            const auto at = map.plane.earth(point);
            // As seen from the middle: the land may lie across the antimeridian.
            const double middle = map.plane.middle().lon.value();
            const double lon = middle + std::remainder(at.lon.value() - middle, 360.0);
            window = {std::min(window.west, lon), std::min(window.south, at.lat.value()),
                      std::max(window.east, lon), std::max(window.north, at.lat.value())};
        }
    }
    const double x = (window.east - window.west) * 0.04;
    const double y = (window.north - window.south) * 0.04;
    return {window.west - x, window.south - y, window.east + x, window.north + y};
}

/// Width by height on the page.
double aspect_of(const MapWindow& window)
{
    const double latitude = (window.south + window.north) / 2 * std::numbers::pi / 180;
    const double height = window.north - window.south;
    return height > 0 ? (window.east - window.west) * std::cos(latitude) / height : 1;
}

void draw_small_maps(Canvas& canvas, const PageBox& page, const MapWindow& window,
                     const density::DensityMap& map, const std::vector<double>& bounds,
                     const MapRoads& roads)
{
    constexpr double gap = 3;
    constexpr double caption = 6;
    // As many columns as give the largest maps of the region's own shape.
    const double aspect = aspect_of(window);
    const std::size_t count = map.seasons.size();
    std::size_t columns = 1;
    double best = 0;
    for (std::size_t c = 1; c <= count; ++c) {
        const std::size_t rows = (count + c - 1) / c;
        const double width = (page.width - gap * double(c - 1)) / double(c);
        const double height = (page.height - (gap + caption) * double(rows)) / double(rows);
        const double area = std::min(width, height * aspect) * std::min(height, width / aspect);
        if (width > 0 && height > 0 && area > best) {
            best = area;
            columns = c;
        }
    }
    const std::size_t rows = (count + columns - 1) / columns;
    const double width = (page.width - gap * double(columns - 1)) / double(columns);
    const double height =
        std::min((page.height - (gap + caption) * double(rows)) / double(rows), width / aspect);
    for (std::size_t i = 0; i < count; ++i) {
        const auto& season = map.seasons[i];
        const PageBox box{page.x + double(i % columns) * (width + gap),
                          page.y + double(i / columns) * (height + gap + caption) + caption, width,
                          height};
        canvas.text({box.x, box.y - 1.6}, fmt::format("{}", season.season),
                    {3.6, Weight::Bold, kInk, 0});
        canvas.text({box.right(), box.y - 1.6},
                    fmt::format("{} of {} known", season.nests, season.known),
                    {2.6, Weight::Normal, kQuietInk, 0}, Align::Right);
        draw_one(canvas, box, window, map, season.cells, bounds, roads, i == 0);
    }
}

}  // namespace

std::vector<double> class_bounds(double most)
{
    if (!(most > 0) || !std::isfinite(most)) {
        most = 1;
    }
    // Up the series 1, 2, 5, 10 to the first number that holds `most`, then five down.
    int exponent = static_cast<int>(std::floor(std::log10(most))) - 2;
    std::vector<double> series;
    for (;; ++exponent) {
        for (const int digit : {1, 2, 5}) {
            // Divided, not multiplied by a tenth: 0.5 and not 0.5000000000000001.
            const double power = std::pow(10, std::abs(exponent));
            series.push_back(exponent < 0 ? digit / power : digit * power);
            if (series.back() >= most && series.size() >= kInks.size()) {
                return {series.end() - kInks.size(), series.end()};
            }
        }
    }
}

MapWindow density_window(const density::DensityMap& map, const MapOptions& options)
{
    std::vector<LonLat> places;
    for (const auto& ring : map.land) {
        for (const auto& point : ring) {
            places.push_back(map.plane.earth(point));
        }
    }
    return map_window(places, options);
}

std::string draw_density(const density::DensityMap& map, const DensityPicture& picture,
                         const MapRoads& roads, const MapOptions& options)
{
    check_page(options);
    if (picture.each_season && map.seasons.size() > kMostSmallMaps) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("a sheet holds {} seasons at most; name fewer", kMostSmallMaps)};
    }
    const PageLayout layout = page_layout(options);
    const MapWindow window = density_window(map, options);
    double most = densest(map.cells);
    if (picture.each_season) {
        for (const auto& season : map.seasons) {
            most = std::max(most, densest(season.cells));
        }
    }
    const auto bounds = class_bounds(most);
    Canvas canvas{options.format, options.width_mm, options.height_mm, options.dots_per_inch};
    canvas.rectangle({0, 0, options.width_mm, options.height_mm});
    canvas.fill(kPaper);
    if (picture.each_season) {
        draw_small_maps(canvas, layout.map, tight_window(map), map, bounds, roads);
    } else {
        draw_one(canvas, layout.map, window, map, map.cells, bounds, roads, true);
    }
    draw_panel_words(canvas, layout.panel, map, picture, bounds);
    return canvas.finish();
}

}  // namespace nestround::sheets
