#include "planner/sheets/map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "geocore/base/error.hpp"
#include "planner/sheets/map_drawing.hpp"
#include "planner/sheets/map_ground.hpp"
#include "planner/sheets/map_labels.hpp"
#include "planner/sheets/map_marks.hpp"
#include "planner/sheets/map_panel.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

/// The legs of one crew as they are drawn: to the right of the road's middle, each crew further
/// out, so that ways out and back, and two crews on one road, stay apart.
std::vector<PageLine> tour_of(const MapFrame& frame, const day::CrewDay& crew, std::size_t index,
                              std::size_t crews)
{
    const double step = kTourWidth + 0.35;
    const double offset = 0.75 + step * static_cast<double>(std::min<std::size_t>(index, crews));
    std::vector<PageLine> legs;
    const auto add = [&](const std::vector<LonLat>& line) {
        if (line.size() > 1) {
            // Coarser than the roads: an offset needs bends that are wider than itself.
            legs.push_back(beside(thinned(frame.line(line), 0.25), offset));
        }
    };
    for (const day::PlannedStop& stop : crew.stops) {
        add(stop.drive_line);
    }
    add(crew.drive_home_line);
    return legs;
}

void draw_tour(Canvas& canvas, const std::vector<PageLine>& legs, std::size_t crew)
{
    // One path, so that the light rim of a leg does not cut the leg before it.
    PageLine whole;
    for (const PageLine& leg : legs) {
        whole.insert(whole.end(), leg.begin(), leg.end());
    }
    draw_tour_line(canvas, whole, crew);
    for (const PageLine& leg : legs) {
        constexpr double kSpacing = 30;
        const double length = length_of(leg);
        if (length < 7) {
            continue;
        }
        const double first = length < 2 * kSpacing ? length / 2 : kSpacing / 2;
        for (const Heading& heading : headings(leg, first, kSpacing)) {
            draw_wedge(canvas, heading, crew_colour(crew));
        }
    }
}

struct StopMark {
    PagePoint place;
    PagePoint mark;
    Shape shape;
    Filling filling;
    std::size_t crew;
    std::string words;
    std::string name;
};

/// Half the room that a mark takes.
double half_of(Shape shape)
{
    return kMarkRadius * (shape == Shape::Diamond ? 1.4 : shape == Shape::Cell ? 1.2 : 1.1);
}

struct DepotMark {
    PagePoint mark;
    std::size_t crew;
    std::string letters;
};

class Drawing {
public:
    Drawing(Canvas& canvas, const MapFrame& frame, const day::DayPlan& plan)
        : canvas_{canvas}, frame_{frame}, plan_{plan}, placer_{frame.box()}
    {
    }

    void tours()
    {
        for (std::size_t c = 0; c < plan_.crews.size(); ++c) {
            const std::vector<PageLine> legs =
                tour_of(frame_, plan_.crews[c], c, plan_.crews.size());
            draw_tour(canvas_, legs, c);
            for (const PageLine& leg : legs) {
                for (const Heading& heading : headings(leg, 0, 1.5)) {
                    placer_.avoid(heading.at);
                }
            }
        }
    }

    void marks()
    {
        const Furniture furniture = furniture_in(frame_.box());
        placer_.block(furniture.scale);
        placer_.block(furniture.north);
        settle_depots();
        settle_stops();
        for (const StopMark& stop : stops_) {
            if (std::hypot(stop.mark.x - stop.place.x, stop.mark.y - stop.place.y) > 0.1) {
                canvas_.move_to(stop.place);
                canvas_.line_to(stop.mark);
                canvas_.stroke({crew_colour(stop.crew), 0.35, {}});
                canvas_.circle(stop.place, 0.55);
                canvas_.fill(crew_colour(stop.crew));
            }
        }
        for (const StopMark& stop : stops_) {
            draw_stop(canvas_, stop.mark, stop.shape, stop.filling, crew_colour(stop.crew),
                      stop.words);
        }
        for (const DepotMark& depot : depots_) {
            draw_depot(canvas_, depot.mark, crew_colour(depot.crew), depot.letters);
        }
        for (const StopMark& stop : stops_) {
            name(stop.mark, half_of(stop.shape), stop.name, {2.7, Weight::Bold, kInk, 0.5});
        }
    }

