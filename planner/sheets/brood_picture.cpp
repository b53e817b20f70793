// The picture of brood: expected and actual emergence, and the rounds.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/sheets/brood_sheet.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kBand{0x1f5f8b, 0.22};

/// Days from the first comb's first to a little after the last one's end.
struct Span {
    int from = 0;
    int to = 14;
};

Span span_of(const BroodSheet& sheet)
{
    Span span{0, 7};
    for (std::size_t h = 0; h < sheet.plan.habitats.size(); ++h) {
        for (const auto& comb : sheet.input.habitats[h].combs) {
            span.from = std::min(span.from, comb.first_day);
        }
        span.to = std::max(span.to, std::min(sheet.plan.habitats[h].last_day + 3, sheet.plan.days));
    }
    return span;
}

Chart axes(const BroodSheet& sheet, const Span& span)
{
    Chart chart;
    chart.x_low = 0;
    chart.x_high = span.to - span.from;
    chart.x_ticks = day_ticks(sheet.plan.on + std::chrono::days{span.from}, span.to - span.from);
    return chart;
}

/// Adults a day: expected with its band, collected as steps over the days between collections.
Chart comb_chart(const BroodSheet& sheet, const Span& span, const brood::StandingComb& comb,
                 const brood::CombOutlook& outlook, const std::string& habitat)
{
    Chart chart = axes(sheet, span);
    chart.title = fmt::format("{}, comb {}", clean(comb.name), comb.key);
    chart.note = fmt::format("{}; {}; dashed: queens and males", comb.taxon_name, clean(habitat));
    chart.y_name = "adults a day";
    ChartBand band;
    band.colour = kBand;
    ChartLine line;
    line.pen = {kChartBlue, 0.6, {}};
    line.name = "expected";
    ChartLine sexuals;
    sexuals.pen = {kChartAmber, 0.5, {1.6, 0.8}};
    double most = 1;
    bool any_sexuals = false;
    const auto& days = outlook.emergence.days;
    for (std::size_t d = 0; d < days.size(); ++d) {
        const int day = static_cast<int>(d) + comb.first_day;
        if (day > span.to) {
            break;
        }
        const double x = day - span.from + 0.5;
        band.x.push_back(x);
        band.low.push_back(days[d].workers.low);
        band.high.push_back(days[d].workers.high);
        line.x.push_back(x);
        line.y.push_back(days[d].workers.middle);
        const double both = days[d].mean_queens + days[d].mean_males;
        sexuals.x.push_back(x);
        sexuals.y.push_back(both);
        any_sexuals = any_sexuals || both > 0.05;
        most = std::max({most, days[d].workers.high, both});
    }
    ChartLine came;
    came.pen = {kChartRed, 0.7, {}};
    came.name = "collected";
    double before = 0;
    for (const auto& taken : comb.input.taken) {
        const double length = std::max(0.25, taken.day - before);
        const double a_day = taken.workers.value_or(0) / length;
        const double shift = comb.first_day - span.from;
        for (const double x : {before, taken.day}) {
            came.x.push_back(x + shift);
            came.y.push_back(a_day);
        }
        most = std::max(most, a_day);
        before = taken.day;
    }
    chart.bands.push_back(std::move(band));
    chart.lines.push_back(std::move(line));
    if (any_sexuals) {
        chart.lines.push_back(std::move(sexuals));
    }
    if (!came.x.empty()) {
        chart.lines.push_back(std::move(came));
    }
    ChartLine today;
    today.pen = {kChartInk, 0.25, {0.6, 0.6}};
    today.x = {-span.from + 0.0, -span.from + 0.0};
    chart.y_high = axis_end(most);
    today.y = {0, chart.y_high};
    chart.lines.push_back(std::move(today));
    chart.y_ticks = round_ticks(0, chart.y_high, 4);
    return chart;
}

/// All habitats a day, and a mark for each round.
Chart rounds_chart(const BroodSheet& sheet, const Span& span)
{
    Chart chart = axes(sheet, span);
    chart.title = "All habitats, and the rounds";
    chart.note = "red: collect; green: feed only";
    chart.y_name = "workers a day";
    ChartBand band;
    band.colour = kBand;
    ChartLine line;
    line.pen = {kChartBlue, 0.6, {}};
    double most = 1;
    for (int d = 0; d < std::min(span.to, sheet.plan.days); ++d) {
        Spread<double> sum;
        for (const auto& habitat : sheet.plan.habitats) {
            const auto& day = habitat.days[static_cast<std::size_t>(d)].workers;
            sum.low += day.low;
            sum.middle += day.middle;
            sum.high += day.high;
        }
        const double x = d - span.from + 0.5;
        band.x.push_back(x);
        band.low.push_back(sum.low);
        band.high.push_back(sum.high);
        line.x.push_back(x);
        line.y.push_back(sum.middle);
        most = std::max(most, sum.high);
    }
    chart.y_high = axis_end(most * 1.15);
    for (const auto& round : sheet.plan.rounds.rounds) {
        chart.marks.push_back({round.day - span.from + 0.75,
                               chart.y_high * (round.collects ? 0.95 : 0.87), std::string{},
                               round.collects ? kChartRed : kChartGreen});
    }
    chart.bands.push_back(std::move(band));
    chart.lines.push_back(std::move(line));
    chart.y_ticks = round_ticks(0, chart.y_high, 4);
    return chart;
}

}  // namespace

std::string brood_picture(const BroodSheet& sheet, MapFormat format)
{
    constexpr std::size_t kMostCharts = 12;
    const Span span = span_of(sheet);
    std::vector<Chart> charts;
    std::size_t more = 0;
    for (std::size_t h = 0; h < sheet.plan.habitats.size(); ++h) {
        const auto& standing = sheet.input.habitats[h];
        for (std::size_t c = 0; c < standing.combs.size(); ++c) {
            if (charts.size() == kMostCharts) {
                ++more;
                continue;
            }
            charts.push_back(comb_chart(sheet, span, standing.combs[c],
                                        sheet.plan.habitats[h].combs[c], standing.habitat.name));
        }
    }
    charts.push_back(rounds_chart(sheet, span));
    std::string foot =
        "Band: 10 to 90 %. Dotted: today. What each round should bring stands in the text.";
    if (more > 0) {
        foot += fmt::format(" {} combs more are not drawn.", more);
    }
    return draw_charts(fmt::format("Brood on {}", format_day_long(sheet.plan.on)), charts, 2,
                       format, 240, 62, foot);
}

}  // namespace nestround::sheets
