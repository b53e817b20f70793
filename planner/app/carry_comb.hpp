/// \file carry_comb.hpp
/// \brief Use case: live comb on the ride, with the weather of the book.
///
/// Purpose:  `nestround cargo`, and the ride limit of a morning.
/// Units:    as planner/access/cargo.hpp; seconds since local midnight.
/// Range:    a day whose temperature is known, or a steady air that is given.
/// Accuracy: as planner/access/cargo.hpp; the cab is taken as warmer than the air by one figure.
/// Errors:   Failure: InvalidInput naming what is missing.
/// Source:   own.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "planner/access/cargo.hpp"
#include "planner/day/limits.hpp"

namespace nestround::app {

/// The settings limits.cargo, limits.comb_g, limits.box_w_per_k and limits.cab_adds_k.
struct CargoSettings {
    bool on = false;
    access::CargoBox box;
    CelsiusDelta cab_adds{};
};
[[nodiscard]] CargoSettings cargo_settings(const std::map<std::string, std::string>& settings);
[[nodiscard]] bool is_cargo_setting(const std::string& name);

/// Air in the cab for every hour whose temperature is known.
[[nodiscard]] std::vector<access::CargoAir> cab_by_hour(const day::DayConditions& conditions,
                                                        CelsiusDelta adds);
/// The same for a closed cab that stands in the sun from `from` on, in steps of five minutes.
[[nodiscard]] std::vector<access::CargoAir> parked_cab(const day::DayConditions& conditions,
                                                       seconds from);
/// One temperature all day.
[[nodiscard]] day::DayConditions steady_air(Celsius air);

/// The ride limit for combs taken aboard in a shift, and in words what it rests on or why there is
/// none.
struct RideLimit {
    std::optional<seconds> limit;
    std::string words;
    bool known = false;
};
[[nodiscard]] RideLimit ride_limit(const CargoSettings& settings,
                                   const day::DayConditions& conditions, seconds shift_begins,
                                   seconds shift_ends);

}  // namespace nestround::app
