/// \file figures.hpp
/// \brief What the taxa table says of brood away from its nest, as one value a wasp.
///
/// Purpose:  every number of this room, looked up once; nothing biological stands bare in its code.
/// Units:    days at the reference temperature; degrees Celsius; shares; hours; minutes.
/// Range:    low <= middle <= high; a row without bounds has all three alike.
/// Accuracy: as each row's mark: durations are published, their slope on temperature is not.
/// Errors:   Failure (NotFound) naming a row that is missing.
/// Source:   geocore/nature/taxa/*.csv; docs/science/brood.md.
#pragma once

#include <string_view>

#include "geocore/base/spread.hpp"
#include "geocore/nature/taxa_table.hpp"

namespace nestround::brood {

struct BroodFigures {
    double pupa_days = 14.8;  ///< sealed, at the reference temperature
    double larva_days = 10.5;
    Spread<double> days_factor{0.75, 1, 1.15};
    Spread<double> duration_cv{0.05, 0.1, 0.18};
    Spread<double> saved{0.6, 0.8, 0.95};
    Spread<double> larva_alone{0, 0.03, 0.1};
    Spread<double> larva_nursed{0.1, 0.3, 0.6};
    double larva_ripe = 0.25;
    double egg_alone = 0;
    Spread<double> gyne_ratio{1.1, 1.2, 1.3};  ///< sealed days of queens and males over workers
    Spread<double> gyne_share{0.3, 0.5, 0.65};
    Spread<double> threshold{10, 12, 13};
    double reference = 30;
    double range_low = 20;   ///< below, the rule is stretched
    double range_high = 34;  ///< above, brood develops no faster
    double most = 38;        ///< above, brood dies
    double lethal = 45.3;    ///< above, everything dies within the hour
    Spread<double> heat_half{1, 4, 12};
    double count_spread = 0.1;
    double death = 0.04;  ///< of waiting adults, a day
    int feed_days = 3;
    double collect_minutes = 15;
    double round_minutes = 10;  ///< beside those of each habitat
    double feed_minutes = 5;
    double venom_at_emergence = 0.2;
    double venom_full_age = 7;
    bool venom_is_published = false;  ///< whether ripening may be counted without being asked for
    double worker_mg = 100;           ///< live
    bool separate_large = true;       ///< queens and males grow in cells of their own
};

[[nodiscard]] BroodFigures brood_figures(const nature::TaxaTable& table, std::string_view taxon);

/// The value at a chance in (0, 1): straight through 10, 50 and 90 % and on.
[[nodiscard]] double at_chance(const Spread<double>& spread, double chance);

}  // namespace nestround::brood
