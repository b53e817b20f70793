#include "planner/sheets/rule_curves.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <vector>

#include "geocore/nature/colony.hpp"
#include "geocore/nature/degree_days.hpp"
#include "geocore/nature/observations.hpp"
#include "geocore/nature/season_heat.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/yield/learning.hpp"

namespace nestround::sheets {

namespace {

constexpr double kTenth = 1.2815515655446004;  // normal quantile of 0.9
constexpr std::array kColours{kChartBlue, kChartAmber, kChartGreen, kChartRed};

struct Axis {
    double low = 0;
    double high = 1;
    int steps = 80;

    [[nodiscard]] double at(int i) const { return low + (high - low) * i / steps; }
};

using Rule = std::function<double(double)>;

[[nodiscard]] Chart chart_of(std::string title, std::string note, const Axis& x, double most)
{
    Chart chart;
    chart.title = std::move(title);
    chart.note = std::move(note);
    chart.x_low = x.low;
    chart.x_high = x.high;
    chart.y_high = most;
    chart.x_ticks = round_ticks(x.low, x.high, 6);
    chart.y_ticks = round_ticks(0, most, 5);
    return chart;
}

void add(Chart& chart, const Axis& x, const Rule& rule, std::size_t which, std::string name)
{
    ChartLine line;
    for (int i = 0; i <= x.steps; ++i) {
        line.x.push_back(x.at(i));
        line.y.push_back(rule(x.at(i)));
    }
    // Told apart without colours too.
    const std::array<std::vector<double>, 4> dashes{
        std::vector<double>{}, {1.8, 0.8}, {0.6, 0.6}, {2.4, 0.7, 0.5, 0.7}};
    line.pen = {kColours[which], 0.6, dashes[which]};
    line.name = std::move(name);
    chart.lines.push_back(std::move(line));
}

void add_band(Chart& chart, const Axis& x, const Rule& low, const Rule& high)
{
    ChartBand band;
    for (int i = 0; i <= x.steps; ++i) {
        band.x.push_back(x.at(i));
        band.low.push_back(low(x.at(i)));
        band.high.push_back(high(x.at(i)));
    }
    band.colour = {kChartBlue.rgb, 0.16};
    chart.bands.push_back(std::move(band));
}

constexpr double kHalfRange = 7;  // of the day that is drawn, C
constexpr Celsius kLower{10};
constexpr Celsius kUpper{30};

[[nodiscard]] nature::DayRange day_around(double mean, double half)
{
    return {Celsius{mean - half}, Celsius{mean + half}};
}

[[nodiscard]] Chart methods_chart()
{
    using nature::DegreeDayMethod;
    const Axis x{0, 40};
    auto chart = chart_of("Degree-days of a day, by method",
                          "by the day's mean, \u00b0C; 7 \u00b0C either side; above 10, no more "
                          "than 30 (horizontal)",
                          x, 20);
    std::size_t which = 0;
    for (const auto method : {DegreeDayMethod::Average, DegreeDayMethod::ClippedAverage,
                              DegreeDayMethod::SingleTriangle, DegreeDayMethod::SingleSine}) {
        const nature::DegreeDayRule rule{method, kLower, kUpper, nature::Cutoff::Horizontal};
        add(
            chart, x,
            [&](double mean) {
                return nature::degree_days(rule, day_around(mean, kHalfRange)).value();
            },
            which++, "");
    }
    chart.words.push_back({9, 15.5, "solid: average", kChartBlue});
    chart.words.push_back({9, 13.5, "long dashes: clipped", kChartAmber});
    chart.words.push_back({9, 11.5, "dots: triangle", kChartGreen});
    chart.words.push_back({9, 9.5, "dash and dot: sine", kChartRed});
    return chart;
}

[[nodiscard]] Chart cutoffs_chart()
{
    using nature::Cutoff;
    const Axis x{0, 40};
    auto chart = chart_of("Degree-days of a day, by cutoff",
                          "by the day's mean, \u00b0C; single sine, as on the left", x, 20);
    std::size_t which = 0;
    for (const auto cutoff : {Cutoff::Horizontal, Cutoff::Intermediate, Cutoff::Vertical}) {
        const nature::DegreeDayRule rule{nature::DegreeDayMethod::SingleSine, kLower, kUpper,
                                         cutoff};
        add(
            chart, x,
            [&](double mean) {
                return nature::degree_days(rule, day_around(mean, kHalfRange)).value();
            },
            which++, "");
    }
    chart.words.push_back({9, 15.5, "solid: horizontal", kChartBlue});
    chart.words.push_back({9, 13.5, "long dashes: intermediate", kChartAmber});
    chart.words.push_back({9, 11.5, "dots: vertical", kChartGreen});
    return chart;
}

[[nodiscard]] Chart flight_chart(const nature::TaxaTable& table)
{
    const Axis x{-15, 50};
    auto chart =
        chart_of("Share of a day that lets wasps fly",
                 "by the day's mean, \u00b0C; 7 \u00b0C either side; night not taken off", x, 1);
    add(
        chart, x,
        [&](double mean) {
            return nature::flight_share(table, "VGER", day_around(mean, kHalfRange));
        },
        0, "");
    add(
        chart, x,
        [&](double mean) {
            return nature::flight_share(table, "VVUL", day_around(mean, kHalfRange));
        },
        1, "");
    chart.words.push_back({17, 0.45, "solid: V. germanica", kChartBlue});
    chart.words.push_back({17, 0.33, "dashes: V. vulgaris", kChartAmber});
    return chart;
}

[[nodiscard]] Chart traffic_chart(const nature::LookFigures& figures)
{
    const Axis x{1, 60};
    constexpr double minutes = 5;
    auto chart =
        chart_of("Workers that a count at the entrance speaks of",
                 "by flights a minute in one direction, 5 minutes; 8 in 10 in the band", x, 5000);
    const auto spread = [&](double flights) {
        return kTenth *
               std::sqrt(figures.traffic_spread * figures.traffic_spread +
                         figures.day_spread * figures.day_spread + 1 / (flights * minutes));
    };
    const auto workers = [&](double flights) {
        return nature::workers_of_traffic(figures, flights, false);
    };
    add_band(
        chart, x, [&](double f) { return workers(f) * std::exp(-spread(f)); },
        [&](double f) { return std::min(5000.0, workers(f) * std::exp(spread(f))); });
    add(chart, x, workers, 0, "");
    add(
        chart, x, [&](double f) { return nature::workers_of_traffic(figures, f, true); }, 1, "");
    chart.words.push_back({14, 4300, "solid: dry, Vespula", kChartBlue});
    chart.words.push_back({14, 3800, "dashes: as rain sets in", kChartAmber});
    return chart;
}

[[nodiscard]] Chart quiet_chart(const nature::LookFigures& figures)
{
    const Axis x{0, 300};
    auto chart = chart_of("How well so many workers explain that none is seen",
                          "by workers; looked at for 1, 5 and 15 minutes", x, 1);
    std::size_t which = 0;
    for (const double minutes : {1.0, 5.0, 15.0}) {
        add(
            chart, x,
            [&](double workers) {
                const double quiet =
                    std::exp(-workers / figures.traffic_workers * figures.day_mean * minutes);
                return figures.slip + (1 - figures.slip) * quiet;
            },
            which++, "");
    }
    chart.words.push_back({215, 0.8, "solid: 1 minute", kChartBlue});
    chart.words.push_back({215, 0.68, "dashes: 5 minutes", kChartAmber});
    chart.words.push_back({215, 0.56, "dots: 15 minutes", kChartGreen});
    return chart;
}

[[nodiscard]] Chart combs_chart(const nature::LookFigures& figures)
{
    const Axis x{20, 15000};
    auto chart = chart_of("Combs that hold so many cells", "by cells; 8 in 10 in the band", x, 15);
    const double off = kTenth * figures.combs;
    add_band(
        chart, x, [&](double cells) { return nature::combs_of(cells) * std::exp(-off); },
        [&](double cells) { return std::min(15.0, nature::combs_of(cells) * std::exp(off)); });
    add(
        chart, x, [](double cells) { return nature::combs_of(cells); }, 0, "");
    return chart;
}

[[nodiscard]] Chart share_chart(const nature::TaxaTable& table)
{
    auto chart = chart_of("Share of the workers that is caught, before own records",
                          "10, 50 and 90 % by where the nest sits; aerial is practice, the others "
                          "assumptions",
                          {0, 4}, 1);
    chart.x_ticks.clear();
    const std::array kinds{std::pair{"aerial", "in the open"}, std::pair{"ground", "in the ground"},
                           std::pair{"void", "in a hollow"}};
    double at = 1;
    std::size_t which = 0;
    for (const auto& [kind, words] : kinds) {
        const auto* row = table.figure("VGER", fmt::format("catch_share.{}", kind));
        if (row != nullptr) {
            ChartLine line;
            line.x = {at, at};
            line.y = {row->lowest(), row->highest()};
            line.pen = {kColours[which], 1.2, {}};
            chart.lines.push_back(line);
            chart.marks.push_back(
                {at, row->middle(), fmt::format("{:.0f} %", row->middle() * 100), kChartInk});
            chart.x_ticks.push_back({at, words});
        }
        ++which;
        at += 1;
    }
    return chart;
}

/// What comes of records that each bring half as much again as was expected.
[[nodiscard]] Chart learning_chart(const nature::TaxaTable& table)
{
    constexpr int most = 24;
    auto chart = chart_of("What own records make of the next forecast",
                          "by records, each of half as much again as the table expects; over "
                          "its forecast",
                          {0, most}, 4);
    yield::CatchCase record;
    record.nest.taxon = "VGER";
    record.nest.kind = NestKind::Ground;
    record.taxon = "VGER";
    record.place = {Longitude{-80}, Latitude{41}};
    record.day = *parse_day("2026-08-20");
    record.known = record.day;
    record.method = "hand";
    record.crew = "first";
    yield::Learner learner{table};
    record.count = 1;  // what is asked of a record: that it has one
    const auto plain = learner.forecast(record);
    if (!plain) {
        return chart;
    }
    auto caught = record;
    caught.count = static_cast<int>(std::lround(plain->wasps.middle * 1.5));
    ChartLine line;
    ChartBand band;
    for (int n = 0; n <= most; ++n) {
        const auto next = learner.forecast(record);
        if (next) {
            line.x.push_back(n);
            line.y.push_back(next->wasps.middle / plain->wasps.middle);
            band.x.push_back(n);
            band.low.push_back(next->wasps.low / plain->wasps.middle);
            band.high.push_back(std::min(4.0, next->wasps.high / plain->wasps.middle));
        }
        learner.add(caught);
    }
    line.pen = {kChartBlue, 0.6, {}};
    band.colour = {kChartBlue.rgb, 0.16};
    chart.bands.push_back(band);
    chart.lines.push_back({{0, most}, {1.5, 1.5}, {kChartInk, 0.3, {0.6, 0.6}}, "", false});
    chart.lines.push_back(line);
    return chart;
}

}  // namespace

std::string rule_curves(const nature::TaxaTable& table, MapFormat format)
{
    const auto figures = nature::LookFigures::of(table);
    return draw_charts(
        "The rules behind a forecast",
        {methods_chart(), cutoffs_chart(), flight_chart(table), traffic_chart(figures),
         quiet_chart(figures), combs_chart(figures), share_chart(table), learning_chart(table)},
        2, format, 270, 66,
        "Drawn by the functions that the forecasts call. Sources and marks: taxa "
        "show, and the manual's pages on heat, season and learning.");
}

}  // namespace nestround::sheets
