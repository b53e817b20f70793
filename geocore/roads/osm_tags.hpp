/// \file osm_tags.hpp
/// \brief What OpenStreetMap's tags mean to a light work truck (up to 3.5 t).
///
/// Purpose:  every decision about access, barriers, direction, speed and ferries in one pure place.
/// Units:    kilometres per hour, seconds.
/// Range:    access is the first of goods, motorcar, motor_vehicle, vehicle, access that is tagged;
///           hgv limits are for heavier trucks and don't count. Values yes, permissive, designated,
///           destination, delivery, customers, discouraged are open. Private roads are open at
///           kPrivateSpeed: a farm is reached, nobody's yard becomes a short cut. Everything for
///           others alone (agricultural, forestry, buses, ...) is closed, as is a private gate.
///           A ferry needs a duration, else it is off; so it is where it forbids vehicles, or names
///           passengers or bicycles and not vehicles.
///           Limits by hour or weather (:conditional) are not read.
/// Accuracy: as mapped.
/// Errors:   a limit that is not above zero is passed over and remarked.
/// Source:   OpenStreetMap's documentation of the keys named, in our own reading.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "geocore/base/calendar.hpp"
#include "geocore/roads/raw_roads.hpp"

namespace nestround::roads {

struct Tag {
    std::string_view key;
    std::string_view value;
};
using Tags = std::span<const Tag>;

/// The value of `key`, or an empty text.
[[nodiscard]] std::string_view tag(Tags tags, std::string_view key);

/// Whether a way claims to be a road or ferry of any kind at all.
[[nodiscard]] bool is_way_of_interest(Tags tags);

struct WayReading {
    std::optional<RoadAttributes> road;  ///< nothing where no truck may drive
    std::string_view reason;             ///< why there is no road
    std::string_view remark;             ///< something passed over on a road that is used
};
[[nodiscard]] WayReading read_way(Tags tags);

/// Whether a barrier stands on the node that this truck cannot or may not pass.
[[nodiscard]] bool closes_road(Tags tags);

/// `duration`: "MM", "HH:MM", "HH:MM:SS" or "PT1H30M"; nothing when it says something else.
[[nodiscard]] std::optional<seconds> parse_duration(std::string_view text);

}  // namespace nestround::roads
