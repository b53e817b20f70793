/// \file load_list.hpp
/// \brief What to put on the truck for a crew's day, and what its cargo asks to mind.
///
/// Purpose:  the union of what the stops need, what is on every list, and dry ice by weight.
/// Units:    kilograms and pounds in the words.
/// Range:    a crew without stops loads nothing.
/// Accuracy: dry ice is an estimate: the catch's 90 % figure counted as water, the loss of one box
///           while out, and a reserve.
/// Errors:   a missing row of the table throws Failure naming it.
/// Source:   planner/day/load.csv.
#pragma once

#include <string>
#include <vector>

#include "planner/day/day_plan.hpp"

namespace nestround::day {

[[nodiscard]] std::vector<std::string> load_list(const CrewDay& crew);

/// Kilograms of dry ice for a catch of `grams` and `out` away from home.
[[nodiscard]] double dry_ice_kilograms(Grams grams, seconds out);

/// Of the dry ice, with its mark.
[[nodiscard]] std::string dry_ice_caution();

}  // namespace nestround::day
