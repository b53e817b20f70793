/// \file traffic_table.hpp
/// \brief How much longer roads of each class take at each hour of the week.
///
/// Purpose:  rush hours as the user knows them; none are built in, as towns differ.
/// Units:    factors on driving time; minutes since local midnight.
/// Range:    factors 0.2 to 20; a row for all classes leaves ferries alone. Of rows that fit, the
///           last one counts; where none does, the factor is 1.
/// Accuracy: as the user's figures.
/// Errors:   none; intake/traffic_file.hpp refuses bad rows.
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "geocore/roads/road_class.hpp"
#include "geocore/roads/suited_roads.hpp"

namespace nestround::roads {

inline constexpr double kLeastSlowing = 0.2;
inline constexpr double kMostSlowing = 20;

struct TrafficRow {
    std::uint8_t days = 0x7f;  ///< one bit each from Monday on
    int from_min = 0;
    int to_min = 24 * 60;                 ///< that minute not
    std::optional<RoadClass> road_class;  ///< nothing: all but ferries
    double factor = 1;
};

struct TrafficTable {
    std::vector<TrafficRow> rows;
};

/// `minute` may lie on the next day.
[[nodiscard]] SlowedBy slowed_by(const TrafficTable& table, unsigned weekday, int minute);

}  // namespace nestround::roads
