#include "planner/sheets/road_picture.hpp"

#include <algorithm>
#include <array>

#include "planner/sheets/map_ground.hpp"
#include "planner/sheets/map_marks.hpp"

namespace nestround::sheets {
namespace {

constexpr Colour kRule{0xb9b4aa};
// One hue, from near to far lighter by even steps.
constexpr std::array kBands{Colour{0x1f6f6b}, Colour{0x4f9a90}, Colour{0x83bfae},
                            Colour{0xb1d8c6}, Colour{0xcfe7d9}, Colour{0xe3f1e8}};

Colour band_colour(std::size_t band) { return kBands[std::min(band, kBands.size() - 1)]; }

void area_path(Canvas& canvas, const MapFrame& frame, const place::Area& area)
{
    for (const auto& rings : area.polygons) {
        for (const auto& ring : rings) {
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                const PagePoint at = frame.at(ring[i]);
                i == 0 ? canvas.move_to(at) : canvas.line_to(at);
            }
            canvas.close();
        }
    }
}

void rule(Canvas& canvas, const PageBox& box, double y)
{
    canvas.move_to({box.x, y});
    canvas.line_to({box.right(), y});
    canvas.stroke({kRule, 0.2, {}});
}

void draw_words(Canvas& canvas, const PageBox& box, const RoadPicture& picture)
{
    double y = box.y + 5.6;
    canvas.text({box.x, y}, picture.title, {5.4, Weight::Bold, kInk, 0}, Align::Left, box.width);
    y += 5.4;
    canvas.text({box.x, y}, picture.subtitle, {2.9, Weight::Normal, kQuietInk, 0}, Align::Left,
                box.width);
    y += 3.4;
    rule(canvas, box, y);
    y += 5;
    for (std::size_t i = 0; i < picture.bands.size(); ++i) {
        const auto& band = picture.bands[i];
        canvas.rounded({box.x, y - 2.4, 8, 6}, 0.8);
        canvas.fill_keep(band_colour(i));
        canvas.stroke({kBands.front(), 0.2, {}});
        canvas.text({box.x + 11, y}, band.words, {3.1, Weight::Bold, kInk, 0}, Align::Left,
                    box.width - 11);
        canvas.text({box.x + 11, y + 3.8}, band.more, {2.4, Weight::Normal, kQuietInk, 0},
                    Align::Left, box.width - 11);
        y += 9.4;
    }
    for (std::size_t i = 0; i < picture.marks.size(); ++i) {
        const auto& mark = picture.marks[i];
        draw_depot(canvas, {box.x + 4, y}, crew_colour(i), mark.letter, 1.9);
        canvas.text({box.x + 11, y + 0.9}, mark.words, {2.6, Weight::Normal, kInk, 0}, Align::Left,
                    box.width - 11);
        y += 7.4;
    }
    for (const std::string& fact : picture.facts) {
        y += canvas.paragraph({box.x, y - 2}, box.width, fact, {2.4, Weight::Normal, kInk, 0}) + 2;
    }
    std::string foot =
        picture.attribution.empty() ? std::string{} : "Roads: " + picture.attribution + ". ";
    foot += "Drawn by Nestround; times are estimates.";
    const double top = box.bottom() - 11;
    rule(canvas, box, top);
    canvas.paragraph({box.x, top + 1.6}, box.width, foot, {2.1, Weight::Normal, kQuietInk, 0});
}

}  // namespace

MapWindow picture_window(const RoadPicture& picture, const MapOptions& options)
{
    std::vector<LonLat> places = picture.way;
    for (const auto& mark : picture.marks) {
        places.push_back(mark.at);
    }
    for (const auto& band : picture.bands) {
        for (const auto& rings : band.area.polygons) {
            places.insert(places.end(), rings.front().begin(), rings.front().end());
        }
    }
    return map_window(places, options);
}

std::string draw_road_picture(const RoadPicture& picture, const MapRoads& roads,
                              const MapOptions& options)
{
    check_page(options);
    const PageLayout layout = page_layout(options);
    const MapFrame frame{picture_window(picture, options), layout.map};
    Canvas canvas{options.format, options.width_mm, options.height_mm, options.dots_per_inch};
    draw_ground(canvas, layout.map, options);
    for (std::size_t i = picture.bands.size(); i-- > 0;) {
        area_path(canvas, frame, picture.bands[i].area);
        canvas.fill(band_colour(i));
    }
    draw_road_web(canvas, frame, roads);
    for (std::size_t i = picture.bands.size(); i-- > 0;) {
        area_path(canvas, frame, picture.bands[i].area);
        canvas.stroke({{kBands.front().rgb, 0.85}, 0.2, {}});
    }
    if (picture.way.size() > 1) {
        const PageLine line = thinned(frame.line(picture.way), 0.15);
        draw_tour_line(canvas, line, 0);
        for (const Heading& heading : headings(line, 15, 30)) {
            draw_wedge(canvas, heading, crew_colour(0));
        }
    }
    draw_furniture(canvas, frame);
    for (std::size_t i = 0; i < picture.marks.size(); ++i) {
        draw_depot(canvas, frame.at(picture.marks[i].at), crew_colour(i), picture.marks[i].letter);
    }
    canvas.unclip();
    canvas.rectangle(layout.map);
    canvas.stroke({{0x8d8779}, 0.3, {}});
    draw_words(canvas, layout.panel, picture);
    return canvas.finish();
}

}  // namespace nestround::sheets
