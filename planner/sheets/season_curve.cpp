#include "planner/sheets/season_curve.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "geocore/nature/season.hpp"
#include "planner/sheets/chart.hpp"

namespace nestround::sheets {

namespace {

constexpr int kStep = 3;
constexpr std::array<std::uint32_t, nature::kStages> kStageColours{
    0xe8e4da, 0xc9d9c3, 0x9cc3a1, 0x4f8fb5, 0x1f5f8b, 0xb8a07a, 0x8a8378};

/// One of a colony's numbers over the year.
struct Curve {
    std::vector<double> low;
    std::vector<double> middle;
    std::vector<double> high;

    void add(const Spread<double>& spread)
    {
        low.push_back(spread.low);
        middle.push_back(spread.middle);
        high.push_back(spread.high);
    }
    [[nodiscard]] double most() const
    {
        return high.empty() ? 0 : *std::max_element(high.begin(), high.end());
    }
};

struct Year {
    Day first{};
    int days = 0;
    std::vector<double> x;
    Curve workers, sealed_small, sealed_large, gynes, males;
    std::array<std::vector<double>, nature::kStages> stages;
};

[[nodiscard]] Year year_of(const nature::Season& season, Latitude latitude, int year)
{
    Year result;
    const auto dates = season.dates();
    const double from = std::floor(std::max(1.0, dates.founding.low - 15));
    const double to = std::min(from + 364, std::ceil(dates.end.high + 15));
    result.first = nature::calendar_day(from, latitude, year);
    result.days = static_cast<int>(to - from);
    for (double day = from; day <= to; day += kStep) {
        const auto colony = season.on(day);
        result.x.push_back(day - from);
        result.workers.add(colony.workers);
        result.sealed_small.add(colony.sealed_small);
        result.sealed_large.add(colony.sealed_large);
        result.gynes.add(colony.gynes);
        result.males.add(colony.males);
        for (std::size_t s = 0; s < nature::kStages; ++s) {
            result.stages[s].push_back(colony.stage[s]);
        }
    }
    return result;
}

[[nodiscard]] Chart chart_of(const Year& year, std::string title, std::string note, double most)
{
    Chart chart;
    chart.title = std::move(title);
    chart.note = std::move(note);
    chart.x_high = std::max(1, year.days);
    chart.y_high = axis_end(most);
    chart.x_ticks = day_ticks(year.first, year.days);
    chart.y_ticks = round_ticks(0, chart.y_high, 5);
    return chart;
}

void add_curve(Chart& chart, const Year& year, const Curve& curve, Colour colour,
               const std::string& name, std::vector<double> dashes = {})
{
    chart.bands.push_back({year.x, curve.low, curve.high, {colour.rgb, 0.16}});
    chart.lines.push_back({year.x, curve.middle, {colour, 0.6, std::move(dashes)}, name, false});
}

[[nodiscard]] Chart stages_chart(const Year& year)
{
    auto chart = chart_of(year, "Stage", "chance of each, one above the other", 1);
    chart.y_high = 1;
    chart.y_ticks = round_ticks(0, 1, 4);
    std::vector<double> below(year.x.size(), 0);
    for (std::size_t s = 0; s < nature::kStages; ++s) {
        std::vector<double> above = below;
        for (std::size_t i = 0; i < above.size(); ++i) {
            above[i] += year.stages[s][i];
        }
        chart.bands.push_back({year.x, below, above, {kStageColours[s], 1}});
        // Each name at a height of its own, in the middle of its days there.
        const double height = 0.12 + 0.76 * static_cast<double>(s) / (nature::kStages - 1);
        double sum = 0;
        int days_there = 0;
        for (std::size_t i = 0; i < above.size(); ++i) {
            if (below[i] <= height && height < above[i]) {
                sum += year.x[i];
                ++days_there;
            }
        }
        if (days_there > 0) {
            chart.words.push_back({sum / days_there, height,
                                   std::string{text(static_cast<nature::Stage>(s))}, kChartInk});
        }
        below = std::move(above);
    }
    return chart;
}

}  // namespace

std::string season_curve(const nature::TaxaTable& table, const nature::Taxon& taxon,
                         Latitude latitude, int year, MapFormat format)
{
    const nature::Candidate alone{&taxon, 1};
    const auto season = nature::Season::make(table, {&alone, 1}, latitude);
    const auto days = year_of(season, latitude, year);

    auto workers = chart_of(days, "Workers alive", "middle, and 8 colonies in 10 in the band",
                            days.workers.most());
    add_curve(workers, days, days.workers, kChartBlue, "workers");

    auto sealed = chart_of(days, "Sealed cells", "the brood that can still emerge once taken",
                           std::max(days.sealed_small.most(), days.sealed_large.most()));
    add_curve(sealed, days, days.sealed_small, kChartBlue, "small");
    add_curve(sealed, days, days.sealed_large, kChartAmber, "large", {1.6, 0.8});

    auto adults = chart_of(days, "Adult queens and males in the nest", "new ones, not yet flown",
                           std::max(days.gynes.most(), days.males.most()));
    add_curve(adults, days, days.gynes, kChartRed, "queens");
    add_curve(adults, days, days.males, kChartGreen, "males", {1.6, 0.8});

    return draw_charts(
        fmt::format("{} at {:.0f}° {}", taxon.name, std::abs(latitude.value()),
                    latitude.value() < 0 ? "south" : "north"),
        {workers, sealed, adults, stages_chart(days)}, 2, format, 270, 66,
        "A model between published dates and numbers; much of it is assumption: see taxa show.");
}

}  // namespace nestround::sheets
