#include "planner/access/noise.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/access/figures.hpp"

namespace nestround::access {

namespace {

struct Rule {
    double level;
    double exchange;
    double ceiling;
};

Rule rule(NoiseCriterion criterion)
{
    const auto row = [&](std::string_view what) {
        return figure("noise", std::string{criterion == NoiseCriterion::Osha ? "osha_" : "niosh_"} +
                                   std::string{what})
            .middle();
    };
    return {row("level"), row("exchange"), row("ceiling")};
}

}  // namespace

double allowed_hours(double level, NoiseCriterion criterion)
{
    const Rule r = rule(criterion);
    return 8 / std::exp2((level - r.level) / r.exchange);
}

Result<NoiseDose> noise_dose(std::span<const NoiseSpell> spells, NoiseCriterion criterion,
                             double threshold)
{
    const Rule r = rule(criterion);
    NoiseDose dose;
    double percent = 0;
    bool unknown = false;
    for (const auto& spell : spells) {
        if (spell.time < seconds{0} || spell.time > std::chrono::hours{24}) {
            return fail(ErrorCode::InvalidInput, "a spell of noise lasts between 0 and 24 hours");
        }
        if (!spell.level) {
            unknown |= spell.time > seconds{0};
            continue;
        }
        if (!(*spell.level >= 0 && *spell.level <= 140)) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("{:g} dB(A) is not between 0 and 140", *spell.level));
        }
        dose.over_ceiling |= *spell.level > r.ceiling;
        if (*spell.level >= threshold) {
            percent += 100 * static_cast<double>(spell.time.count()) / 3600 /
                       allowed_hours(*spell.level, criterion);
        }
    }
    if (unknown) {
        dose.words = "noise dose unknown: the vacuum's level at the ear is not measured";
        return dose;
    }
    dose.percent = percent;
    if (percent > 0) {
        // 16.61 log10 for an exchange of 5 dB, 9.97 for 3: the level that gives this dose in 8 h.
        dose.average = r.level + r.exchange * std::log2(percent / 100);
    }
    dose.words = fmt::format("noise dose {:.0f} % of a day's{}{}", percent,
                             percent > 100 ? ": over the limit" : "",
                             dose.over_ceiling ? "; a level above the ceiling" : "");
    return dose;
}

double behind_protector(double level, double rating, Derating derating)
{
    const double gap = figure("noise", "a_weighting_gap").middle();
    const auto less = [&](double taken) { return level - std::max(0.0, taken); };
    switch (derating) {
        case Derating::Whole:
            return less(rating - gap);
        case Derating::Half:
            return less(figure("noise", "field_share").middle() * (rating - gap));
        case Derating::MuffNiosh:
            return less(figure("noise", "muff_share").middle() * rating - gap);
        case Derating::FormedPlugNiosh:
            return less(figure("noise", "formed_plug_share").middle() * rating - gap);
        case Derating::OtherPlugNiosh:
            return less(figure("noise", "other_plug_share").middle() * rating - gap);
    }
    return level;
}

}  // namespace nestround::access
