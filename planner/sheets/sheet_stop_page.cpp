#include "planner/sheets/sheet_stop_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <tuple>
#include <utility>

#include "planner/sheets/access_scenes.hpp"

namespace nestround::sheets {

namespace {

constexpr double kLetters = 3.7;
constexpr double kGutter = 5;
constexpr double kFacts = 0.6;  // share of the width; the rest is for a picture

class StopPage {
public:
    StopPage(SheetFlow& flow, const StopSheet& stop, UnitStyle units)
        : flow_{flow}, stop_{stop}, units_{units}
    {
    }

    void draw()
    {
        const bool draws = flow_.draws();
        flow_.open_page(fmt::format("{}  {}, continued", stop_.mark, stop_.place));
        const double top = flow_.y;
        bool fits = false;
        for (const auto& [share, drawing] : {std::pair{1.0, 96.0},
                                             {0.94, 92.0},
                                             {0.9, 88.0},
                                             {0.86, 84.0},
                                             {0.82, 80.0},
                                             {0.82, 72.0},
                                             {0.78, 68.0},
                                             {0.78, 62.0}}) {
            flow_.set_letters(kLetters * share);
            drawing_ = drawing;
            flow_.set_draws(false);
            flow_.y = top;
            share_of_left_ = kFacts;
            upper();
            fits = columns() + boxes(0, 0, flow_.width()) + 1 <= flow_.room();
            if (fits) {
                break;
            }
        }
        flow_.set_draws(draws);
        const double chosen = std::exchange(share_of_left_, kFacts);
        flow_.y = top;
        upper();
        share_of_left_ = chosen;
        if (fits) {
            left_column(flow_.y);
            right_column(flow_.y);
            const double tall = boxes_height();
            boxes(flow_.left(), flow_.bottom() - tall, flow_.width());
        } else {
            one_column();
        }
        flow_.close_page();
        flow_.set_letters(kLetters);
    }

private:
    [[nodiscard]] double left_width() const { return flow_.width() * share_of_left_; }
    [[nodiscard]] double right_width() const { return flow_.width() - left_width() - kGutter; }
    [[nodiscard]] double right_x() const { return flow_.left() + left_width() + kGutter; }

    void upper()
    {
        head();
        facts();
        drawing();
    }

    void head()
    {
        // White on black: survives a copier, and is found at arm's length.
        const PageBox plate{flow_.left(), flow_.y, 21, 13};
        if (flow_.draws()) {
            flow_.canvas().rectangle(plate);
            flow_.canvas().fill(kBlack);
            flow_.canvas().text({plate.x + plate.width / 2, plate.y + 9.6}, stop_.mark,
                                Font{8.4, Weight::Bold, {0xffffff, 1}, 0}, Align::Middle);
        }
        const double x = plate.right() + 4;
        flow_.line({x, flow_.y - 0.6}, stop_.place, 6.2, Weight::Bold, Align::Left,
                   flow_.width() - 25);
        flow_.line({x, flow_.y + 7.6},
                   fmt::format("arrive {}, leave {}; call {}{}", stop_.arrive, stop_.leave,
                               stop_.key, stop_.promised ? ", promised" : ""),
                   4.6, Weight::Bold, Align::Left, flow_.width() - 25);
        flow_.y += 16;
    }

    void facts()
    {
        const double top = flow_.y;
        double y = top;
        constexpr double kName = 21;
        for (const SheetFact& fact : stop_.facts) {
            flow_.line({flow_.left(), y}, fact.name, flow_.letters(), Weight::Bold);
            y += flow_.words({flow_.left() + kName, y}, left_width() - kName, fact.words,
                             flow_.letters()) +
                 flow_.letters() * 0.15;
        }
        // Where a picture is stuck on or the spot is sketched.
        const double tall = std::max(38.0, y - top - 1);
        const PageBox slot{right_x(), top + 0.5, right_width(), tall};
        flow_.frame(slot, 0.3);
        flow_.line({slot.x + 2, slot.y + 1}, "picture or sketch of the spot", 2.9, Weight::Normal);
        flow_.y = top + tall + 3;
    }

    void drawing()
    {
        if (stop_.drawing.plan.place.height) {
            if (flow_.draws()) {
                draw_scenes(flow_.canvas(), scenes_of(stop_.drawing),
                            {flow_.left(), flow_.y, flow_.width(), drawing_}, units_);
            }
            flow_.y += drawing_ + 2;
            return;
        }
        const PageBox box{flow_.left(), flow_.y, flow_.width(), 26};
        flow_.frame(box, 0.8);
        flow_.words({box.x + 4, box.y + 4}, box.width - 8,
                    "No drawing: the height of the nest is not in the book. Measure it from the "
                    "ground before any pole or ladder is raised.",
                    5, Weight::Bold);
        flow_.y += box.height + 3;
    }

