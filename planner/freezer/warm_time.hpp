/// \file warm_time.hpp
/// \brief When a freezer was warmer than its limit, and which lots lay there then.
///
/// Purpose:  from the readings of a logger to the bags that it concerns.
/// Units:    in the types.
/// Range:    readings in order of time; a lot lies where it was last put until it is put elsewhere,
///           or to the end of the day on which it left.
/// Accuracy: the interval of the logger: between two readings nothing is known, so a warm time
///           begins at its first reading above the limit and ends at the next at or below it.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <map>
#include <span>
#include <vector>

#include "geocore/records/freezer.hpp"

namespace nestround::freezer {

struct LoggerReading {
    Instant at{};
    Celsius temperature{};
};

struct WarmTime {
    Instant began{};
    Instant ended{};
    Celsius warmest{};
    int readings = 0;
};

[[nodiscard]] std::vector<WarmTime> warm_times(std::span<const LoggerReading> readings,
                                               Celsius limit);

/// `moves` by lot, oldest first; a shelf or box that `place` leaves empty matches any.
[[nodiscard]] std::vector<LotId> lots_there(std::span<const LotMove> moves,
                                            const std::map<LotId, Day>& shipped,
                                            const FreezerPlace& place, Instant began,
                                            Instant ended);

}  // namespace nestround::freezer
