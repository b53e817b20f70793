#include "planner/sheets/map_marks.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "geocore/nature/season.hpp"

namespace nestround::sheets {

namespace {

// Dark enough for white letters, apart in lightness, and safe for red- and green-blind eyes.
constexpr std::array kCrewColours{Colour{0x1a4f8b}, Colour{0xc2410c}, Colour{0x6b2c7b},
                                  Colour{0x0f7a6c}};

void path_of(Canvas& canvas, Shape shape, PagePoint at, double r)
{
    switch (shape) {
        case Shape::Disc:
            canvas.circle(at, r);
            break;
        case Shape::Drop: {
            // A nest that hangs: round below, drawn out to its twig above.
            const double k = 0.5523 * r;
            const double top = at.y - 1.55 * r;
            canvas.move_to({at.x, top});
            canvas.curve_to({at.x + 0.25 * r, at.y - 1.0 * r}, {at.x + r, at.y - 0.7 * r},
                            {at.x + r, at.y});
            canvas.curve_to({at.x + r, at.y + k}, {at.x + k, at.y + r}, {at.x, at.y + r});
            canvas.curve_to({at.x - k, at.y + r}, {at.x - r, at.y + k}, {at.x - r, at.y});
            canvas.curve_to({at.x - r, at.y - 0.7 * r}, {at.x - 0.25 * r, at.y - 1.0 * r},
                            {at.x, top});
            canvas.close();
            break;
        }
        case Shape::Square:
            canvas.rounded({at.x - 0.93 * r, at.y - 0.93 * r, 1.86 * r, 1.86 * r}, 0.25 * r);
            break;
        case Shape::Cell:
            for (int k = 0; k < 6; ++k) {
                const double angle = k * std::numbers::pi / 3;
                const PagePoint p{at.x + 1.15 * r * std::cos(angle),
                                  at.y + 1.15 * r * std::sin(angle)};
                k == 0 ? canvas.move_to(p) : canvas.line_to(p);
            }
            canvas.close();
            break;
        case Shape::Diamond:
            canvas.move_to({at.x, at.y - 1.35 * r});
            canvas.line_to({at.x + 1.35 * r, at.y});
            canvas.line_to({at.x, at.y + 1.35 * r});
            canvas.line_to({at.x - 1.35 * r, at.y});
            canvas.close();
            break;
    }
}

struct RoadLook {
    double casing_width;  ///< 0: none
    Colour casing;
    double width;
    Colour colour;
    std::vector<double> dashes;
};

RoadLook look_of(RoadRank rank)
{
    switch (rank) {
        case RoadRank::Fast:
            return {1.7, {0xa09684}, 1.15, {0xf6e3b4}, {}};
        case RoadRank::Main:
            return {1.25, {0xb3aa9a}, 0.8, {0xfcf4dc}, {}};
        case RoadRank::Linking:
            return {0.85, {0xc3bcae}, 0.5, {0xffffff}, {}};
        case RoadRank::Local:
            return {0, {}, 0.28, {0xcdc7bb}, {}};
        case RoadRank::Track:
            return {0, {}, 0.2, {0xcdc7bb}, {0.8, 0.7}};
        case RoadRank::Ferry:
            return {0, {}, 0.3, {0x8aa3b8}, {1.6, 1.0}};
    }
    return {};
}

}  // namespace

Shape shape_of(const yield::NestOutlook& outlook)
{
    const std::string& name = outlook.taxon_name;
    const std::string genus = name.substr(0, name.find(' '));
    if (genus == "Vespula") {
        return Shape::Disc;
    }
    if (genus == "Dolichovespula") {
        return Shape::Drop;
    }
    if (genus == "Vespa") {
        return Shape::Square;
    }
    return genus == "Polistes" ? Shape::Cell : Shape::Diamond;
}

Filling filling_of(const yield::NestOutlook& outlook)
{
    using nature::Stage;
    // A forecast may say more after the stage's name.
    const auto is = [&](Stage stage) { return outlook.stage.starts_with(nature::text(stage)); };
    if (is(Stage::Reproductives)) {
        return Filling::Full;
    }
    return is(Stage::Decline) || is(Stage::Over) ? Filling::Broken : Filling::Empty;
}

std::string_view meaning(Shape shape)
{
    switch (shape) {
        case Shape::Disc:
            return "Vespula";
        case Shape::Drop:
            return "Dolichovespula";
        case Shape::Square:
            return "Vespa";
        case Shape::Cell:
            return "Polistes";
        case Shape::Diamond:
            break;
    }
    return "not known";
}

std::string_view meaning(Filling filling)
{
    switch (filling) {
        case Filling::Empty:
            return "growing";
        case Filling::Full:
            return "raising queens and males";
        case Filling::Broken:
            break;
    }
    return "past its peak";
}

Colour crew_colour(std::size_t crew) { return kCrewColours[crew % kCrewColours.size()]; }

void draw_stop(Canvas& canvas, PagePoint at, Shape shape, Filling filling, Colour colour,
               std::string_view words, double radius)
{
    // A light rim lifts the mark off the lines beneath it.
    path_of(canvas, shape, at, radius);
    canvas.stroke({kPaper, 0.50 * radius, {}});
    path_of(canvas, shape, at, radius);
    canvas.fill_keep(filling == Filling::Full ? colour : kPaper);
    canvas.stroke({colour, 0.19 * radius,
                   filling == Filling::Broken ? std::vector<double>{0.30 * radius, 0.42 * radius}
                                              : std::vector<double>{}});
    const double size = radius * (words.size() > 3 ? 0.72 : words.size() > 2 ? 0.86 : 1.05);
    canvas.text({at.x, at.y + 0.36 * size}, words,
                {size, Weight::Bold, filling == Filling::Full ? kPaper : colour, 0}, Align::Middle);
}

void draw_depot(Canvas& canvas, PagePoint at, Colour colour, std::string_view letter, double radius)
{
    const double r = radius;
    const auto house = [&] {
        canvas.move_to({at.x, at.y - 1.25 * r});
        canvas.line_to({at.x + 1.2 * r, at.y - 0.25 * r});
        canvas.line_to({at.x + 1.2 * r, at.y + r});
        canvas.line_to({at.x - 1.2 * r, at.y + r});
        canvas.line_to({at.x - 1.2 * r, at.y - 0.25 * r});
        canvas.close();
    };
    house();
    canvas.stroke({kPaper, 0.55 * r, {}});
    house();
    canvas.fill_keep(kInk);
    canvas.stroke({kInk, 0.12 * r, {}});
    // The crew's colour as the door sill.
    canvas.rectangle({at.x - 1.2 * r, at.y + 0.78 * r, 2.4 * r, 0.34 * r});
    canvas.fill(colour);
    canvas.text({at.x, at.y + 0.52 * r}, letter, {1.15 * r, Weight::Bold, kPaper, 0},
                Align::Middle);
}

void draw_left_out(Canvas& canvas, PagePoint at)
{
    constexpr double r = 0.95;
    canvas.circle(at, r);
    canvas.fill_keep(kPaper);
    canvas.stroke({{0x7c8185}, 0.3, {}});
    canvas.move_to({at.x - 0.42, at.y});
    canvas.line_to({at.x + 0.42, at.y});
    canvas.stroke({{0x7c8185}, 0.3, {}});
}

void draw_tour_line(Canvas& canvas, const PageLine& line, std::size_t crew)
{
    const Colour colour = crew_colour(crew);
    canvas.polyline(line);
    canvas.stroke({{0xffffff, 0.85}, kTourWidth + 0.7, {}});
    canvas.polyline(line);
    switch (crew % 4) {
        case 0:
            canvas.stroke({colour, kTourWidth, {}});
            break;
        case 1:
            canvas.stroke({colour, kTourWidth + 0.1, {}});
            canvas.polyline(line);
            canvas.stroke({{0xffffff}, 0.3 * kTourWidth, {}});
            break;
        case 2:
            canvas.stroke({colour, kTourWidth, {2.6, 1.6}});
            break;
        default:
            canvas.stroke({colour, kTourWidth, {0.01, 1.5}});
            break;
    }
}

void draw_wedge(Canvas& canvas, const Heading& heading, Colour colour)
{
    constexpr double kLong = 1.5;
    constexpr double kWide = 1.15;
    const auto corner = [&](double along, double across) {
        return PagePoint{heading.at.x + heading.dx * along - heading.dy * across,
                         heading.at.y + heading.dy * along + heading.dx * across};
    };
    const auto path = [&] {
        canvas.move_to(corner(kLong, 0));
        canvas.line_to(corner(-kLong * 0.8, kWide));
        canvas.line_to(corner(-kLong * 0.3, 0));
        canvas.line_to(corner(-kLong * 0.8, -kWide));
        canvas.close();
    };
    path();
    canvas.stroke({kPaper, 0.55, {}});
    path();
    canvas.fill_keep(colour);
    canvas.stroke({colour, 0.1, {}});
}

void draw_roads(Canvas& canvas, const std::vector<PageLine>& lines, RoadRank rank, double fineness)
{
    RoadLook look = look_of(rank);
    look.width *= fineness;
    const auto all = [&](const Pen& pen) {
        for (const PageLine& line : lines) {
            canvas.polyline(line);
        }
        canvas.stroke(pen);
    };
    if (look.casing_width > 0) {
        all({look.casing, look.casing_width, {}});
    }
    all({look.colour, look.width, look.dashes});
}

}  // namespace nestround::sheets
