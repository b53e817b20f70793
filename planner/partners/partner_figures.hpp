/// \file partner_figures.hpp
/// \brief The figures by which a partner's nest is compared with ours.
///
/// Purpose:  one table, each figure with its source and mark, so that a choice can be seen.
/// Units:    each row names its own.
/// Range:    as the table.
/// Accuracy: as each row's mark says.
/// Errors:   Failure{Internal} for a figure that the table lacks.
/// Source:   planner/partners/partners.csv, compiled in.
#pragma once

#include <string_view>
#include <vector>

#include "geocore/base/figure.hpp"

namespace nestround::partners {

[[nodiscard]] const std::vector<Figure>& partner_figures();
[[nodiscard]] double partner_figure(std::string_view subject, std::string_view parameter);

}  // namespace nestround::partners
