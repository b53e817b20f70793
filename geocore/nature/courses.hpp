/// \file courses.hpp
/// \brief The possible colonies of one taxon's season at a latitude, drawn on a fixed grid.
///
/// Purpose:  turns the rows of the table into courses, and each course into a colony that lives it.
/// Units:    as in season.hpp.
/// Range:    0 < count <= 512.
/// Accuracy: 10, 50 and 90 % of each drawn number are the row's, within some hundredths.
/// Cost:     an ensemble of 192 colonies some ten milliseconds; courses alone far less.
/// Errors:   a replaced table without a needed row throws Failure naming it.
/// Source:   as season.hpp.
#pragma once

#include <vector>

#include "geocore/nature/season.hpp"

namespace nestround::nature {

inline constexpr int kEnsemble = 192;  ///< courses of a single taxon

/// Dates and parameters only: no colony has been brought to its peak yet.
[[nodiscard]] std::vector<Course> draw_courses(const TaxaTable& table, const Taxon& taxon,
                                               Latitude latitude, int count);

/// The colonies of `count` courses, each brought to its peak and recorded.
[[nodiscard]] Ensemble make_ensemble(const TaxaTable& table, const Taxon& taxon, Latitude latitude,
                                     int count);

}  // namespace nestround::nature
