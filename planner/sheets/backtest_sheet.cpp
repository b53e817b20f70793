#include "planner/sheets/backtest_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace nestround::sheets {

namespace {

double on_axis(double grams) { return std::log10(std::max(1.0, grams)); }

std::vector<ChartTick> gram_ticks(double end)
{
    std::vector<ChartTick> out;
    for (const double grams : {1.0, 3.0, 10.0, 30.0, 100.0, 300.0, 1000.0, 3000.0, 10000.0}) {
        if (on_axis(grams) <= end) {
            out.push_back({on_axis(grams), fmt::format("{:.0f} g", grams)});
        }
    }
    return out;
}

/// Of the catches, how many lie below each hundredth of their forecast; a straight line is perfect.
Chart calibration(const std::vector<BacktestPoint>& points)
{
    Chart chart;
    chart.title = "Share of catches below the forecast's 10, 50 and 90 %";
    chart.note = "forecast share across, true share up; on the dashed line is right";
    chart.x_ticks = chart.y_ticks = {{0, "0"}, {0.1, "10 %"}, {0.5, "50 %"}, {0.9, "90 %"}};
    chart.lines.push_back({{0, 1}, {0, 1}, {kChartInk, 0.3, {1.5, 1.2}}, "", false});
    ChartLine found{{}, {}, {kChartBlue, 0.6, {}}, "", false};
    const auto shares = shares_below(points);
    for (const auto& [share, below] :
         {std::pair{0.1, shares.low}, std::pair{0.5, shares.middle}, std::pair{0.9, shares.high}}) {
        found.x.push_back(share);
        found.y.push_back(below);
        chart.marks.push_back(
            {share, found.y.back(), fmt::format("{:.0f} %", found.y.back() * 100), kChartBlue});
    }
    chart.lines.push_back(found);
    return chart;
}

}  // namespace

Spread<double> shares_below(const std::vector<BacktestPoint>& points)
{
    const auto share = [&](double Spread<double>::*edge) {
        const auto below = std::count_if(points.begin(), points.end(), [&](const auto& point) {
            return point.caught < point.forecast.*edge;
        });
        return static_cast<double>(below) / static_cast<double>(points.size());
    };
    return {share(&Spread<double>::low), share(&Spread<double>::middle),
            share(&Spread<double>::high)};
}

std::string backtest_picture(const std::vector<BacktestPoint>& points, const std::string& note,
                             MapFormat format)
{
    double most = 10;
    for (const auto& point : points) {
        most = std::max({most, point.caught, point.forecast.high});
    }
    Chart chart;
    chart.title = "Forecast (across, 80 % bar) against catch (up)";
    chart.note = "grams on logarithmic axes; on the dashed line the middle was right";
    chart.x_high = chart.y_high = on_axis(most) + 0.05;
    chart.x_ticks = chart.y_ticks = gram_ticks(chart.x_high);
    chart.lines.push_back(
        {{0, chart.x_high}, {0, chart.x_high}, {kChartInk, 0.3, {1.5, 1.2}}, "", false});
    ChartLine inside{{}, {}, {kChartBlue, 0.55, {}}, "", true};
    ChartLine outside{{}, {}, {kChartRed, 0.7, {}}, "", true};
    for (const auto& point : points) {
        const bool held = point.caught >= point.forecast.low && point.caught <= point.forecast.high;
        const double y = on_axis(point.caught);
        const Colour faint = held ? Colour{kChartBlue.rgb, 0.25} : Colour{kChartRed.rgb, 0.35};
        chart.lines.push_back({{on_axis(point.forecast.low), on_axis(point.forecast.high)},
                               {y, y},
                               {faint, 0.25, {}},
                               "",
                               false});
        auto& line = held ? inside : outside;
        line.x.push_back(on_axis(point.forecast.middle));
        line.y.push_back(y);
    }
    chart.lines.push_back(inside);
    chart.lines.push_back(outside);
    std::vector<Chart> charts{chart};
    if (!points.empty()) {
        charts.push_back(calibration(points));
    }
    return draw_charts("How past catches were forecast", charts, 2, format, 260, 110, note);
}

}  // namespace nestround::sheets
