/// \file figures.hpp
/// \brief The figures behind reaching a nest: ladder rules, reach of a crew, minutes.
///
/// Purpose:  every safety figure is a row with a source and a mark.
/// Units:    each row names its own; `value` gives it as the row has it.
/// Range:    rows of planner/access/access.csv.
/// Accuracy: as each row's mark says.
/// Errors:   a missing row throws Failure naming it.
/// Source:   planner/access/access.csv and sources.csv, compiled in.
#pragma once

#include <span>
#include <string_view>

#include "geocore/base/figure.hpp"

namespace nestround::access {

[[nodiscard]] std::span<const Figure> figures();
[[nodiscard]] std::span<const SourceEntry> sources();

/// The row of a subject's parameter.
[[nodiscard]] const Figure& figure(std::string_view subject, std::string_view parameter);

}  // namespace nestround::access
