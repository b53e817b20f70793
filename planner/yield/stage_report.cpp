#include "planner/yield/stage_report.hpp"

#include <fmt/format.h>

#include <cmath>

namespace nestround::yield {

namespace {

using nature::Look;
using nature::Observation;

std::string words_of(const Observation& one, const nature::LookFigures& figures)
{
    switch (one.look) {
        case Look::SeenAlive:
            return "seen alive: no colony that began later or was over";
        case Look::Traffic:
            return one.value > 0
                       ? fmt::format(
                             "traffic of {:g} a minute{} speaks of {:.0f} workers ({} a flight, "
                             "one direction)",
                             one.value, one.rain ? " in rain, over 0.70," : "",
                             workers_of_traffic(figures, one.value, one.rain),
                             figures.traffic_workers)
                       : fmt::format("quiet: no wasp in {:g} minutes", one.minutes);
        case Look::Cells:
            return fmt::format("{:.0f} cells, {}", one.value,
                               one.counted ? "counted" : "estimated");
        case Look::Combs:
            return fmt::format("{:.0f} combs", one.value);
        case Look::CombArea:
            return fmt::format("{:.0f} cm2 of comb speak of {:.0f} cells", one.value,
                               one.value * figures.cells_per_cm2);
        case Look::Size:
            return fmt::format("outer size of {:.1f} litres", one.value);
        case Look::LargeCells:
            return one.yes ? "large cells seen" : "looked for large cells, none seen";
        case Look::SexualsFlying:
            return one.yes ? "queens or males seen flying" : "no queens or males seen flying";
    }
    return {};
}

}  // namespace

StageReport stage_report(const nature::TaxaTable& table, const CallSheet& sheet, Day on,
                         std::vector<nature::Observation> seen)
{
    const auto& nest = sheet.nest;
    const LonLat place = sheet.site.place;
    const auto candidates =
        nature::candidates(table, nest.taxon, std::string{text(nest.kind)}, place);
    const auto season = nature::Season::make(table, candidates, place.lat);
    const auto figures = nature::LookFigures::of(table);

    StageReport report;
    report.on = on;
    report.latitude = place.lat.value();
    report.season = nest.season != 0 ? nest.season : nature::season_of(on, place.lat);
    report.taxon = candidates.size() == 1 ? candidates.front().taxon->name
                                          : fmt::format("one of {} wasps", candidates.size());
    const double day = nature::season_day(on, place.lat, report.season);
    if (!nest.taxon.empty() && candidates.size() > 1) {
        report.warnings.push_back(
            fmt::format("taxon '{}' names no single wasp of the table: all that nest so here are "
                        "mixed (see taxa list)",
                        nest.taxon));
    }

    std::vector<Observation> all;
    if (nest.first_seen) {
        if (*nest.first_seen > on) {
            report.warnings.emplace_back("first seen after the day of the forecast: not heeded");
        } else {
            Observation first;
            first.day = nature::season_day(*nest.first_seen, place.lat, report.season);
            all.push_back(first);
        }
    }
    const auto* code = candidates.size() == 1 ? candidates.front().taxon : nullptr;
    double typical_litres = 0;
    double typical_cells = 0;
    if (code != nullptr) {
        const auto* width = table.figure(code->code, "nest.width");
        const auto* length = table.figure(code->code, "nest.length");
        if (width != nullptr && length != nullptr) {
            typical_litres =
                nature::nest_litres(Metres{width->middle() / 100}, Metres{length->middle() / 100});
            for (const auto& course : season.courses()) {
                const auto& p = course.colony;
                typical_cells += course.weight * course.peak_workers * (1 + p.large_per_small) *
                                 (p.egg_days + p.larva_days + p.sealed_days) / p.worker_life;
            }
        }
        const auto* widest = table.figure(code->code, "nest.width_most");
        if (widest != nullptr && nest.width && nest.width->value() * 100 > widest->highest()) {
            report.warnings.push_back(fmt::format(
                "{:.0f} cm across is wider than the {:.0f} cm that the table knows: please check; "
                "it is used as it stands",
                nest.width->value() * 100, widest->highest()));
        }
    }
    if (nest.width && nest.length) {
        Observation size;
        size.look = Look::Size;
        size.day = day;  // nobody wrote when it was measured: this reads least into it
        size.value = nature::nest_litres(*nest.width, *nest.length);
        all.push_back(size);
    }
    for (auto& one : seen) {
        one.day = day;
        all.push_back(one);
    }

    std::vector<double> weights(season.weights().begin(), season.weights().end());
    std::vector<double> room(weights.size());
    report.prior = season.on(day, weights);
    auto before = report.prior;
    for (const auto& one : all) {
        StageStep step;
        step.words = words_of(one, figures);
        step.done =
            nature::weigh(season, figures, one, weights, room, typical_litres, typical_cells);
        const auto after = season.on(day, weights);
        step.workers_before = before.workers;
        step.workers_after = after.workers;
        step.stage_before = before.likeliest();
        step.stage_after = after.likeliest();
        step.chance_before = before.chance(step.stage_before);
        step.chance_after = after.chance(step.stage_after);
        if (step.done.heeded == nature::Heeded::Contradicts) {
            report.warnings.push_back(fmt::format(
                "{}: next to no such colony goes with it here on that day; not heeded, the "
                "forecast stays wide. Is wasp, day or count right?",
                text(one.look)));
        }
        report.steps.push_back(std::move(step));
        before = after;
    }
    report.now = before;
    report.dates = season.dates(weights);
    report.effective = nature::effective_number(weights);
    if (report.now.chance(nature::Stage::NotYet) > 0.9) {
        report.warnings.emplace_back("on this day hardly any such colony has been founded");
    }
    return report;
}

}  // namespace nestround::yield
