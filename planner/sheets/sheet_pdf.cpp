#include "planner/sheets/sheet_pdf.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "planner/sheets/map_drawing.hpp"
#include "planner/sheets/sheet_flow.hpp"
#include "planner/sheets/sheet_html.hpp"
#include "planner/sheets/sheet_stop_page.hpp"

namespace nestround::sheets {

namespace {

constexpr double kLetters = 3.7;
constexpr double kGutter = 5;
constexpr double kLowestMap = 80;
constexpr double kHighestMap = 150;

/// Of the map's box; the load list stands beside it.
double map_width(double page) { return page * 0.6; }

struct Size {
    double width = 210;
    double height = 297;
};

Size size_of(Paper paper) { return paper == Paper::A4 ? Size{} : Size{215.9, 279.4}; }

class Sheet {
public:
    Sheet(const DaySheet& sheet, const day::DayPlan& plan, const MapRoads& roads, Paper paper)
        : sheet_{sheet}, plan_{plan}, roads_{roads}, size_{size_of(paper)}
    {
    }

    std::string draw()
    {
        Canvas measured{MapFormat::Pdf, size_.width, size_.height, 72};
        const int pages = lay_out(measured, 0, false);
        Canvas canvas{MapFormat::Pdf, size_.width, size_.height, 72};
        canvas.describe("Morning sheet, " + sheet_.title, sheet_.instant);
        lay_out(canvas, pages, true);
        return canvas.finish();
    }

private:
    int lay_out(Canvas& canvas, int pages, bool draws)
    {
        std::string left = sheet_.attribution.empty() ? "" : "Roads: " + sheet_.attribution;
        SheetFlow flow{canvas, size_.width, size_.height, {std::move(left), pages}, draws};
        if (sheet_.crews.empty()) {
            day_page(flow, {"", "", "No crew goes out.", {}, {}, {}});
        }
        for (const CrewSheet& crew : sheet_.crews) {
            day_page(flow, crew);
            for (const StopSheet& stop : crew.stops) {
                draw_stop_page(flow, stop, sheet_.units);
            }
        }
        return flow.page();
    }

    void day_page(SheetFlow& flow, const CrewSheet& crew)
    {
        flow.open_page(fmt::format("{}  {}, continued", sheet_.title, crew.name));
        head(flow, crew);
        const double top = flow.y;
        const bool draws = flow.draws();
        flow.set_draws(false);
        double tall = kLowestMap;
        for (const double share : {1.0, 0.94, 0.88, 0.82}) {
            flow.set_letters(kLetters * share);
            const double words = times(flow, crew, 0) + mind(flow, 0);
            const double beside = load(flow, crew, 0);
            // The map takes what the words leave, and stands as high as the list beside it.
            tall = std::clamp(flow.bottom() - top - words - 5, std::max(beside, kLowestMap),
                              kHighestMap);
            if (top + tall + 4 + words <= flow.bottom()) {
                break;
            }
        }
        flow.set_draws(draws);
        if (draws) {
            draw_map(flow.canvas(), {flow.left(), top, map_width(flow.width()), tall}, plan_,
                     roads_);
        }
        load(flow, crew, top);
        flow.y = top + tall + 4;
        part(flow, [&](double y) { return times(flow, crew, y); });
        part(flow, [&](double y) { return mind(flow, y); });
        flow.set_letters(kLetters);
        flow.close_page();
    }

    template <class Draw>
    static void part(SheetFlow& flow, const Draw& draw)
    {
        const bool draws = flow.draws();
        flow.set_draws(false);
        const double height = draw(0.0);
        flow.set_draws(draws);
        flow.need(height);
        flow.y += draw(flow.y);
    }

