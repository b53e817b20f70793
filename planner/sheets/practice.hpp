/// \file practice.hpp
/// \brief The table behind the sentences and defaults of the morning sheet.
///
/// Purpose:  each has a row with source and mark, as every figure.
/// Units:    in the row.
/// Range:    the rows of planner/sheets/practice.csv.
/// Accuracy: as marked.
/// Errors:   a missing row throws Failure naming it.
/// Source:   planner/sheets/practice.csv.
#pragma once

#include <string_view>

#include "geocore/base/figure.hpp"

namespace nestround::sheets {

[[nodiscard]] const Figure& practice(std::string_view subject, std::string_view parameter);

}  // namespace nestround::sheets
