#include "planner/yield/harvest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace nestround::yield {

namespace {

using nature::Part;

/// Steps that fill 0 to 1 evenly, one for each thing that a course draws for itself here: the
/// fractional parts of powers of the root of x^6 = x + 1 (Roberts' sequence).
constexpr std::array kSteps{0.8812714616335696, 0.7766393890897682, 0.6844301295853426,
                            0.6031686406267863, 0.5315553977157913};

[[nodiscard]] double drawn(std::size_t course, std::size_t thing)
{
    return std::fmod(0.5 + kSteps[thing] * static_cast<double>(course + 1), 1.0);
}

/// Straight lines through 10, 50 and 90 %.
[[nodiscard]] double at_chance(const Spread<double>& spread, double chance)
{
    const double slope =
        chance < 0.5 ? (spread.middle - spread.low) / 0.4 : (spread.high - spread.middle) / 0.4;
    return spread.middle + slope * (chance - 0.5);
}

[[nodiscard]] Spread<double> spread_of(const Figure* row, Spread<double> unknown)
{
    return row == nullptr ? unknown : Spread<double>{row->lowest(), row->middle(), row->highest()};
}

template <class Unit>
[[nodiscard]] Spread<Unit> in(const Spread<double>& spread)
{
    return {Unit{spread.low}, Unit{spread.middle}, Unit{spread.high}};
}

[[nodiscard]] bool is_too_cold(const nature::TaxaTable& table, std::string_view taxon, Celsius air)
{
    if (const auto* row = table.figure(taxon, "flight.none_at")) {
        return air.value() <= row->middle();
    }
    if (const auto* row = table.figure(taxon, "flight.cold")) {
        return air.value() < row->lowest() - 2;  // active there: only well below is nobody out
    }
    const auto* range = table.figure(taxon, "flight.range");
    return range != nullptr && air.value() < range->lowest();
}

}  // namespace

std::string_view text(Light light)
{
    switch (light) {
        case Light::Day:
            return "day";
        case Light::Twilight:
            return "twilight";
        case Light::Night:
            return "night";
    }
    return "day";
}

Spread<double> away(const nature::TaxaTable& table, std::string_view taxon,
                    const HarvestConditions& conditions)
{
    if (conditions.air && is_too_cold(table, taxon, *conditions.air)) {
        return {0, 0, 0};
    }
    return spread_of(table.figure(taxon, "away." + std::string{text(conditions.light)}),
                     {0, 0.25, 0.5});
}

Harvest harvest(const nature::TaxaTable& table, const NestCourses& courses, bool insecticide,
                const HarvestConditions& conditions, const HarvestSettings& settings)
{
    Harvest result;
    const auto all = courses.season->courses();
    const std::size_t n = all.size();
    const auto values = [&](Part part) {
        std::vector<double> out(n);
        courses.season->values(part, courses.day, out);
        return out;
    };
    const auto workers = values(Part::Workers);
    const auto small = values(Part::SealedSmall);
    const auto large = values(Part::SealedLarge);
    const auto gynes = values(Part::Gynes);
    const auto males = values(Part::Males);
    const double kept =
        1 - spread_of(table.figure("all", "freezing_loss"), {0.01, 0.03, 0.05}).middle;
    const double dose = spread_of(table.figure("all", "venom.per_dose"), {100, 100, 100}).middle;

    std::vector<double> caught(n);
    std::vector<double> missed(n);
    std::vector<double> brood(n);
    std::vector<double> sexual_brood(n);
    std::vector<double> frozen(n);
    std::vector<double> later(n);
    std::vector<double> venom(n);
    bool is_assayed = true;
    bool has_venom_row = true;
    for (std::size_t i = 0; i < n; ++i) {
        const std::string& taxon = all[i].taxon->code;
        const double level = std::max(0.0, at_chance(courses.level, drawn(i, 0)));
        const double alive = workers[i] * level;
        // The share caught is that of a visit by day; more are at home when fewer are out.
        const double out_now =
            std::clamp(at_chance(away(table, taxon, conditions), drawn(i, 1)), 0.0, 0.95);
        const double out_by_day =
            std::clamp(at_chance(away(table, taxon, {}), drawn(i, 1)), 0.0, 0.95);
        const double share = std::clamp(
            at_chance(courses.catch_share, all[i].chance) * (1 - out_now) / (1 - out_by_day), 0.0,
            1 - out_now);
        const double saved = std::clamp(
            at_chance(spread_of(table.figure(taxon, "emergence.saved"), {0.4, 0.7, 0.95}),
                      drawn(i, 2)),
            0.0, 1.0);
        const double grams = nestround::grams(all[i].worker_mass).value() * courses.mass * kept;
        caught[i] = alive * share;
        missed[i] = alive - caught[i];
        // Sealed cells alone: eggs and open larvae fail without nurses.
        brood[i] = alive > 0 ? small[i] * level * saved : 0;
        sexual_brood[i] = alive > 0 ? large[i] * level * saved : 0;
        frozen[i] = caught[i] * grams;
        later[i] = brood[i] * grams;
        double each = 0;
        if (const auto assay = settings.assay_ug.find(taxon); assay != settings.assay_ug.end()) {
            each = assay->second;
        } else {
            is_assayed = false;
            const auto* row = table.figure(taxon, "venom.protein_per_sting");
            has_venom_row = has_venom_row && row != nullptr;
            if (row != nullptr) {
                each = row->lowest() + (row->highest() - row->lowest()) * drawn(i, 3);
            }
        }
        venom[i] = (caught[i] + brood[i]) * each;
    }

    const auto of = [&](std::vector<double> each) {
        return nature::Season::spread(nature::make_sample(std::move(each)), courses.weights);
    };
    result.workers_caught = of(std::move(caught));
    result.workers_missed = of(std::move(missed));
    result.brood_workers = of(std::move(brood));
    result.brood_sexuals = of(std::move(sexual_brood));
    result.gynes = of(gynes);
    result.males = of(males);
    result.by_assay = is_assayed;
    if (insecticide) {
        result.notes.emplace_back("insecticide was used: nothing of it may go to a laboratory");
        return result;
    }
    const auto protein = of(std::move(venom));
    result.frozen = in<Grams>(of(std::move(frozen)));
    result.later = in<Grams>(of(std::move(later)));
    result.venom = in<Micrograms>(protein);
    result.doses = {protein.low / dose, protein.middle / dose, protein.high / dose};
    if (!is_assayed) {
        result.notes.emplace_back(
            has_venom_row
                ? "venom is a floor, one sting of each worker: a sac holds more; set a buyer's "
                  "assay "
                  "with yield.assay_ug.TAXON"
                : "venom: no figure for some of the taxa it may be; they are counted as none");
    }
    result.notes.emplace_back(
        "eggs and open larvae are counted as none: they fail without nurses; males carry no venom; "
        "workers that emerge may need days until their venom is full (no published figure)");
    if (conditions.light != Light::Day) {
        result.notes.push_back(
            fmt::format("at {} more workers are at home: the share out is an assumption",
                        text(conditions.light)));
    }
    if (conditions.air && n > 0 && is_too_cold(table, all.front().taxon->code, *conditions.air)) {
        result.notes.emplace_back("too cold for flights: all workers are taken to be at home");
    }
    return result;
}

}  // namespace nestround::yield