    void head(SheetFlow& flow, const CrewSheet& crew) const
    {
        const double x = flow.left();
        flow.line({x, flow.y - 1}, sheet_.title, 7.4, Weight::Bold, Align::Left,
                  flow.width() * 0.62);
        flow.line({x + flow.width(), flow.y - 0.4},
                  crew.letter.empty() ? crew.name : crew.letter + "  " + crew.name, 5.6,
                  Weight::Bold, Align::Right, flow.width() * 0.36);
        flow.y += 9.5;
        if (!sheet_.region.empty()) {
            flow.y += flow.line({x, flow.y}, sheet_.region, 3.4, Weight::Normal, Align::Left,
                                flow.width());
        }
        flow.y += flow.words({x, flow.y}, flow.width(), crew.summary, 4.0, Weight::Bold) + 2;
    }

    static double times(SheetFlow& flow, const CrewSheet& crew, double y)
    {
        if (crew.rows.empty()) {
            return 0;
        }
        const double top = y;
        const double x = flow.left();
        y += flow.heading({x, y}, flow.width(), "Times");
        for (const SheetRow& row : crew.rows) {
            const double size = flow.letters() * 1.08;
            if (!row.mark.empty()) {
                if (flow.draws()) {
                    flow.canvas().rectangle({x, y + 0.2, 9.5, 5});
                    flow.canvas().fill(kBlack);
                    flow.canvas().text({x + 4.75, y + 4.1}, row.mark,
                                       Font{3.7, Weight::Bold, {0xffffff, 1}, 0}, Align::Middle);
                }
            }
            flow.line({x + 11.5, y}, row.arrive, size, Weight::Bold);
            if (!row.leave.empty()) {
                flow.line({x + 25, y}, "to " + row.leave, size, Weight::Normal);
            }
            const double words_x = x + 46;
            const double width = flow.width() - 46;
            double used = flow.words({words_x, y}, width, row.place, size, Weight::Bold);
            if (!row.more.empty()) {
                used += flow.words({words_x, y + used}, width, row.more, flow.letters() * 0.87);
            }
            y += std::max(used, 5.4) + flow.letters() * 0.2;
        }
        return y - top + 2;
    }

    /// To the right of the map; gives its height.
    static double load(SheetFlow& flow, const CrewSheet& crew, double y)
    {
        if (crew.load.empty()) {
            return 0;
        }
        const double top = y;
        const double x = flow.left() + map_width(flow.width()) + kGutter;
        const double width = flow.width() - map_width(flow.width()) - kGutter;
        y += flow.heading({x, y}, width, "Load");
        for (const std::string& item : crew.load) {
            y += flow.item({x, y}, width, kTickBox, item) + 0.4;
        }
        return y - top;
    }

    double mind(SheetFlow& flow, double y) const
    {
        if (sheet_.mind.empty()) {
            return 0;
        }
        const double top = y;
        y += flow.heading({flow.left(), y}, flow.width(), "Mind today");
        for (const std::string& words : sheet_.mind) {
            y += flow.item({flow.left(), y}, flow.width(), "!", words);
        }
        return y - top;
    }

    const DaySheet& sheet_;
    const day::DayPlan& plan_;
    const MapRoads& roads_;
    Size size_;
};

}  // namespace

std::optional<Paper> paper(std::string_view name)
{
    if (name == "a4") {
        return Paper::A4;
    }
    return name == "letter" ? std::optional{Paper::Letter} : std::nullopt;
}

MapWindow sheet_map_window(const day::DayPlan& plan)
{
    // The flattest and the tallest of all maps that may be drawn.
    const double wide = map_width(size_of(Paper::Letter).width - 2 * kSheetMargin);
    const double narrow = map_width(size_of(Paper::A4).width - 2 * kSheetMargin);
    MapWindow all = map_window(plan, html_map_box());
    for (const PageBox& box :
         {PageBox{0, 0, wide, kLowestMap}, PageBox{0, 0, narrow, kHighestMap}}) {
        const MapWindow window = map_window(plan, box);
        all = {std::min(all.west, window.west), std::min(all.south, window.south),
               std::max(all.east, window.east), std::max(all.north, window.north)};
    }
    return all;
}

std::string sheet_pdf(const DaySheet& sheet, const day::DayPlan& plan, const MapRoads& roads,
                      Paper paper)
{
    return Sheet{sheet, plan, roads, paper}.draw();
}

}  // namespace nestround::sheets
