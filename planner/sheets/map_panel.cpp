#include "planner/sheets/map_panel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "planner/sheets/map_marks.hpp"
#include "planner/sheets/show.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

constexpr double kCrewHead = 10.2;
constexpr double kTall = 7.6;   // a stop with its second line
constexpr double kShort = 4.9;  // a stop on one line
constexpr double kCrewFoot = 2.6;
constexpr Colour kRule{0xb9b4aa};

/// Which rows of stops fit: with a second line, with one, or only so many of each crew.
struct Fit {
    double row = kTall;
    std::size_t most = 0;
};

double needed(const day::DayPlan& plan, const Fit& fit)
{
    double height = 0;
    for (const day::CrewDay& crew : plan.crews) {
        const std::size_t rows = std::min(crew.stops.size(), fit.most);
        height += kCrewHead + kCrewFoot + fit.row * static_cast<double>(rows) +
                  (rows < crew.stops.size() ? kShort : 0);
    }
    return height;
}

Fit fit_into(const day::DayPlan& plan, double height)
{
    std::size_t longest = 0;
    for (const day::CrewDay& crew : plan.crews) {
        longest = std::max(longest, crew.stops.size());
    }
    for (const double row : {kTall, kShort}) {
        if (needed(plan, {row, longest}) <= height) {
            return {row, longest};
        }
    }
    Fit fit{kShort, longest};
    while (fit.most > 0 && needed(plan, fit) > height) {
        --fit.most;
    }
    return fit;
}

void rule(Canvas& canvas, const PageBox& box, double y)
{
    canvas.move_to({box.x, y});
    canvas.line_to({box.right(), y});
    canvas.stroke({kRule, 0.2, {}});
}

class Panel {
public:
    Panel(Canvas& canvas, const PageBox& box, const day::DayPlan& plan, const MapOptions& options)
        : canvas_{canvas}, box_{box}, plan_{plan}, options_{options}, y_{box.y}
    {
    }

    void title()
    {
        const std::string date = format_day_long(plan_.day);
        const std::size_t space = date.find(' ');
        canvas_.text({box_.x, y_ + 5.6}, date.substr(0, space), {6.6, Weight::Bold, kInk, 0});
        canvas_.text({box_.x, y_ + 11.4}, date.substr(std::min(space + 1, date.size())),
                     {4.2, Weight::Normal, kInk, 0});
        canvas_.text({box_.x, y_ + 16.2}, plan_.region, {2.9, Weight::Slanted, kQuietInk, 0},
                     Align::Left, box_.width);
        y_ += 19;
        rule(canvas_, box_, y_);
        y_ += 2.5;
    }

    void crews(double bottom)
    {
        const Fit fit = fit_into(plan_, bottom - y_);
        for (std::size_t c = 0; c < plan_.crews.size(); ++c) {
            if (y_ + kCrewHead > bottom) {
                canvas_.text(
                    {box_.x, y_ + 3},
                    fmt::format("and {} more crews: see the sheet", plan_.crews.size() - c),
                    {2.4, Weight::Slanted, kQuietInk, 0});
                return;
            }
            crew(c, fit);
        }
    }

    /// Draws nothing when `draw` is false; gives the height.
    double legend(double top, std::size_t left_out_shown, bool draw)
    {
        double y = top;
        if (draw) {
            rule(canvas_, box_, y);
        }
        y += 4.6;
        const Font heading{2.5, Weight::Bold, kInk, 0};
        if (draw) {
            canvas_.text({box_.x, y}, "Shape: the wasp", heading);
            canvas_.text({box_.x + 32, y}, "Filling: the colony", heading);
        }
        std::set<Shape> shapes;
        std::set<Filling> fillings;
        for (const day::CrewDay& crew : plan_.crews) {
            for (const day::PlannedStop& stop : crew.stops) {
                shapes.insert(shape_of(stop.call.outlook));
                fillings.insert(filling_of(stop.call.outlook));
            }
        }
        constexpr double kRow = 4.7;
        double left = y + 4;
        for (const Shape shape : shapes) {
            row({box_.x, left}, shape, Filling::Empty, meaning(shape), draw);
            left += kRow;
        }
        double right = y + 4;
        for (const Filling filling : fillings) {
            row({box_.x + 32, right}, Shape::Disc, filling, meaning(filling), draw);
            right += kRow;
        }
        if (left_out_shown > 0) {
            if (draw) {
                draw_left_out(canvas_, {box_.x + 34, right - 0.2});
                canvas_.text({box_.x + 37.5, right + 0.7}, "left out today",
                             {2.4, Weight::Normal, kInk, 0});
            }
            right += kRow;
        }
        return std::max(left, right) - 1.6 - top;
    }

