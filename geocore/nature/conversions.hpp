/// \file conversions.hpp
/// \brief From what can be counted to what is wanted: traffic, comb, brood, masses, doses.
///
/// Purpose:  the published regressions and ratios, each with its constant read from the table.
/// Units:    in names and types; traffic in wasps per minute.
/// Range:    counts and amounts >= 0.
/// Accuracy: traffic about +/- 40 % as a field forecast, mainly for mature Vespula; comb ratio
/// about
///           +/- 15 % on other Vespula nests.
/// Errors:   a table without the row throws Failure naming it.
/// Source:   each row's own; see `taxa show`.
#pragma once

#include <string_view>

#include "geocore/nature/taxa_table.hpp"
#include "geocore/units/units.hpp"

namespace nestround::nature {

/// Lowest and highest of a published range.
template <class T>
struct Range {
    T low{};
    T high{};
};

/// Workers of a colony from wasps per minute at its entrance in dry weather.
[[nodiscard]] double workers_from_traffic(const TaxaTable& table, std::string_view taxon,
                                          double per_minute);
/// What traffic counted as rain sets in would be without rain.
[[nodiscard]] double dry_traffic(const TaxaTable& table, std::string_view taxon,
                                 double per_minute_in_rain);
/// Cells on a comb area, small and large mixed.
[[nodiscard]] double cells_on(const TaxaTable& table, std::string_view taxon,
                              double square_centimetres);

/// Live mass of that many workers.
[[nodiscard]] Grams live_mass(const TaxaTable& table, std::string_view taxon, double workers);
/// Workers in a live mass.
[[nodiscard]] double workers_in(const TaxaTable& table, std::string_view taxon, Grams mass);

/// Venom protein of one sting from each of so many workers: a floor, since a sac holds more.
[[nodiscard]] Range<Micrograms> venom_floor(const TaxaTable& table, std::string_view taxon,
                                            double workers);
/// Single-venom maintenance doses in an amount of protein.
[[nodiscard]] double doses_in(const TaxaTable& table, Micrograms protein);

/// Days that brood spends in each state, and its shares of all brood under even laying.
struct BroodStages {
    double egg_days = 0;
    double larva_days = 0;
    double pupa_days = 0;

    [[nodiscard]] double days() const { return egg_days + larva_days + pupa_days; }
    [[nodiscard]] double egg_share() const { return egg_days / days(); }
    [[nodiscard]] double larva_share() const { return larva_days / days(); }
    [[nodiscard]] double pupa_share() const { return pupa_days / days(); }
};
[[nodiscard]] BroodStages brood_stages(const TaxaTable& table, std::string_view taxon);
/// Adults a day from sealed cells of even ages.
[[nodiscard]] double emergence_per_day(const BroodStages& stages, double sealed_cells);
/// Adults out by then of sealed cells of even ages when no cell is sealed any more; none lost.
[[nodiscard]] double emerged_by(const BroodStages& stages, double sealed_cells, double days);

/// Brood of a comb by what is in its cells.
struct BroodCount {
    double eggs = 0;
    double open_larvae = 0;
    double sealed = 0;
};
/// Adults that a comb gives without nurses: sealed cells less the published loss of brood. That
/// loss was of the whole brood, so that the low end is a floor. Eggs and open larvae give nothing.
[[nodiscard]] Range<double> adults_without_nurses(const TaxaTable& table, std::string_view taxon,
                                                  const BroodCount& brood);
/// Adults that a comb has given already, from the faeces that each left at the bottom of its cell.
[[nodiscard]] double adults_made(double cells, double meconia_per_hundred_cells);

/// Whether foreign material of a lot is within the rule for source material.
[[nodiscard]] bool lot_is_pure(const TaxaTable& table, Grams lot, Grams foreign);
/// Females of a catch: males carry no venom.
[[nodiscard]] double venom_bearers(const TaxaTable& table, double females, double males);
/// Protein of each single venom in an amount of the mixed vespid product.
[[nodiscard]] Micrograms each_of_mixed_vespid(const TaxaTable& table, Micrograms mixed);

/// How hot it is for wasps held alive. Nothing below an alarm says that a temperature does no harm.
enum class HeatAlarm { None, Warn, ActivityEnds, Lethal };
[[nodiscard]] HeatAlarm heat_alarm(const TaxaTable& table, std::string_view taxon, Celsius air);

[[nodiscard]] double nests_per_km2(double nests, double hectares);
/// Denser than any count that was read.
[[nodiscard]] bool density_is_doubtful(const TaxaTable& table, double nests_per_square_km);
/// Of a nest in the ground, below the surface: negative.
[[nodiscard]] Metres ground_nest_height(const TaxaTable& table, std::string_view taxon);

}  // namespace nestround::nature
