#include "planner/brood/figures.hpp"

#include <cmath>
#include <string>

#include "geocore/base/error.hpp"

namespace nestround::brood {

namespace {

class Rows {
public:
    Rows(const nature::TaxaTable& table, std::string_view taxon) : table_{table}, taxon_{taxon} {}

    [[nodiscard]] const Figure& row(std::string_view parameter) const
    {
        const auto* found = table_.figure(taxon_, parameter);
        if (found == nullptr) {
            throw Failure{ErrorCode::NotFound, "the taxa table has no '" + std::string{parameter} +
                                                   "' for '" + std::string{taxon_} + "'"};
        }
        return *found;
    }
    [[nodiscard]] double middle(std::string_view parameter) const
    {
        return row(parameter).middle();
    }
    [[nodiscard]] Spread<double> spread(std::string_view parameter) const
    {
        const Figure& figure = row(parameter);
        return {figure.lowest(), figure.middle(), figure.highest()};
    }

private:
    const nature::TaxaTable& table_;
    std::string_view taxon_;
};

}  // namespace

BroodFigures brood_figures(const nature::TaxaTable& table, std::string_view taxon)
{
    const Rows rows{table, taxon.empty() ? std::string_view{"all"} : taxon};
    BroodFigures f;
    f.pupa_days = rows.middle("brood.pupa");
    f.larva_days = rows.middle("brood.larva");
    f.days_factor = rows.spread("brood.days_factor");
    f.duration_cv = rows.spread("brood.duration_cv");
    f.saved = rows.spread("emergence.saved");
    f.larva_alone = rows.spread("brood.larva_alone");
    f.larva_nursed = rows.spread("brood.larva_nursed");
    f.larva_ripe = rows.middle("brood.larva_ripe");
    f.egg_alone = rows.middle("brood.egg_alone");
    f.gyne_ratio = rows.spread("brood.gyne_ratio");
    f.gyne_share = rows.spread("colony.gyne_share");
    f.threshold = rows.spread("brood.threshold");
    f.reference = rows.middle("brood.reference_temperature");
    f.range_low = rows.row("brood.untended_range").lowest();
    f.range_high = rows.row("brood.untended_range").highest();
    f.most = rows.middle("brood.untended_most");
    f.lethal = rows.middle("heat.limit_breathing");
    f.heat_half = rows.spread("brood.heat_half");
    f.count_spread = rows.middle("brood.count_spread");
    f.death = rows.middle("hold.death");
    f.feed_days = static_cast<int>(std::lround(rows.middle("hold.feed_days")));
    f.collect_minutes = rows.middle("collect.minutes");
    f.round_minutes = rows.middle("collect.round_minutes");
    f.feed_minutes = rows.middle("feed.minutes");
    f.venom_at_emergence = rows.middle("venom.at_emergence");
    const Figure& full = rows.row("venom.full_age");
    f.venom_full_age = full.middle();
    f.venom_is_published = full.mark == Mark::Published;
    f.worker_mg = rows.middle("mass.worker");
    f.separate_large = table.figure(taxon, "colony.single_comb") == nullptr;
    return f;
}

double at_chance(const Spread<double>& spread, double chance)
{
    const double slope =
        (chance < 0.5 ? spread.middle - spread.low : spread.high - spread.middle) / 0.4;
    return spread.middle + slope * (chance - 0.5);
}

}  // namespace nestround::brood
