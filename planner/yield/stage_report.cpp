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

/// A colony of another level than the calendar's: dates and stages stay.
nature::ColonyDay scaled(nature::ColonyDay day, double level)
{
    using Day = nature::ColonyDay;
    if (level != 1) {
        for (const auto part : {&Day::workers, &Day::eggs, &Day::larvae, &Day::sealed_small,
                                &Day::sealed_large, &Day::gynes, &Day::males, &Day::cells}) {
            auto& spread = day.*part;
            spread = {spread.low * level, spread.middle * level, spread.high * level};
        }
    }
    return day;
}

}  // namespace

StageReport stage_report(const nature::TaxaTable& table, const CallSheet& sheet, Day on,
                         std::vector<nature::Observation> seen, const YieldSettings& settings)
{
    const auto& nest = sheet.nest;
    const LonLat place = sheet.site.place;
    const auto candidates =
        nature::candidates(table, nest.taxon, std::string{text(nest.kind)}, place);
    const auto season = nature::Season::make(table, candidates, place.lat);
    auto figures = nature::LookFigures::of(table);

    StageReport report;
    report.on = on;
    report.latitude = place.lat.value();
    report.season = nest.season != 0 ? nest.season : nature::season_of(on, place.lat);
    report.taxon = candidates.size() == 1 ? candidates.front().taxon->name
                                          : fmt::format("one of {} wasps", candidates.size());
    const auto calendar = season.dates();
    const auto day_of = [&](Day at) {
        const double plain = nature::season_day(at, place.lat, report.season);
        return settings.shift == nullptr
                   ? plain
                   : plain - std::round(settings.shift->on(plain, calendar.founding.middle,
                                                           calendar.end.middle));
    };
    const double day = day_of(on);
    if (settings.shift != nullptr) {
        report.rests_on = settings.shift->words;
    }
    if (candidates.size() == 1 && settings.learned && settings.learned->records() > 0) {
        const auto& own = *settings.learned;
        const auto& taxon = *candidates.front().taxon;
        figures.level = own.level(taxon.code).middle;
        report.rests_on.push_back(
            fmt::format("{} own records, {} of them of {}: colonies {:.2f} times the calendar's",
                        own.records(), own.records_of(taxon.code), taxon.name, figures.level));
    }
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
            first.day = day_of(*nest.first_seen);
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
    const auto state_on = [&](const nature::Season& of, std::span<const double> its) {
        return scaled(of.on(day, its), figures.level);
    };
    report.prior = state_on(season, weights);
    auto before = report.prior;
    for (const auto& one : all) {
        StageStep step;
        step.words = words_of(one, figures);
        step.done =
            nature::weigh(season, figures, one, weights, room, typical_litres, typical_cells);
        const auto after = state_on(season, weights);
        step.workers_before = before.workers;
        step.workers_after = after.workers;
        step.stage_before = before.likeliest();
        step.stage_after = after.likeliest();
        step.chance_before = before.chance(step.stage_before);
        step.chance_after = after.chance(step.stage_after);
        if (step.done.heeded == nature::Heeded::Contradicts) {
            report.widened = true;
            report.warnings.push_back(fmt::format(
                "{}: next to no such colony goes with it here on that day. Is wasp, day or count "
                "right?",
                text(one.look)));
        }
        report.steps.push_back(std::move(step));
        before = after;
    }
    report.now = before;
    if (report.widened) {
        // One of wasp, calendar and sight is wrong, and nobody knows which: hold all of them.
        report.now = nature::either(report.now, report.prior);
        auto others = nature::candidates(table, {}, std::string{text(nest.kind)}, place);
        if (candidates.size() == 1) {
            const auto any = nature::Season::make(table, others, place.lat);
            std::vector<double> theirs(any.weights().begin(), any.weights().end());
            std::vector<double> their_room(theirs.size());
            figures.level = 1;
            for (const auto& one : all) {
                (void)nature::weigh(any, figures, one, theirs, their_room);
            }
            report.now = nature::either(report.now, any.on(day, theirs));
        }
        report.warnings.push_back(fmt::format(
            "what is known does not go together: the forecast is widened to hold {} as the "
            "calendar has it and any wasp that nests so here, {:.0f} to {:.0f} workers in place of "
            "{:.0f} to {:.0f}",
            report.taxon, report.now.workers.low, report.now.workers.high, before.workers.low,
            before.workers.high));
    }
    report.dates = season.dates(weights);
    report.effective = nature::effective_number(weights);
    if (report.now.chance(nature::Stage::NotYet) > 0.9) {
        report.warnings.emplace_back("on this day hardly any such colony has been founded");
    }
    return report;
}

}  // namespace nestround::yield
