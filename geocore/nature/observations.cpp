#include "geocore/nature/observations.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

namespace nestround::nature {

namespace {

constexpr double kContradicts = 0.003;  // mean likelihood, of 1, below which nothing explains it
constexpr double kLeastEffective = 12;  // courses' worth of weight that must be left
constexpr double kAnyWorkers = 0.5;
constexpr int kHalvings = 10;  // of the power: a thousandth is near enough

double squared(double x) { return x * x; }

/// The likelihood of a logarithm off by `off`, over that of an exact fit.
double bell(double off, double spread) { return std::exp(-squared(off / spread) / 2); }

/// Yes or no of something that is there or not.
double answer(const LookFigures& figures, bool there, bool yes)
{
    const double seen = there ? 1 - figures.missed : figures.slip;
    return (yes ? seen : 1 - seen);
}

void traffic(const Season& season, const LookFigures& figures, const Observation& seen,
             std::span<double> room)
{
    season.values(Part::Workers, seen.day, room);
    const auto courses = season.courses();
    const double minutes = std::max(seen.minutes, 1.0);
    // A count is worth what the peak of the day would be, times the hour's share.
    const double per_minute = seen.value / (seen.rain ? 1 - figures.rain_cut : 1);
    const double counting = 1 / (std::max(seen.value, 0.1) * minutes);  // Poisson, relative
    const double narrow = squared(figures.traffic_spread) + squared(figures.day_spread) + counting;
    const double wide = narrow + squared(figures.other_genus);
    const Taxon* taxon = nullptr;  // courses of one taxon stand side by side
    double variance = narrow;
    for (std::size_t i = 0; i < room.size(); ++i) {
        if (courses[i].taxon != taxon) {
            taxon = courses[i].taxon;
            variance = taxon->genus == "Vespula" ? narrow : wide;
        }
        const double expected = room[i] * figures.level / figures.traffic_workers;
        if (seen.value <= 0) {
            // A quiet nest: no worker, or none flew in the minutes of looking.
            const double quiet =
                room[i] < kAnyWorkers ? 1 : std::exp(-expected * figures.day_mean * minutes);
            room[i] = figures.slip + (1 - figures.slip) * quiet;
            continue;
        }
        if (room[i] < kAnyWorkers) {
            room[i] = 0;
            continue;
        }
        room[i] = std::exp(-squared(std::log(per_minute / expected)) / (2 * variance));
    }
}

void amount(const Season& season, double day, double logarithm, double spread, double power,
            double level, std::span<double> room)
{
    season.cells(day, room);
    for (auto& one : room) {
        one = one < 1 ? 0 : bell(power * (std::log(one * level) - logarithm), spread);
    }
}

}  // namespace

std::string_view text(Look look)
{
    constexpr std::array words{std::string_view{"seen alive"},
                               std::string_view{"traffic at the entrance"},
                               std::string_view{"cells"},
                               std::string_view{"combs"},
                               std::string_view{"area of the combs"},
                               std::string_view{"outer size"},
                               std::string_view{"large cells"},
                               std::string_view{"queens or males flying"}};
    return words[static_cast<std::size_t>(look)];
}

LookFigures LookFigures::of(const TaxaTable& table)
{
    LookFigures figures;
    const auto take = [&](std::string_view subject, std::string_view parameter, double& value) {
        if (const auto* row = table.figure(subject, parameter)) {
            value = row->middle();
        }
    };
    take("Vespula", "traffic.workers_per_minute", figures.traffic_workers);
    take("Vespula", "traffic.rain_cut", figures.rain_cut);
    take("Vespula", "cells.per_cm2", figures.cells_per_cm2);
    take("all", "observe.traffic_spread", figures.traffic_spread);
    take("all", "observe.traffic_day_mean", figures.day_mean);
    take("all", "observe.traffic_day_spread", figures.day_spread);
    take("all", "observe.traffic_other_genus", figures.other_genus);
    take("all", "observe.cells_counted", figures.cells_counted);
    take("all", "observe.cells_estimated", figures.cells_estimated);
    take("all", "observe.combs", figures.combs);
    take("all", "observe.area", figures.area);
    take("all", "observe.size", figures.size);
    take("all", "observe.slip", figures.slip);
    take("all", "observe.missed", figures.missed);
    return figures;
}

double workers_of_traffic(const LookFigures& figures, double per_minute, bool rain)
{
    return figures.traffic_workers * per_minute / (rain ? 1 - figures.rain_cut : 1);
}

double effective_number(std::span<const double> weights)
{
    double sum = 0;
    double squares = 0;
    for (const double one : weights) {
        sum += one;
        squares += one * one;
    }
    return squares > 0 ? sum * sum / squares : 0;
}

double nest_litres(Metres width, Metres length)
{
    constexpr double litres = 1000;
    return std::numbers::pi / 6 * width.value() * width.value() * length.value() * litres;
}

Weighed weigh(const Season& season, const LookFigures& figures, const Observation& seen,
              std::span<double> weights, std::span<double> room, double typical_litres,
              double typical_cells)
{
    assert(weights.size() == season.courses().size() && room.size() == weights.size());
    const auto courses = season.courses();
    switch (seen.look) {
        case Look::SeenAlive:
            for (std::size_t i = 0; i < room.size(); ++i) {
                room[i] = seen.day >= courses[i].founding && seen.day < courses[i].end ? 1 : 0;
            }
            break;
        case Look::Traffic:
            traffic(season, figures, seen, room);
            break;
        case Look::Cells:
            amount(season, seen.day, std::log(seen.value),
                   seen.counted ? figures.cells_counted : figures.cells_estimated, 1, figures.level,
                   room);
            break;
        case Look::Combs: {
            // The line of combs_of, turned round; a comb more or less is the rest of the spread.
            constexpr double scale = 0.558;
            constexpr double power = 0.3;
            amount(season, seen.day, std::log(seen.value / scale) / power, figures.combs, power,
                   figures.level, room);
            for (std::size_t i = 0; i < room.size(); ++i) {
                if (!courses[i].colony.separate_large) {
                    room[i] = seen.value <= 1 && seen.day >= courses[i].founding ? 1 : 0;
                }
            }
            break;
        }
        case Look::CombArea:
            amount(season, seen.day, std::log(seen.value * figures.cells_per_cm2),
                   std::hypot(figures.area, seen.counted ? 0 : figures.cells_estimated), 1,
                   figures.level, room);
            break;
        case Look::Size:
            if (!(typical_litres > 0 && typical_cells > 0 && seen.value > 0)) {
                return {Heeded::ToldNothing, effective_number(weights), 1};
            }
            amount(season, seen.day, std::log(typical_cells * seen.value / typical_litres),
                   figures.size, 1, figures.level, room);
            break;
        case Look::LargeCells:
            for (std::size_t i = 0; i < room.size(); ++i) {
                room[i] =
                    answer(figures, seen.day >= courses[i].large_cells && seen.day < courses[i].end,
                           seen.yes);
            }
            break;
        case Look::SexualsFlying:
            for (std::size_t i = 0; i < room.size(); ++i) {
                room[i] = answer(
                    figures, seen.day >= courses[i].sexuals && seen.day < courses[i].end, seen.yes);
            }
            break;
    }

    const double before = effective_number(weights);
    double mean = 0;
    double most = 0;
    double least = 1;
    for (std::size_t i = 0; i < room.size(); ++i) {
        mean += weights[i] * room[i];
        if (weights[i] > 0) {
            most = std::max(most, room[i]);
            least = std::min(least, room[i]);
        }
    }
    Weighed result{Heeded::ToldNothing, before, mean};
    if (most == least && most > kContradicts) {
        return result;
    }
    if (!(mean > kContradicts)) {
        result.heeded = Heeded::Contradicts;
        return result;
    }
    // How many courses' worth is left when the likelihood counts with this power?
    const auto left = [&](double power) {
        double sum = 0;
        double squares = 0;
        for (std::size_t i = 0; i < room.size(); ++i) {
            const double w =
                weights[i] > 0 && room[i] > 0
                    ? weights[i] * (power == 1 ? room[i] : std::pow(room[i] / most, power))
                    : 0;
            sum += w;
            squares += w * w;
        }
        return squares > 0 ? sum * sum / squares : 0;
    };
    double power = 1;
    result.heeded = Heeded::Told;
    if (const double floor = std::min(kLeastEffective, before); left(1) < floor) {
        if (left(0) < floor) {
            // Hard facts leave no more: few courses were alive. Narrower is not known.
            result.heeded = Heeded::Softened;
        } else {
            double low = 0;
            double high = 1;
            for (int i = 0; i < kHalvings; ++i) {
                const double middle = (low + high) / 2;
                (left(middle) < floor ? high : low) = middle;
            }
            power = low;
            result.heeded = Heeded::Softened;
        }
    }
    double total = 0;
    for (std::size_t i = 0; i < room.size(); ++i) {
        weights[i] *= room[i] > 0 ? (power == 1 ? room[i] : std::pow(room[i] / most, power)) : 0;
        total += weights[i];
    }
    for (auto& one : weights) {
        one /= total;
    }
    result.effective = effective_number(weights);
    return result;
}

}  // namespace nestround::nature
