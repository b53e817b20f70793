/// \file cold.hpp
/// \brief Dry ice for a day, how long it lasts, and the carbon dioxide it gives off in a cab.
///
/// Purpose:  enough ice and no more gas than the air carries away. Decision support: codes and the
///           supplier's instructions come first; nothing is declared safe.
/// Units:    grams, Celsius, seconds, cubic metres, air changes an hour, parts per million.
/// Range:    box loss under 20 % an hour; cab 0.5 to 50 cubic metres.
/// Accuracy: enthalpies as tables have them; box losses vary twofold between boxes: measure yours.
/// Errors:   InvalidInput naming what cannot be.
/// Source:   DOT/FAA/AM-06/19 (2 % an hour, measured), 29 CFR 1910.1000 (5000 ppm), others in the
///           rows `cold` of planner/access/access.csv; mass balance of one well-mixed room.
#pragma once

#include <optional>
#include <string>

#include "geocore/base/calendar.hpp"
#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::access {

/// Heat to be taken out of a catch counted as water, kilojoules.
struct FreezingHeat {
    double above = 0;  ///< down to freezing
    double latent = 0;
    double below = 0;  ///< from freezing down
    [[nodiscard]] double all() const { return above + latent + below; }
};
[[nodiscard]] FreezingHeat freezing_heat(Grams catch_mass, Celsius from, Celsius to);

struct IceNeed {
    Grams for_freezing{};
    Grams for_box{};
    Grams reserve{};
    [[nodiscard]] Grams all() const { return for_freezing + for_box + reserve; }
};
/// `loss_per_hour`: share of what is left that a box loses.
[[nodiscard]] Result<IceNeed> ice_needed(Grams catch_mass, seconds out, Fraction loss_per_hour,
                                         std::optional<Celsius> from = std::nullopt);
[[nodiscard]] double default_loss_per_hour();
/// What is left after a time, nothing put in to freeze.
[[nodiscard]] Grams ice_left(Grams mass, Fraction loss_per_hour, seconds time);
/// Until `least` is left; empty when there is less to begin with.
[[nodiscard]] std::optional<seconds> ice_lasts(Grams mass, Fraction loss_per_hour, Grams least);

struct CabAir {
    double steady_ppm = 0;                 ///< when it has settled; sealed: without bound
    std::optional<seconds> until_warning;  ///< empty: never
    std::optional<seconds> until_limit;    ///< empty: never
    double least_air = 0;                  ///< cubic metres an hour that keep to the warning
    std::string words;
};
/// `air_changes` an hour; nought is a sealed cab.
[[nodiscard]] Result<CabAir> cab_air(Grams ice, Fraction loss_per_hour, double cab_cubic_metres,
                                     double air_changes);
/// Cubic metres of gas a kilogram gives at 20 C and one atmosphere.
[[nodiscard]] double gas_per_kilogram();
/// Parts per million after a time, starting from outside air.
[[nodiscard]] double cab_ppm(Grams lost_per_hour, double cab_cubic_metres, double air_changes,
                             seconds time);

}  // namespace nestround::access
