// The season before: invented calls, each worked, and what was caught. The colonies are drawn here
// by curves of the generator's own, not by the program's calendar, so that there is a truth to
// learn.
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "demo-region/calls.hpp"
#include "demo-region/tables.hpp"

namespace nestround::demo {
namespace {

constexpr int kYear = 2025;
constexpr int kPastCalls = 120;

/// A species in this county, all of it made up. Days are days of the year.
struct Truth {
    std::string_view species;
    double workers;  ///< at the peak of a middling colony, level of the county included
    double half;     ///< day on which half of them are there
    double decline;  ///< day from which they grow fewer
    double mass_mg;
};

constexpr std::array<Truth, 7> kTruth{{
    {"Vespula maculifrons", 2700, 222, 290, 61},
    {"Vespula germanica", 1350, 228, 296, 77},
    {"Dolichovespula maculata", 560, 207, 252, 168},
    {"Dolichovespula arenaria", 240, 192, 238, 83},
    {"Vespa crabro", 340, 222, 278, 470},
    {"Polistes fuscatus", 26, 188, 240, 118},
    {"Polistes dominula", 55, 188, 240, 94},
}};

constexpr double kSizeSpread = 0.45;   ///< of ln(workers) from colony to colony
constexpr double kShareSpread = 0.45;  ///< of logit(share) from visit to visit
constexpr double kRiverCrew = 0.5;     ///< its skill, on logit(share)
constexpr double kHillCrew = -0.4;
constexpr double kFreezingLoss = 0.03;

double share_of_kind(std::string_view kind)
{
    return kind == "aerial" ? 0.72 : kind == "ground" ? 0.58 : 0.5;
}

double alive(const Truth& truth, double peak, int day)
{
    const double rise = 1 / (1 + std::exp(-(day - truth.half) / 13));
    const double late = std::max(0.0, day - truth.decline) / 22;
    return peak * rise * std::exp(-late * late);
}

struct Way {
    const char* method;
    double effect;  ///< on logit(share)
};

Way way_to(double height_m, Random& random)
{
    if (height_m < 2) {
        return {"hand", 0.15};
    }
    if (height_m < 5) {
        return random.chance(0.6) ? Way{"ground_pole", -0.35} : Way{"ladder", 0.2};
    }
    return random.chance(0.5) ? Way{"ladder", 0.2} : Way{"pole_then_ladder", 0};
}

const Truth& truth_of(const std::string& species, Random& random)
{
    const auto* found = std::find_if(kTruth.begin(), kTruth.end(),
                                     [&](const Truth& one) { return one.species == species; });
    // What the caller could not name is a yellowjacket of one kind or the other.
    return found != kTruth.end() ? *found : kTruth[random.below(2)];
}

}  // namespace

PastSeason past_season(const County& county)
{
    Random random{county.seed ^ 0x70617374U};
    NameMaker names{county.seed ^ 0x6f6c6465U};
    std::vector<DrawnCall> calls;
    while (calls.size() < kPastCalls) {
        DrawnCall call = draw_call(county, random, names, kYear, false);
        const Truth& truth = truth_of(call.species, random);
        const Day taken = call.received + std::chrono::days{1 + static_cast<int>(random.below(9))};
        const double peak = truth.workers * std::exp(random.normal(0, kSizeSpread));
        const double workers = alive(truth, peak, day_of_year(taken));
        const bool river = random.chance(0.55);
        const Way way = way_to(call.height_m, random);
        const double middle = share_of_kind(call.nest_kind);
        const double logit = std::log(middle / (1 - middle)) + (river ? kRiverCrew : kHillCrew) +
                             way.effect + random.normal(0, kShareSpread);
        const int caught = static_cast<int>(std::lround(workers / (1 + std::exp(-logit))));
        const double mass_mg = truth.mass_mg * std::exp(random.normal(0, 0.06));
        const bool counted = random.chance(caught < 120 ? 0.9 : 0.3);
        // Nobody freezes poisoned wasps, and nobody goes for a colony that hardly is one.
        if (call.insecticide || caught < 5) {
            continue;
        }
        const bool males = day_of_year(taken) > 262 && random.chance(0.15);
        call.worked = fmt::format("{},{},{},{},{:.1f},{},{}\n", format_day(taken), way.method,
                                  river ? "River crew" : "Hill crew", truth.species,
                                  caught * mass_mg / 1000 * (1 - kFreezingLoss),
                                  counted ? fmt::format("{}", caught) : "", males ? "yes" : "no");
        calls.push_back(std::move(call));
    }
    PastSeason result;
    result.calls = calls_table(calls, 'P');
    result.catches = "call,taken,method,crew,species,mass_g,count,males\n";
    for (const DrawnCall& call : calls) {
        result.catches += call.key + ',' + call.worked;
    }
    return result;
}

}  // namespace nestround::demo
