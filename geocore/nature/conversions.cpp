#include "geocore/nature/conversions.hpp"

#include <algorithm>
#include <string>

namespace nestround::nature {

namespace {

const Figure& row(const TaxaTable& table, std::string_view taxon, std::string_view parameter)
{
    const auto* found = table.figure(taxon, parameter);
    if (found == nullptr) {
        throw Failure{ErrorCode::NotFound, "the taxa table has no '" + std::string{parameter} +
                                               "' for '" + std::string{taxon} + "'"};
    }
    return *found;
}

double middle(const TaxaTable& table, std::string_view taxon, std::string_view parameter)
{
    return row(table, taxon, parameter).middle();
}

}  // namespace

double workers_from_traffic(const TaxaTable& table, std::string_view taxon, double per_minute)
{
    return middle(table, taxon, "traffic.workers_per_minute") * per_minute;
}

double dry_traffic(const TaxaTable& table, std::string_view taxon, double per_minute_in_rain)
{
    return per_minute_in_rain / (1 - middle(table, taxon, "traffic.rain_cut"));
}

double cells_on(const TaxaTable& table, std::string_view taxon, double square_centimetres)
{
    return middle(table, taxon, "cells.per_cm2") * square_centimetres;
}

Grams live_mass(const TaxaTable& table, std::string_view taxon, double workers)
{
    return workers * grams(Milligrams{middle(table, taxon, "mass.worker")});
}

double workers_in(const TaxaTable& table, std::string_view taxon, Grams mass)
{
    return mass / grams(Milligrams{middle(table, taxon, "mass.worker")});
}

Range<Micrograms> venom_floor(const TaxaTable& table, std::string_view taxon, double workers)
{
    const auto& sting = row(table, taxon, "venom.protein_per_sting");
    return {Micrograms{workers * sting.lowest()}, Micrograms{workers * sting.highest()}};
}

double doses_in(const TaxaTable& table, Micrograms protein)
{
    return protein.value() / middle(table, "all", "venom.per_dose");
}

BroodStages brood_stages(const TaxaTable& table, std::string_view taxon)
{
    return {middle(table, taxon, "brood.egg"), middle(table, taxon, "brood.larva"),
            middle(table, taxon, "brood.pupa")};
}

double emergence_per_day(const BroodStages& stages, double sealed_cells)
{
    return sealed_cells / stages.pupa_days;
}

double emerged_by(const BroodStages& stages, double sealed_cells, double days)
{
    return sealed_cells * std::clamp(days / stages.pupa_days, 0.0, 1.0);
}

Range<double> adults_without_nurses(const TaxaTable& table, std::string_view taxon,
                                    const BroodCount& brood)
{
    const auto& loss = row(table, taxon, "brood.loss");
    return {brood.sealed * (1 - loss.highest() / 100), brood.sealed * (1 - loss.lowest() / 100)};
}

double adults_made(double cells, double meconia_per_hundred_cells)
{
    return cells * meconia_per_hundred_cells / 100;
}

bool lot_is_pure(const TaxaTable& table, Grams lot, Grams foreign)
{
    return foreign.value() <= lot.value() * row(table, "all", "lot.foreign_most").middle() / 100;
}

double venom_bearers(const TaxaTable& table, double females, double males)
{
    return females + males * middle(table, "all", "venom.males");
}

Micrograms each_of_mixed_vespid(const TaxaTable& table, Micrograms mixed)
{
    return Micrograms{mixed.value() / middle(table, "all", "product.mixed_venoms")};
}

HeatAlarm heat_alarm(const TaxaTable& table, std::string_view taxon, Celsius air)
{
    if (air >= Celsius{middle(table, taxon, "heat.limit_breathing")}) {
        return HeatAlarm::Lethal;
    }
    if (air >= Celsius{middle(table, taxon, "heat.limit_activity")}) {
        return HeatAlarm::ActivityEnds;
    }
    return air >= Celsius{middle(table, taxon, "heat.warn")} ? HeatAlarm::Warn : HeatAlarm::None;
}

double nests_per_km2(double nests, double hectares) { return nests / hectares * 100; }

bool density_is_doubtful(const TaxaTable& table, double nests_per_square_km)
{
    return nests_per_square_km > middle(table, "all", "density.extreme");
}

Metres ground_nest_height(const TaxaTable& table, std::string_view taxon)
{
    return Metres{-middle(table, taxon, "nest.depth") / 100};
}

}  // namespace nestround::nature
