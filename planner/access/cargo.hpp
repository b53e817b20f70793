/// \file cargo.hpp
/// \brief Live comb on the ride: how warm its box becomes, how long it may ride, what emerges.
///
/// Purpose:  live cargo can overheat and adults emerge on the way. Decision support: nothing is
///           declared safe for comb or crew.
/// Units:    Celsius, grams, watts a kelvin, seconds on one clock of the caller's.
/// Range:    comb to 20 kg, box loss 0.05 to 100 W/K, air -40 to 80 C.
/// Accuracy: one well-mixed lump in air that is steady within each hour: dT/dt = (U (air - T) +
/// P)/C
///           is solved exactly. The heat P is taken as steady. Most figures are marked assumption:
///           a thermometer in the box beats them all.
/// Errors:   InvalidInput naming what cannot be.
/// Source:   rows `cargo` of planner/access/access.csv.
#pragma once

#include <optional>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::access {

/// A fresh one holds the values of the table.
struct CargoBox {
    CargoBox();

    Grams comb{};                 ///< with its brood
    Grams adults{};               ///< that ride along; none by default
    double watts_per_kelvin = 0;  ///< what the box gives off
    Celsius start{};              ///< when it is closed
    Celsius warm{};               ///< the ride ends before this
};

/// Air about the box from `from` until before `to`.
struct CargoAir {
    seconds from{};
    seconds to{};
    Celsius air{};
};

struct CargoMoment {
    seconds at{};
    Celsius box{};
};

struct CargoRide {
    std::vector<CargoMoment> moments;  ///< at the start, each change of air and the end
    Celsius hottest{};
    std::optional<seconds> warm_after;    ///< from the start; empty: not on this ride
    double emerged = 0;                   ///< adults expected out of sealed cells on the way
    std::optional<seconds> unknown_from;  ///< on the clock: no air is known from here on
};

/// Heat of comb and adults, watts.
[[nodiscard]] double cargo_watts(const CargoBox& box);

/// From `leaves` to `home`, with air in rising order. Stops where the air ends.
[[nodiscard]] Result<CargoRide> cargo_ride(const CargoBox& box, const std::vector<CargoAir>& air,
                                           seconds leaves, seconds home, int sealed_cells = 0,
                                           std::optional<double> pupal_days = std::nullopt);

/// The shortest of the longest rides of all who leave between the two moments, tried every ten
/// minutes; empty: the box does not become too warm while the air is known.
[[nodiscard]] Result<std::optional<seconds>> longest_ride(const CargoBox& box,
                                                          const std::vector<CargoAir>& air,
                                                          seconds first_leave, seconds last_leave);

/// How much warmer a closed cab in the sun is than the air outside after standing so long.
[[nodiscard]] CelsiusDelta parked_cab_adds(seconds standing);
[[nodiscard]] CelsiusDelta moving_cab_adds();

/// Share of a day's emergence that goes on at this temperature: 1 at the reference, 0 below the
/// threshold and above `warm`.
[[nodiscard]] double emergence_rate(Celsius box, Celsius warm);

}  // namespace nestround::access