    double steps(double x, double y, double width)
    {
        const double top = y;
        y += flow_.heading({x, y}, width, "In this order");
        for (std::size_t k = 0; k < stop_.steps.size(); ++k) {
            const SheetStep& step = stop_.steps[k];
            y += flow_.item({x, y}, width, std::to_string(k + 1),
                            step.time.empty() ? step.title : step.title + ": " + step.time,
                            Weight::Bold);
            for (const std::string& words : step.words) {
                y += flow_.item({x + 3, y}, width - 3, "", words);
            }
        }
        return y - top + 1.5;
    }

    double list(double x, double y, double width, std::string_view title,
                const std::vector<std::string>& words, std::string_view mark,
                Weight weight = Weight::Normal)
    {
        if (words.empty()) {
            return 0;
        }
        const double top = y;
        y += flow_.heading({x, y}, width, title);
        for (const std::string& each : words) {
            y += flow_.item({x, y}, width, mark, each, weight);
        }
        return y - top + 1.5;
    }

    /// One row over the whole width, at the foot of the page.
    double boxes(double x, double y, double width)
    {
        const double top = y;
        y += flow_.heading({x, y}, width, "Write down");
        const auto& all = boxes_to_fill();
        constexpr double kGap = 1.6;
        constexpr double kTall = 12.5;
        const auto count = static_cast<double>(all.size());
        const double wide = (width - (count - 1) * kGap) / count;
        for (std::size_t k = 0; k < all.size(); ++k) {
            const PageBox box{x + static_cast<double>(k) * (wide + kGap), y + 0.6, wide, kTall};
            flow_.frame(box, 0.35);
            flow_.words({box.x + 1, box.y + 0.5}, wide - 1.5, all[k].name, 2.8, Weight::Bold);
            flow_.line({box.right() - 1.2, box.bottom() - 3.8}, all[k].unit, 2.6, Weight::Normal,
                       Align::Right);
        }
        return y + kTall + 1.5 - top;
    }

    /// What to clean and to say goes below the shorter list.
    double left_column(double y)
    {
        const double top = y;
        y += steps(flow_.left(), y, left_width());
        if (!closes_right_) {
            y += closing(flow_.left(), y, left_width());
        }
        return y - top;
    }

    double right_column(double y)
    {
        const double top = y;
        y += list(right_x(), y, right_width(), "Mind here", stop_.mind, "!");
        if (closes_right_) {
            y += closing(right_x(), y, right_width());
        }
        return y - top;
    }

    double closing(double x, double y, double width)
    {
        const double top = y;
        y += list(x, y, width, "Clean up", stop_.clean_up, kTickBox);
        y += list(x, y, width, "Tell the client", stop_.tell_client, kTickBox);
        return y - top;
    }

    /// Chooses what is lowest, and gives its height.
    double columns()
    {
        double lowest = std::numeric_limits<double>::infinity();
        std::pair<double, bool> best;
        for (const double share : {0.58, 0.5}) {
            for (const bool right : {false, true}) {
                share_of_left_ = share;
                closes_right_ = right;
                const double height = std::max(left_column(0), right_column(0));
                if (height < lowest - 0.1) {
                    lowest = height;
                    best = {share, right};
                }
            }
        }
        std::tie(share_of_left_, closes_right_) = best;
        return lowest;
    }

    double boxes_height()
    {
        const bool draws = flow_.draws();
        flow_.set_draws(false);
        const double tall = boxes(0, 0, flow_.width());
        flow_.set_draws(draws);
        return tall;
    }

    /// Each part whole on this page or the next.
    void one_column()
    {
        const double x = flow_.left();
        const double width = flow_.width();
        const auto part = [&](const auto& draw) {
            const bool draws = flow_.draws();
            flow_.set_draws(false);
            const double height = draw(0.0);
            flow_.set_draws(draws);
            flow_.need(height);
            flow_.y += draw(flow_.y);
        };
        part([&](double y) { return steps(x, y, width); });
        part([&](double y) { return list(x, y, width, "Clean up", stop_.clean_up, kTickBox); });
        part([&](double y) {
            return list(x, y, width, "Tell the client", stop_.tell_client, kTickBox);
        });
        part([&](double y) { return list(x, y, width, "Mind here", stop_.mind, "!"); });
        part([&](double y) { return boxes(x, y, width); });
    }

    SheetFlow& flow_;
    const StopSheet& stop_;
    UnitStyle units_;
    double drawing_ = 90;
    double share_of_left_ = 0.58;
    bool closes_right_ = false;
};

}  // namespace

void draw_stop_page(SheetFlow& flow, const StopSheet& stop, UnitStyle units)
{
    StopPage{flow, stop, units}.draw();
}

}  // namespace nestround::sheets
