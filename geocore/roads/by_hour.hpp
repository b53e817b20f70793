/// \file by_hour.hpp
/// \brief Whether a condition on a sign holds while a truck drives: `no @ (Mo-Fr 07:00-09:00)`.
///
/// Purpose:  one reading of `access:conditional`, `oneway:conditional` and
///           `restriction:conditional`.
/// Units:    minutes since local midnight.
/// Range:    weekdays (`Mo-Fr`, `Sa,Su`, `Fr-Mo`), hours (`07:00-09:00,16:00-18:00`, past midnight
///           `22:00-06:00`), `24/7`, several rules parted by `;`, and `weight`, `height`, `width`,
///           `axleload` against a number, joined by AND. Public holidays, months, seasons, sunrise
///           and everything else is not understood, and said to be so.
/// Accuracy: to the minute. A span holds from its first minute up to its last, that one not.
/// Errors:   none; what cannot be read is Holds::NotUnderstood.
/// Source:   OpenStreetMap's documentation of conditional restrictions and of opening hours, in our
///           own reading.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "geocore/roads/vehicle_limits.hpp"

namespace nestround::roads {

/// When a truck is on the road. A departure is a span of one minute.
struct DrivingHours {
    unsigned weekday = 0;  ///< 0 for Monday to 6 for Sunday
    int from_min = 0;      ///< since midnight of that day
    int to_min = 0;        ///< not before; may lie on the next day
};

enum class Holds : std::uint8_t { Never, Partly, Throughout, NotUnderstood };

/// A truck whose weight is not told weighs up to 3.5 t; other sizes not told exceed nothing.
[[nodiscard]] Holds holds(std::string_view condition, const DrivingHours& hours,
                          const Truck& truck);

/// The days named, one bit each from Monday on; nothing when they cannot be read, all for none.
[[nodiscard]] std::optional<std::uint8_t> parse_weekdays(std::string_view text);

/// `value @ (condition)`.
struct Conditional {
    std::string_view value;
    std::string_view condition;
};
/// The statements of a tag, in their order; a later one that holds outdoes an earlier one.
[[nodiscard]] std::vector<Conditional> conditionals(std::string_view text);

}  // namespace nestround::roads
