/// \file arrivals.hpp
/// \brief Calls that have not been made yet: how many are expected, and of what kind.
///
/// Purpose:  a season planned as if no more calls came would hold too much for later.
/// Units:    calls a day; days counted from the first planned day.
/// Range:    a history of at least kFewestCalls; with fewer nothing is expected.
/// Accuracy: the rate is that of the history near the same part of the year, or of its last days;
/// the
///           kinds are those of calls really made, at places really called from, drawn by the seed.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "geocore/records/call.hpp"

namespace nestround::season {

inline constexpr std::size_t kFewestCalls = 5;

struct ExpectedCall {
    std::size_t like = 0;  ///< index into the history
    int day = 0;           ///< on which it is made
};

/// Calls a day, from `history` (all calls known on `from`): the mean of the fortnight before it,
/// and where former years are in the book the mean of the same fortnights ahead in them.
[[nodiscard]] double call_rate(std::span<const CallSheet> history, Day from, int days);

/// `rate` calls a day over `days`, each like one of the history.
[[nodiscard]] std::vector<ExpectedCall> expected_calls(std::span<const CallSheet> history, Day from,
                                                       int days, double rate, std::uint64_t seed);

}  // namespace nestround::season
