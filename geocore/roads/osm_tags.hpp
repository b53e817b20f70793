/// \file osm_tags.hpp
/// \brief What OpenStreetMap's tags mean to a light work truck (up to 3.5 t).
///
/// Purpose:  every decision about access, barriers, direction, speed and ferries in one pure place.
/// Units:    kilometres per hour, seconds.
/// Range:    access is the first of goods, motorcar, motor_vehicle, vehicle, access that is tagged;
///           hgv is kept beside it for trucks above 3.5 t, and only ever closes more. Values yes,
///           permissive, designated, discouraged are open; destination, delivery, customers and
///           private, and driveways, only where a trip begins or ends. Everything for others alone
///           (agricultural, forestry, buses, ...) is closed. A private gate is passed at the ends
///           of a trip unless it is locked.
///           A ferry needs a duration, else it is off; so it is where it forbids vehicles, or names
///           passengers or bicycles and not vehicles.
///           A road closed or one-way by hour (:conditional) keeps the words; see
///           suited_roads.hpp. Speed by hour is remarked, not read.
/// Accuracy: as mapped.
/// Errors:   a limit that is not above zero is passed over and remarked.
/// Source:   OpenStreetMap's documentation of the keys named, in our own reading.
#pragma once

#include <optional>
#include <span>
#include <string>
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

/// What a value of access says, the most open one first.
enum class Opening { Untold, Open, EndsOnly, ByLeave, Closed };
/// The most generous entry of a list such as "agricultural;destination".
[[nodiscard]] Opening opening_of(std::string_view value);

/// Begins the line of RoadAttributes::condition that tells of directions rather than of access.
inline constexpr std::string_view kOnewayByHour = "oneway=";

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

/// Whether it is a gate that may be passed only where a trip begins or ends.
[[nodiscard]] bool is_private_gate(Tags tags);

/// Kind, exceptions and hours of a relation of type restriction, its members not filled; nothing,
/// and why, when it binds no truck.
[[nodiscard]] std::optional<TurnRestriction> read_turn(Tags tags, std::string_view& passed_over);

/// `duration`: "MM", "HH:MM", "HH:MM:SS" or "PT1H30M"; nothing when it says something else.
[[nodiscard]] std::optional<seconds> parse_duration(std::string_view text);

}  // namespace nestround::roads
