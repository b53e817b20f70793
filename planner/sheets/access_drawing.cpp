#include "planner/sheets/access_drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/access/set_up.hpp"
#include "planner/sheets/access_scenes.hpp"

namespace nestround::sheets {

namespace {

constexpr double kWidth = 297;
constexpr double kHeight = 210;
constexpr double kMargin = 10;
constexpr double kPanel = 84;
constexpr Colour kInk{0x1f2a30};
constexpr Colour kGrey{0x5c6a72};
constexpr Colour kDanger{0xb3261e};
constexpr Colour kPaper{0xfffefa};

class Page {
public:
    Page(const AccessPage& page, MapFormat format, UnitStyle units)
        : canvas_{format, kWidth, kHeight, 150}, page_{page}, units_{units}
    {
    }

    std::string draw()
    {
        canvas_.rectangle({0, 0, kWidth, kHeight});
        canvas_.fill(kPaper);
        draw_head();
        draw_foot();
        if (page_.plan.place.height) {
            draw_scenes(canvas_, scenes_of(page_),
                        {kMargin, 23, kWidth - kPanel - 3 * kMargin, kHeight - 14 - 23 - 1},
                        units_);
        } else {
            canvas_.paragraph({kMargin, 60}, kWidth - kPanel - 3 * kMargin,
                              "No drawing: the height of the nest is not known. Ask, or measure it "
                              "from the ground.",
                              Font{5, Weight::Bold, kDanger, 0});
        }
        draw_panel();
        return canvas_.finish();
    }

private:
    void draw_head()
    {
        const bool refused = page_.plan.ways.empty();
        const std::string title = page_.place.empty() ? "Set-up at the nest" : clean(page_.place);
        canvas_.text({kMargin, 14}, title, Font{5.6, Weight::Bold, kInk, 0}, Align::Left,
                     kWidth - kPanel - 2 * kMargin);
        std::string under = nest_words(page_.nest, units_);
        if (!page_.crew.empty()) {
            under += "; crew " + clean(page_.crew);
        }
        canvas_.text({kMargin, 20}, under, Font{3.2, Weight::Normal, kGrey, 0}, Align::Left,
                     kWidth - kPanel - 2 * kMargin);
        if (refused) {
            const PageBox box{kWidth - kPanel - kMargin, 7, kPanel, 11};
            canvas_.rounded(box, 1.5);
            canvas_.fill(kDanger);
            canvas_.text({box.x + box.width / 2, box.y + 7.2}, "NOT WITH THIS GEAR",
                         Font{5, Weight::Bold, kPaper, 0}, Align::Middle);
        }
    }

    void draw_foot()
    {
        canvas_.move_to({kMargin, kHeight - 14});
        canvas_.line_to({kWidth - kMargin, kHeight - 14});
        canvas_.stroke({kGrey, 0.25, {}});
        canvas_.paragraph(
            {kMargin, kHeight - 12.5}, kWidth - 2 * kMargin,
            "This drawing supports a decision and calls nothing safe. Local codes, the makers' "
            "instructions and licensed practice come first; measure again where you stand, look up "
            "for power lines before anything is raised, and leave it when in doubt.",
            Font{2.9, Weight::Bold, kInk, 0});
    }

    double heading(double x, double y, const std::string& text, Colour colour = kInk)
    {
        canvas_.text({x, y + 3.2}, text, Font{3.3, Weight::Bold, colour, 0});
        return y + 5.4;
    }
    double line(double x, double y, const std::string& text, Colour colour = kInk)
    {
        canvas_.text({x, y + 2.6}, "•", Font{2.7, Weight::Bold, colour, 0});
        return y + 0.9 +
               canvas_.paragraph({x + 3, y}, kPanel - 9, text,
                                 Font{2.65, Weight::Normal, colour, 0});
    }

