// Stage and yield of 100,000 nests, ten taxa, traffic counted at half of them, with three years of
// daily weather at 20 stations that move the season: within a county, and over 20 degrees of
// latitude, where a colony of each taxon is made at each degree. The first pass makes the
// colonies; the later ones must allocate nothing. All times are of one thread.
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <memory>
#include <new>
#include <numbers>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/random.hpp"
#include "geocore/nature/season_heat.hpp"
#include "geocore/place/geodesic.hpp"
#include "planner/yield/outlook.hpp"

namespace {
std::size_t allocations = 0;
}

void* operator new(std::size_t size)
{
    ++allocations;
    if (void* memory = std::malloc(size)) {
        return memory;
    }
    throw std::bad_alloc{};
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

namespace {

using namespace nestround;

constexpr int kNests = 100000;
constexpr LonLat kDepot{Longitude{-80}, Latitude{40}};
const Day kOn = *parse_day("2026-08-20");
const Day kFirst = *parse_day("2023-08-20");

// Processor time, so that others at work on the machine do not count.
double clock_now() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

/// Years as sines with noise; the last spring is warmer, so that the season moves.
std::vector<nature::StationSeries> stations()
{
    Random random{7};
    std::vector<nature::StationSeries> all;
    for (int i = 0; i < 20; ++i) {
        const LonLat at{Longitude{kDepot.lon.value() + random.uniform(-0.4, 0.4)},
                        Latitude{kDepot.lat.value() + random.uniform(-0.4, 0.4)}};
        nature::StationSeries one{"S" + std::to_string(i),
                                  place::geodesic_distance(kDepot, at),
                                  Metres{random.uniform(100, 400)},
                                  {}};
        for (Day day = kFirst; day < kOn; day += std::chrono::days{1}) {
            const auto since = static_cast<double>((day - kFirst).count());
            const double year = std::cos((since - 334) / 365.25 * 2 * std::numbers::pi);
            const double warm = since > 820 ? 1.5 : 0;
            const double middle = 11 + 13 * year + warm + random.uniform(-4, 4);
            one.days.push_back({day, {Celsius{middle - 5}, Celsius{middle + 6}}});
        }
        all.push_back(std::move(one));
    }
    return all;
}

struct Pass {
    double seconds = 0;
    double workers = 0;
};

Pass pass(yield::Forecaster& forecaster, Latitude low, Latitude high)
{
    constexpr std::array taxa{"VMAC", "VGER", "DMAC", "DARE", "VCRA",
                              "PFUS", "PDOM", "VSQU", "VPEN", "VVUL"};
    Random random{1};
    Pass result;
    const double begin = clock_now();
    for (int i = 0; i < kNests; ++i) {
        Nest nest;
        nest.taxon = taxa.at(random.below(taxa.size()));
        nest.kind = NestKind::Aerial;
        const LonLat place{Longitude{-80}, Latitude{random.uniform(low.value(), high.value())}};
        nature::Observation seen;
        seen.look = nature::Look::Traffic;
        seen.day = 232;
        seen.value = random.uniform(2, 45);
        const std::span<const nature::Observation> all{&seen, i % 2 == 0 ? 0U : 1U};
        result.workers += forecaster.numbers(nest, place, kOn, all).workers.middle;
    }
    result.seconds = clock_now() - begin;
    return result;
}

/// False when a later pass allocates.
bool region(const char* name, const std::vector<nature::StationSeries>& series, Latitude low,
            Latitude high)
{
    const auto& table = nature::standard_taxa();
    const double begin = clock_now();
    const auto weather = nature::weather_at(
        std::nullopt, series, kFirst, kOn - std::chrono::days{1}, nature::station_rules(table));
    yield::YieldSettings settings;
    settings.shift = std::make_shared<const nature::SeasonShift>(
        nature::season_shift(table, {true, true}, weather.days, kDepot.lat, 2026));
    const double weather_seconds = clock_now() - begin;
    std::printf("%s: weather of %zu stations, %zu days: %.3f s; season starts %+.0f days\n", name,
                series.size(), weather.days.size(), weather_seconds, settings.shift->start.middle);
    yield::Forecaster forecaster{table, settings};
    double first = 0;
    for (int i = 0; i < 3; ++i) {
        allocations = 0;
        const auto one = pass(forecaster, low, high);
        const double seconds = one.seconds + (i == 0 ? weather_seconds : 0);
        first = i == 0 ? seconds : first;
        std::printf("  pass %d%s: %.2f s, %.2f of the first, %zu allocations (%.0f workers)\n", i,
                    i == 0 ? " with the weather" : "", seconds, seconds / first, allocations,
                    one.workers);
        if (i > 0 && allocations > 0) {
            return false;
        }
    }
    return true;
}

}  // namespace

int main()
{
    const auto series = stations();
    const bool county = region("a county, 39.5 to 40.5 N", series, Latitude{39.5}, Latitude{40.5});
    const bool wide = region("20 degrees, 28 to 48 N", series, Latitude{28}, Latitude{48});
    return county && wide ? 0 : 1;
}
