/// \file backtest_sheet.hpp
/// \brief How forecasts of past catches held: a picture of forecast against catch.
///
/// Purpose:  what `nestround yield backtest --picture` draws.
/// Units:    grams, on logarithmic axes.
/// Range:    catches of 1 g and more are drawn; smaller ones sit on the edge.
/// Accuracy: that of the picture.
/// Errors:   Failure (OutputFailed) from drawing.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/base/spread.hpp"
#include "planner/sheets/chart.hpp"

namespace nestround::sheets {

struct BacktestPoint {
    Spread<double> forecast;  ///< grams
    double caught = 0;
};

/// Of the catches, how many lie below the 10, 50 and 90 % of their forecast: 0.1, 0.5 and 0.9 when
/// the forecasts are right. Wants at least one point.
[[nodiscard]] Spread<double> shares_below(const std::vector<BacktestPoint>& points);

[[nodiscard]] std::string backtest_picture(const std::vector<BacktestPoint>& points,
                                           const std::string& note, MapFormat format);

}  // namespace nestround::sheets
