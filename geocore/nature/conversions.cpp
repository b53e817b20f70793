#include "geocore/nature/conversions.hpp"

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

}  // namespace nestround::nature
