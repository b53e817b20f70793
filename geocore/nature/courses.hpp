/// \file courses.hpp
/// \brief The possible colonies of one taxon's season at a latitude, drawn on a fixed grid.
///
/// Purpose:  turns the rows of the table into courses, and each course into a colony that lives it.
/// Units:    as in season.hpp.
/// Range:    0 < count <= 512.
/// Accuracy: 10, 50 and 90 % of each drawn number are the row's, within some hundredths.
/// Cost:     an ensemble of 192 colonies some ten milliseconds, half of that with a memory that has
///           met its neighbours; courses alone far less.
/// Errors:   a replaced table without a needed row throws Failure naming it.
/// Source:   as season.hpp.
#pragma once

#include <map>
#include <tuple>
#include <vector>

#include "geocore/nature/season.hpp"

namespace nestround::nature {

inline constexpr int kEnsemble = 192;  ///< courses of a single taxon

/// Dates and parameters only: no colony has been brought to its peak yet.
[[nodiscard]] std::vector<Course> draw_courses(const TaxaTable& table, const Taxon& taxon,
                                               Latitude latitude, int count);

/// What brings a course to its peak, as far as it changes with latitude.
struct CourseFood {
    double log_food = 0;   ///< eggs a day that a worker's food rears
    double log_queen = 0;  ///< how much better a queen than the parameters say
};

/// The food of the courses at every fourth degree, from which that between is tried first, so that
/// an ensemble is the same whichever latitudes were asked about before. One table each.
class FoodMemory {
public:
    const std::vector<CourseFood>& at(const TaxaTable& table, const Taxon& taxon, long anchor,
                                      int count);
    static constexpr double kStep = 4;   ///< degrees from anchor to anchor
    static constexpr long kMiddle = 10;  ///< the anchor that the others begin from: 40 degrees

private:
    std::map<std::tuple<const Taxon*, long, int>, std::vector<CourseFood>> known_;
};

/// The colonies of `count` courses, each brought to its peak and recorded.
[[nodiscard]] Ensemble make_ensemble(const TaxaTable& table, const Taxon& taxon, Latitude latitude,
                                     int count, FoodMemory& memory);
[[nodiscard]] Ensemble make_ensemble(const TaxaTable& table, const Taxon& taxon, Latitude latitude,
                                     int count);

}  // namespace nestround::nature
