#include "planner/brood/ages.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace nestround::brood {

namespace {

constexpr double kLookBack = 10;  // days over which growth is taken
constexpr double kMostGrowth = 0.2;

Spread<double> growth_of(const nature::Season& season, nature::Part part, double day,
                         std::span<const double> weights)
{
    std::vector<double> now(season.courses().size());
    std::vector<double> before(now.size());
    season.values(part, day, now);
    season.values(part, day - kLookBack, before);
    for (std::size_t i = 0; i < now.size(); ++i) {
        now[i] = std::clamp(std::log((now[i] + 1) / (before[i] + 1)) / kLookBack, -kMostGrowth,
                            kMostGrowth);
    }
    return nature::Season::spread(nature::make_sample(std::move(now)), weights);
}

}  // namespace

SealedGrowth sealed_growth(const nature::Season& season, double day,
                           std::span<const double> weights)
{
    return {growth_of(season, nature::Part::SealedSmall, day, weights),
            growth_of(season, nature::Part::SealedLarge, day, weights)};
}

double sexual_share(const nature::Season& season, double day, std::span<const double> weights)
{
    std::vector<double> small(season.courses().size());
    std::vector<double> large(small.size());
    season.values(nature::Part::SealedSmall, day, small);
    season.values(nature::Part::SealedLarge, day, large);
    for (std::size_t i = 0; i < small.size(); ++i) {
        const double all = small[i] + large[i];
        large[i] = all < 1 ? 0 : large[i] / all;
    }
    return nature::Season::spread(nature::make_sample(std::move(large)), weights).middle;
}

CellShares cell_shares(const nature::Season& season, double day, std::span<const double> weights)
{
    std::vector<double> cells(season.courses().size());
    season.cells(day, cells);
    std::vector<double> part(cells.size());
    const auto share = [&](nature::Part which) {
        season.values(which, day, part);
        std::vector<double> ratio(cells.size());
        for (std::size_t i = 0; i < cells.size(); ++i) {
            ratio[i] = cells[i] < 1 ? 0 : std::min(1.0, part[i] / cells[i]);
        }
        return nature::Season::spread(nature::make_sample(std::move(ratio)), weights);
    };
    const auto eggs = share(nature::Part::Eggs);
    const auto larvae = share(nature::Part::Larvae);
    const auto small = share(nature::Part::SealedSmall);
    const auto large = share(nature::Part::SealedLarge);
    CellShares out{eggs.middle, larvae.middle, small.middle, large.middle, 0, 0.5};
    const double full = out.eggs + out.larvae + out.sealed_small + out.sealed_large;
    if (full > 1) {
        out.eggs /= full;
        out.larvae /= full;
        out.sealed_small /= full;
        out.sealed_large /= full;
    }
    out.empty = std::max(0.0, 1 - full);
    if (small.low > 0 && small.high > small.low) {
        constexpr double kOuterTenth = 1.2816;
        out.doubt = std::clamp(std::log(small.high / small.low) / 2 / kOuterTenth, 0.1, 2.0);
    }
    return out;
}

EmergenceClock::EmergenceClock(double mean_days, double cv, double growth) : growth_{growth}
{
    const double variance = std::log1p(cv * cv);
    const double deviation = std::sqrt(variance);
    const double middle = std::log(mean_days) - variance / 2;
    step_ = mean_days * std::exp(4 * deviation) / kSteps;
    double last_weighed = 1;
    double last_even = 1;
    for (std::size_t i = 1; i <= kSteps; ++i) {
        const double age = step_ * static_cast<double>(i);
        const double sealed =
            0.5 * std::erfc((std::log(age) - middle) / (deviation * std::sqrt(2.0)));
        const double weighed = std::exp(-growth_ * age) * sealed;
        weighed_[i] = weighed_[i - 1] + step_ * (last_weighed + weighed) / 2;
        even_[i] = even_[i - 1] + step_ * (last_even + sealed) / 2;
        last_weighed = weighed;
        last_even = sealed;
    }
}

double EmergenceClock::sum_to(const std::array<double, kSteps + 1>& sums, double x) const
{
    const double at = std::clamp(x / step_, 0.0, static_cast<double>(kSteps));
    const auto whole = std::min(static_cast<std::size_t>(at), kSteps - 1);
    return sums[whole] + (at - static_cast<double>(whole)) * (sums[whole + 1] - sums[whole]);
}

double EmergenceClock::left_by(double development, std::optional<double> least,
                               std::optional<double> most) const
{
    if (development <= 0) {
        return 0;
    }
    const double end = step_ * kSteps;
    const double from = std::min(least.value_or(0), end);
    // Ages known to the day are still a day apart.
    const double to = std::min(std::max(most.value_or(end), from + 0.5), end);
    const double all = sum_to(weighed_, to) - sum_to(weighed_, from);
    if (all < 1e-9) {
        return 1;  // older than any cell stays sealed
    }
    const double still = std::exp(growth_ * development) * (sum_to(weighed_, to + development) -
                                                            sum_to(weighed_, from + development));
    return std::clamp(1 - still / all, 0.0, 1.0);
}

double EmergenceClock::larvae_left_by(double development, double ripe) const
{
    if (development <= 0) {
        return 0;
    }
    const auto opened = [&](double x) {  // integral of the share opened, from 0
        return x <= 0 ? 0 : x - sum_to(even_, x);
    };
    const double width = std::max(ripe, 0.01);
    return std::clamp((opened(development) - opened(development - width)) / width, 0.0, 1.0);
}

}  // namespace nestround::brood
