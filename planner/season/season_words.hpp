/// \file season_words.hpp
/// \brief What becomes of each call in a season, in words, and the grams by taxon.
///
/// Purpose:  one step of plan_season: from days chosen to reasons a person can check.
/// Units:    as plan_season.hpp.
/// Range:    as plan_season.hpp.
/// Accuracy: sums of forecasts: medians add up, the spreads are taken as independent.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <vector>

#include "planner/season/plan_season.hpp"

namespace nestround::season {

/// `day_of_call`: on which a call is taken, -1: not. `never`: why no crew could do it even alone,
/// empty when one could. Expected calls are left out.
[[nodiscard]] std::vector<SeasonChoice> choices(const SeasonInput& input,
                                                const std::vector<int>& day_of_call,
                                                const std::vector<std::size_t>& crew_of_call,
                                                const std::vector<std::string>& never);

[[nodiscard]] std::vector<SeasonGrams> grams_by_taxon(const SeasonInput& input,
                                                      const std::vector<int>& day_of_call);

/// "4 August".
[[nodiscard]] std::string short_day(Day day);

}  // namespace nestround::season
