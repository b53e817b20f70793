/// \file hold_calls.hpp
/// \brief Use case: hold or take, for one waiting call or all of them.
///
/// Purpose:  `nestround hold`.
/// Units:    as season/hold.hpp.
/// Range:    1 to 120 days ahead.
/// Accuracy: as the forecasts.
/// Errors:   Failure: NotFound for a call that does not wait on that day; what reading the book
///           throws.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/preferences.hpp"
#include "planner/season/hold.hpp"

namespace nestround::app {

inline constexpr int kMostHoldDays = 120;

struct HeldCall {
    rank::RankedCall call;  ///< as ranked on the first day
    season::HoldCurve curve;
};

/// Calls named by `keys`, all waiting ones when there are none; best score of the first day first.
[[nodiscard]] std::vector<HeldCall> hold_calls(const book::Book& book,
                                               const Preferences& preferences, Day on, int days,
                                               const std::vector<std::string>& keys);

}  // namespace nestround::app
