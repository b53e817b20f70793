/// \file rule_curves.hpp
/// \brief The rules behind a forecast, each as a curve: heat, flight, what was seen, own records.
///
/// Purpose:  whoever doubts a forecast sees each rule that it rests on, drawn by the functions that
///           the forecasts themselves call.
/// Units:    as the axes say.
/// Range:    any table of taxa that has the standard rows.
/// Accuracy: that of the picture.
/// Errors:   Failure (OutputFailed) from drawing.
/// Source:   docs/science/heat.md, season-and-yield.md, learning.md.
#pragma once

#include <string>

#include "geocore/nature/taxa_table.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::sheets {

/// Eight charts: degree-days by method and by cutoff, flight, traffic, a quiet nest, combs, the
/// share that is caught, and how fast own records count.
[[nodiscard]] std::string rule_curves(const nature::TaxaTable& table, MapFormat format);

}  // namespace nestround::sheets
