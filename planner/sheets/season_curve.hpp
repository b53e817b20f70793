/// \file season_curve.hpp
/// \brief The year of a wasp's colonies as the model has it, drawn.
///
/// Purpose:  what stands behind each forecast, for the manual and for whoever doubts it.
/// Units:    counts; days of a year at the place.
/// Range:    any taxon of the table, any latitude.
/// Accuracy: the model's 10, 50 and 90 % on every third day.
/// Errors:   Failure (OutputFailed) from drawing.
/// Source:   docs/science/season-and-yield.md.
#pragma once

#include <string>

#include "geocore/nature/taxa_table.hpp"
#include "geocore/units/units.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::sheets {

/// Workers, sealed brood, adult queens and males, and the chance of each stage, over `year`.
[[nodiscard]] std::string season_curve(const nature::TaxaTable& table, const nature::Taxon& taxon,
                                       Latitude latitude, int year, MapFormat format);

}  // namespace nestround::sheets