    /// Those that lie on the map; gives their number.
    std::size_t left_out()
    {
        std::vector<std::pair<PagePoint, std::string>> shown;
        for (const day::LeftOut& left : plan_.left_out) {
            const LonLat place = left.call.sheet.site.place;
            if (!is_on_earth(place) || !frame_.box().holds(frame_.at(place))) {
                continue;
            }
            const PagePoint at = placer_.settle(frame_.at(place), 1.0);
            draw_left_out(canvas_, at);
            shown.emplace_back(at, place_name(left.call.sheet));
        }
        // The list comes best first; more names than these would crowd the map.
        constexpr std::size_t kNamed = 8;
        for (std::size_t k = 0; k < std::min(kNamed, shown.size()); ++k) {
            const auto& [at, words] = shown[k];
            name(at, 1.1, words, {2.1, Weight::Slanted, kQuietInk, 0.4});
        }
        return shown.size();
    }

private:
    void settle_depots()
    {
        std::vector<LonLat> seen;
        for (std::size_t c = 0; c < plan_.crews.size(); ++c) {
            const LonLat place = plan_.crews[c].crew.depot;
            if (!is_on_earth(place)) {
                continue;
            }
            const auto same = std::find(seen.begin(), seen.end(), place);
            if (same != seen.end()) {
                depots_[static_cast<std::size_t>(same - seen.begin())].letters += crew_letter(c);
                continue;
            }
            seen.push_back(place);
            depots_.push_back(
                {placer_.settle(frame_.at(place), kDepotRadius * 1.15), c, crew_letter(c)});
        }
    }

    void settle_stops()
    {
        for (std::size_t c = 0; c < plan_.crews.size(); ++c) {
            const day::CrewDay& crew = plan_.crews[c];
            for (std::size_t s = 0; s < crew.stops.size(); ++s) {
                const rank::RankedCall& call = crew.stops[s].call;
                if (!is_on_earth(call.sheet.site.place)) {
                    continue;
                }
                const PagePoint place = frame_.at(call.sheet.site.place);
                stops_.push_back({place, placer_.settle(place, half_of(shape_of(call.outlook))),
                                  shape_of(call.outlook), filling_of(call.outlook), c,
                                  crew_letter(c) + std::to_string(s + 1), place_name(call.sheet)});
            }
        }
    }

    void name(PagePoint mark, double half, const std::string& words, const Font& font)
    {
        const double width = canvas_.text_width(words, font);
        const double height = font.size * 1.25;
        if (const auto box = placer_.name_beside(mark, half, width, height)) {
            canvas_.text({box->x, box->y + height * 0.76}, words, font);
        }
    }

    Canvas& canvas_;
    const MapFrame& frame_;
    const day::DayPlan& plan_;
    Placer placer_;
    std::vector<StopMark> stops_;
    std::vector<DepotMark> depots_;
};

}  // namespace

std::size_t draw_map(Canvas& canvas, const PageBox& box, const day::DayPlan& plan,
                     const MapRoads& roads)
{
    const MapFrame frame{map_window(plan, box), box};
    draw_ground_in(canvas, box);
    draw_road_web(canvas, frame, roads);
    Drawing drawing{canvas, frame, plan};
    drawing.tours();
    draw_furniture(canvas, frame);
    drawing.marks();
    const std::size_t left_out = drawing.left_out();
    canvas.unclip();
    canvas.rectangle(box);
    canvas.stroke({{0x8d8779}, 0.3, {}});
    return left_out;
}

std::string draw_morning_map(const day::DayPlan& plan, const MapRoads& roads,
                             const MapOptions& options)
{
    check_page(options);
    const PageLayout layout = page_layout(options);
    Canvas canvas{options.format, options.width_mm, options.height_mm, options.dots_per_inch};
    canvas.rectangle({0, 0, options.width_mm, options.height_mm});
    canvas.fill(kPaper);
    const std::size_t left_out = draw_map(canvas, layout.map, plan, roads);
    draw_panel(canvas, layout.panel, plan, options, left_out);
    return canvas.finish();
}

}  // namespace nestround::sheets
