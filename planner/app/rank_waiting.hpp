/// \file rank_waiting.hpp
/// \brief Use case: which calls wait on a day, what each would give, best first.
///
/// Purpose:  the ranked list, for the command and as the first half of the morning.
/// Units:    as the parts.
/// Range:    a day more than two weeks past the last reading of the weather, or before the first,
///           is refused unless asked for; a book without any weather is taken with a note.
/// Accuracy: not applicable.
/// Errors:   Failure{InvalidInput} naming the day and the days that the weather covers.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/preferences.hpp"
#include "planner/rank/ranked_call.hpp"

namespace nestround::app {

struct RankedMorning {
    std::vector<rank::RankedCall> calls;  ///< best first
    std::vector<std::string> notes;       ///< on the weather
};

/// The waiting calls of the day, ranked.
[[nodiscard]] RankedMorning rank_waiting(const book::Book& book, const Preferences& preferences,
                                         Day on, bool without_weather = false);

}  // namespace nestround::app