    void draw_panel()
    {
        const access::AccessPlan& plan = page_.plan;
        const double x = kWidth - kPanel - kMargin;
        const double bottom = kHeight - 17;
        double y = plan.ways.empty() ? 21 : 9;
        canvas_.rounded({x, y, kPanel, bottom - y}, 2);
        canvas_.fill_keep({0xf4f1e9});
        canvas_.stroke({{0xcfc8b8}, 0.25, {}});
        const double in = x + 3.5;
        y += 2.5;
        if (plan.ways.empty()) {
            y = heading(in, y, "Why not", kDanger);
            y = line(in, y, plan.words, kDanger);
            for (const auto& reason : plan.ruled_out) {
                if (y < bottom - 40) {
                    y = line(in, y, reason);
                }
            }
        } else {
            y = stages(in, y, plan.ways.front());
            y = gear(in, y, plan.ways.front());
        }
        y = power(in, y + 1);
        y = heading(in, y + 1, "Mind");
        const Font font{2.65, Weight::Normal, kInk, 0};
        std::size_t shown = 0;
        for (const auto& caution : plan.cautions) {
            // Two lines to spare for what is left out.
            const double lines = std::ceil(canvas_.text_width(caution, font) / (kPanel - 10)) + 0.2;
            if (y + lines * 3.4 > bottom - 5) {
                break;
            }
            y = line(in, y, caution);
            ++shown;
        }
        if (shown < plan.cautions.size()) {
            line(in, y, fmt::format("and {} more on the sheet", plan.cautions.size() - shown),
                 kGrey);
        }
    }

    double stages(double x, double y, const access::WayOfWork& way)
    {
        y = heading(x, y, fmt::format("About {} in all", duration(way.service)));
        for (const auto& stage : way.stages) {
            canvas_.text({x, y + 2.6}, duration(stage.time), Font{2.65, Weight::Bold, kInk, 0});
            y += 0.8 + canvas_.paragraph({x + 14, y}, kPanel - 20, stage.what,
                                         Font{2.65, Weight::Normal, kInk, 0});
        }
        if (way.people > 1) {
            y = line(x, y, "two people: one stays at the foot");
        }
        return y + 1;
    }

    double gear(double x, double y, const access::WayOfWork& way)
    {
        if (way.ladder) {
            const auto& set = *way.ladder;
            y = heading(x, y, clean(access::named(set.gear, "ladder")));
            std::string words =
                set.type == LadderType::Step
                    ? fmt::format("step ladder of {}", measure(set.working_length, units_))
                    : fmt::format(
                          "extended to {}, foot {} out, {:.1f}°, top rests {} over its foot",
                          measure(set.working_length, units_), measure(set.foot_distance, units_),
                          set.angle, measure(set.support_height - set.foot_level, units_));
            y = line(x, y, words);
            y = line(x, y,
                     set.rating_known
                         ? fmt::format("carries {:.0f} kg ({:.0f} lb); person and kit {:.0f} kg "
                                       "({:.0f} lb)",
                                       set.gear.load_rating->value() / 1000,
                                       pounds(*set.gear.load_rating), set.load.value() / 1000,
                                       pounds(set.load))
                         : fmt::format("rating not entered; it has to carry {:.0f} kg ({:.0f} lb)",
                                       set.load.value() / 1000, pounds(set.load)));
        }
        if (way.pole) {
            const auto& set = *way.pole;
            y = heading(x, y, clean(access::named(set.gear, "pole")));
            y = line(x, y,
                     fmt::format("out to {} at {:.0f}°, {} to spare{}", measure(set.used, units_),
                                 set.angle, measure(set.left, units_),
                                 set.heavy ? "; heavy and blind at that length" : ""));
        }
        return y;
    }

    double power(double x, double y)
    {
        const access::WorkPlace& place = page_.plan.place;
        switch (place.power_lines) {
            case PowerLines::Near:
                return line(x, y,
                            place.power_line_distance
                                ? fmt::format("POWER LINE {} from the nest; keep {} clear, more "
                                              "above 50 kV",
                                              measure(*place.power_line_distance, units_),
                                              measure(access::power_line_clearance(0), units_))
                                : std::string{"POWER LINE near, distance not measured"},
                            kDanger);
            case PowerLines::NoneSeen:
                return line(x, y, "no power line was seen: look again before raising anything");
            case PowerLines::Unknown:
                break;
        }
        return line(x, y, "power lines: nobody has looked yet", kDanger);
    }

    Canvas canvas_;
    const AccessPage& page_;
    UnitStyle units_;
};

}  // namespace

std::string access_drawing(const AccessPage& page, MapFormat format, UnitStyle units)
{
    return Page{page, format, units}.draw();
}

}  // namespace nestround::sheets
