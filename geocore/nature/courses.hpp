/// \file courses.hpp
/// \brief The possible courses of one taxon's season at a latitude, drawn on a fixed grid.
///
/// Purpose:  turns the rows of the table into courses; season.hpp weighs and asks them.
/// Units:    as in season.hpp.
/// Range:    count > 0; the courses have no weight yet.
/// Accuracy: 10, 50 and 90 % of each drawn number are the row's, within some hundredths.
/// Errors:   a replaced table without a needed row throws Failure naming it.
/// Source:   as season.hpp.
#pragma once

#include <vector>

#include "geocore/nature/season.hpp"

namespace nestround::nature {

[[nodiscard]] std::vector<Course> draw_courses(const TaxaTable& table, const Taxon& taxon,
                                               Latitude latitude, int count);

}  // namespace nestround::nature