    double foot(double top, bool draw)
    {
        std::string words = plan_.road_attribution.empty()
                                ? std::string{}
                                : "Roads: " + clean(plan_.road_attribution) + ". ";
        words += "Drawn by Nestround; times and yields are estimates.";
        if (!draw) {
            return 2.0 + 3.1 * static_cast<double>(wrap(words, 44).size());
        }
        rule(canvas_, box_, top);
        return canvas_.paragraph({box_.x, top + 1.6}, box_.width, words,
                                 {2.1, Weight::Normal, kQuietInk, 0});
    }

    [[nodiscard]] double y() const { return y_; }

private:
    void row(PagePoint at, Shape shape, Filling filling, std::string_view words, bool draw)
    {
        if (!draw) {
            return;
        }
        draw_stop(canvas_, {at.x + 2, at.y - 0.2}, shape, filling, kInk, "", 1.35);
        canvas_.text({at.x + 5.5, at.y + 0.7}, words, {2.4, Weight::Normal, kInk, 0}, Align::Left,
                     32);
    }

    void crew(std::size_t c, const Fit& fit)
    {
        const day::CrewDay& crew = plan_.crews[c];
        const Colour colour = crew_colour(c);
        const std::string letter = crew_letter(c);
        draw_depot(canvas_, {box_.x + 2.8, y_ + 3.2}, colour, letter, 1.9);
        canvas_.text({box_.x + 7, y_ + 3}, crew.crew.name, {3.3, Weight::Bold, colour, 0},
                     Align::Left, box_.width - 22);
        draw_tour_line(canvas_, {{box_.right() - 13, y_ + 2}, {box_.right() - 1, y_ + 2}}, c);
        draw_wedge(canvas_, {{box_.right() - 7, y_ + 2}, 1, 0}, colour);
        const std::string words =
            crew.stops.empty()
                ? std::string{crew.drive_home > seconds{0} ? "drives home" : "stays at the depot"}
                : fmt::format("{} to {}  \u00b7  {}  \u00b7  {} driving", clock(crew.depart),
                              clock(crew.home), distance(crew.driven, options_.units),
                              duration(crew.driving));
        canvas_.text({box_.x + 7, y_ + 6.8}, words, {2.4, Weight::Normal, kQuietInk, 0},
                     Align::Left, box_.width - 7);
        y_ += kCrewHead;
        const std::size_t rows = std::min(crew.stops.size(), fit.most);
        for (std::size_t s = 0; s < rows; ++s) {
            stop(crew.stops[s], letter + std::to_string(s + 1), colour, fit.row);
        }
        if (rows < crew.stops.size()) {
            canvas_.text({box_.x + 7, y_ + 2.6},
                         fmt::format("and {} more: see the sheet", crew.stops.size() - rows),
                         {2.4, Weight::Slanted, kQuietInk, 0});
            y_ += kShort;
        }
        y_ += kCrewFoot;
    }

    void stop(const day::PlannedStop& stop, const std::string& mark, Colour colour, double height)
    {
        const double base = y_ + 2.7;
        draw_stop(canvas_, {box_.x + 2.8, y_ + 1.9}, shape_of(stop.call.outlook),
                  filling_of(stop.call.outlook), colour, mark, 1.85);
        canvas_.text({box_.x + 7, base}, clock(stop.arrive), {2.6, Weight::Bold, kInk, 0});
        canvas_.text({box_.x + 16, base}, place_name(stop.call.sheet),
                     {2.6, Weight::Normal, kInk, 0}, Align::Left, box_.width - 16);
        if (height == kTall) {
            const std::string grams = stop.call.outlook.venom
                                          ? middle_of(stop.call.outlook.grams) + " g (" +
                                                bounds_of(stop.call.outlook.grams) + ")"
                                          : std::string{"none for laboratories"};
            const std::optional<Metres> up = stop.call.sheet.nest.height;
            canvas_.text({box_.x + 16, base + 3.3},
                         fmt::format("{}  \u00b7  {}", grams,
                                     up ? sheets::height(*up, options_.units)
                                        : std::string{"height not known"}),
                         {2.2, Weight::Normal, kQuietInk, 0}, Align::Left, box_.width - 16);
        }
        y_ += height;
    }

    Canvas& canvas_;
    const PageBox& box_;
    const day::DayPlan& plan_;
    const MapOptions& options_;
    double y_;
};

}  // namespace

void draw_panel(Canvas& canvas, const PageBox& box, const day::DayPlan& plan,
                const MapOptions& options, std::size_t left_out_shown)
{
    Panel panel{canvas, box, plan, options};
    panel.title();
    const double foot = box.bottom() - panel.foot(0, false);
    const double legend = foot - panel.legend(0, left_out_shown, false) - 1.5;
    panel.crews(legend - 1);
    panel.legend(legend, left_out_shown, true);
    panel.foot(foot, true);
}

}  // namespace nestround::sheets
