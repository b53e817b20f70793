#include "planner/brood/emergence.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace nestround::brood {

namespace {

constexpr std::size_t kDraws = 512;
constexpr double kFewest = 12;  // draws that must count; fewer are softened
constexpr std::size_t kBins = 512;
// Five equal parts of a normal deviate, spread so that its variance is whole: for single cells.
constexpr std::array<double, 5> kChance{-1.4646, -0.5993, 0, 0.5993, 1.4646};

/// One way the comb may be.
struct Draw {
    double pupa_days = 0;
    double larva_days = 0;
    double cv = 0;
    double threshold = 0;
    double saved = 0;
    double larva_saved = 0;
    double large_ratio = 1;
    double gyne_share = 0;
    double counted = 1;
    double growth_small = 0;
    double growth_large = 0;
    double heat_half = 1;
    // What follows: cumulated to the end of each day, one place more than days.
    std::vector<double> workers;
    std::vector<double> sexuals;
};

double normal_of(double chance)
{
    // Rational form of Abramowitz and Stegun 26.2.23; its error of 4.5e-4 is far below ours.
    const double tail = std::min(chance, 1 - chance);
    const double t = std::sqrt(-2 * std::log(tail));
    const double z = t - (2.515517 + t * (0.802853 + t * 0.010328)) /
                             (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    return chance < 0.5 ? -z : z;
}

/// Multiples of square roots of primes fill the cube evenly.
double grid(std::size_t draw, std::size_t dimension)
{
    static constexpr std::array<double, 11> kPrimes{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31};
    const double at = 0.5 + (static_cast<double>(draw) + 1) * std::sqrt(kPrimes[dimension]);
    return std::clamp(at - std::floor(at), 1e-6, 1 - 1e-6);
}

double share_at(const Spread<double>& spread, double chance)
{
    return std::clamp(at_chance(spread, chance), 0.0, 1.0);
}

class Forecast {
public:
    explicit Forecast(const EmergenceInput& input) : in_{input}, days_{input.warmth.days.size()}
    {
        // Draws share few thresholds, so that the log is read a few times and not 512.
        for (std::size_t i = 0; i < kThresholds; ++i) {
            const double chance = (static_cast<double>(i) + 0.5) / kThresholds;
            thresholds_[i] = at_chance(in_.figures.threshold, chance);
            ripenings_[i] = ripening(in_.warmth, in_.figures, thresholds_[i]);
        }
        for (std::size_t i = 0; i < kDraws; ++i) {
            draws_[i] = make(i);
        }
        weights_.fill(1.0 / kDraws);
    }

    Emergence run()
    {
        weigh();
        Emergence out;
        by_day(out);
        totals(out);
        return out;
    }

private:
    static constexpr std::size_t kThresholds = 8;

    Draw make(std::size_t i)
    {
        const BroodFigures& f = in_.figures;
        Draw draw;
        std::size_t dimension = 0;
        const auto next = [&] { return grid(i, dimension++); };
        const double factor = std::max(0.3, at_chance(f.days_factor, next()));
        draw.pupa_days = f.pupa_days * factor;
        draw.larva_days = f.larva_days * factor;
        draw.cv = std::max(0.01, at_chance(f.duration_cv, next()));
        const auto level = static_cast<std::size_t>(next() * kThresholds);
        draw.threshold = thresholds_[level];
        draw.saved = share_at(f.saved, next());
        draw.larva_saved = share_at(in_.brood.nurses ? f.larva_nursed : f.larva_alone, next());
        draw.large_ratio = std::max(0.5, at_chance(f.gyne_ratio, next()));
        draw.gyne_share = share_at(f.gyne_share, next());
        draw.counted = std::exp(in_.brood.doubt * normal_of(next()));
        const double growth = next();
        draw.growth_small = at_chance(in_.growth.small, growth);
        draw.growth_large = at_chance(in_.growth.large, growth);
        draw.heat_half = std::max(0.1, at_chance(f.heat_half, next()));
        work_out(draw, ripenings_[level]);
        return draw;
    }

    void work_out(Draw& draw, const Ripening& ripe) const
    {
        const CombBrood& b = in_.brood;
        const EmergenceClock small{draw.pupa_days, draw.cv, draw.growth_small};
        const EmergenceClock large{draw.pupa_days * draw.large_ratio, draw.cv, draw.growth_large};
        const double in_small = b.sealed_small * draw.counted * draw.saved;
        const double in_large = b.sealed_large * draw.counted * draw.saved;
        const double larvae =
            b.larvae * draw.counted * draw.larva_saved + b.eggs * in_.figures.egg_alone;
        draw.workers.resize(days_ + 1);
        draw.sexuals.resize(days_ + 1);
        double small_before = 0;
        double large_before = 0;
        double larvae_before = 0;
        for (std::size_t d = 0; d < days_; ++d) {
            const double development = ripe.development[d + 1];
            const double alive = std::exp2(-ripe.hot_hours[d + 1] / draw.heat_half);
            const double small_now = small.left_by(development, b.sealed_least, b.sealed_most);
            const double large_now =
                in_large > 0 ? large.left_by(development, b.sealed_least, b.sealed_most) : 0;
            const double larvae_now =
                larvae > 0
                    ? small.larvae_left_by(development, in_.figures.larva_ripe * draw.larva_days)
                    : 0;
            const double from_small = in_small * (small_now - small_before) * alive;
            draw.workers[d + 1] = draw.workers[d] + from_small * (1 - b.sexual_small) +
                                  larvae * (larvae_now - larvae_before) * alive;
            draw.sexuals[d + 1] = draw.sexuals[d] + from_small * b.sexual_small +
                                  in_large * (large_now - large_before) * alive;
            small_before = small_now;
            large_before = large_now;
            larvae_before = larvae_now;
        }
    }

    [[nodiscard]] static double at_day(const std::vector<double>& sums, double day)
    {
        const double at = std::clamp(day, 0.0, static_cast<double>(sums.size() - 1));
        const auto whole = std::min(static_cast<std::size_t>(at), sums.size() - 1);
        const auto next = std::min(whole + 1, sums.size() - 1);
        return sums[whole] + (at - static_cast<double>(whole)) * (sums[next] - sums[whole]);
    }

    /// Logarithm of the chance of `seen` when `expected` are: Poisson with a gamma spread on it.
    [[nodiscard]] double log_chance(double seen, double expected, double doubt) const
    {
        const double spread = std::hypot(std::max(0.02, in_.figures.count_spread), doubt);
        const double k = 1 / (spread * spread);
        const double m = std::max(expected, 0.05);
        return std::lgamma(k + seen) - std::lgamma(k) - std::lgamma(seen + 1) +
               k * std::log(k / (k + m)) + seen * std::log(m / (k + m));
    }

    void weigh()
    {
        if (in_.taken.empty()) {
            return;
        }
        std::array<double, kDraws> logs{};
        for (std::size_t i = 0; i < kDraws; ++i) {
            double workers_before = 0;
            double sexuals_before = 0;
            for (const auto& taken : in_.taken) {
                const double workers = at_day(draws_[i].workers, taken.day);
                const double sexuals = at_day(draws_[i].sexuals, taken.day);
                if (taken.workers) {
                    logs[i] += log_chance(*taken.workers, workers - workers_before, taken.doubt);
                }
                if (taken.reproductives) {
                    logs[i] +=
                        log_chance(*taken.reproductives, sexuals - sexuals_before, taken.doubt);
                }
                workers_before = workers;
                sexuals_before = sexuals;
            }
        }
        const double best = *std::max_element(logs.begin(), logs.end());
        for (double power = 1; power > 1e-4; power /= 2) {
            double sum = 0;
            double squares = 0;
            for (std::size_t i = 0; i < kDraws; ++i) {
                weights_[i] = std::exp(power * (logs[i] - best));
                sum += weights_[i];
                squares += weights_[i] * weights_[i];
            }
            for (auto& weight : weights_) {
                weight /= sum;
            }
            effective_ = sum * sum / squares;
            if (effective_ >= kFewest) {
                break;
            }
            softened_ = true;
        }
    }

    /// 10, 50 and 90 % of what the draws give with the chance of single cells on top. `mean` and
    /// `variance` are asked for each draw.
    template <class Mean, class Variance>
    [[nodiscard]] Spread<double> spread(Mean mean, Variance variance) const
    {
        std::array<double, kDraws> means{};
        std::array<double, kDraws> deviations{};
        double most = 0;
        for (std::size_t i = 0; i < kDraws; ++i) {
            means[i] = mean(draws_[i]);
            deviations[i] = std::sqrt(std::max(0.0, variance(draws_[i])));
            most = std::max(most, means[i] + kChance.back() * deviations[i]);
        }
        if (most <= 0) {
            return {};
        }
        std::array<double, kBins + 1> bins{};
        const double scale = static_cast<double>(kBins) / most;
        for (std::size_t i = 0; i < kDraws; ++i) {
            for (const double z : kChance) {
                const double value = std::max(0.0, means[i] + z * deviations[i]);
                bins[std::min(static_cast<std::size_t>(value * scale), kBins)] +=
                    weights_[i] / kChance.size();
            }
        }
        const auto quantile = [&](double chance) {
            double sum = 0;
            for (std::size_t b = 0; b <= kBins; ++b) {
                if (sum + bins[b] >= chance) {
                    const double inside = bins[b] > 0 ? (chance - sum) / bins[b] : 0;
                    return (static_cast<double>(b) + inside) / scale;
                }
                sum += bins[b];
            }
            return most;
        };
        return {quantile(0.1), quantile(0.5), quantile(0.9)};
    }

    template <class Value>
    [[nodiscard]] double mean_of(Value value) const
    {
        double sum = 0;
        for (std::size_t i = 0; i < kDraws; ++i) {
            sum += weights_[i] * value(draws_[i]);
        }
        return sum;
    }

    void by_day(Emergence& out) const
    {
        const bool any_sexuals = in_.brood.sealed_large > 0 || in_.brood.sexual_small > 0;
        for (std::size_t d = 0; d < days_; ++d) {
            const auto workers = [&](const Draw& w) { return w.workers[d + 1] - w.workers[d]; };
            const auto queens = [&](const Draw& w) {
                return (w.sexuals[d + 1] - w.sexuals[d]) * w.gyne_share;
            };
            const auto males = [&](const Draw& w) {
                return (w.sexuals[d + 1] - w.sexuals[d]) * (1 - w.gyne_share);
            };
            DayEmergence day;
            day.workers = spread(workers, workers);
            day.mean_workers = mean_of(workers);
            if (any_sexuals) {
                day.queens = spread(queens, queens);
                day.males = spread(males, males);
                day.mean_queens = mean_of(queens);
                day.mean_males = mean_of(males);
            }
            out.days.push_back(day);
        }
    }

    void totals(Emergence& out) const
    {
        const double since = in_.taken.empty() ? 0 : in_.taken.back().day;
        // Of so many cells each opens or does not: less chance than in a Poisson number.
        const double cells_small = std::max(1.0, in_.brood.sealed_small + in_.brood.larvae);
        const double cells_large =
            std::max(1.0, in_.brood.sealed_large + in_.brood.sealed_small * in_.brood.sexual_small);
        const auto binomial = [](double mean, double cells) {
            return mean * std::max(0.0, 1 - mean / cells);
        };
        const auto workers = [&](const Draw& w) { return w.workers.back(); };
        const auto sexuals = [&](const Draw& w) { return w.sexuals.back(); };
        const auto workers_left = [&](const Draw& w) {
            return w.workers.back() - at_day(w.workers, since);
        };
        const auto sexuals_left = [&](const Draw& w) {
            return w.sexuals.back() - at_day(w.sexuals, since);
        };
        out.workers =
            spread(workers, [&](const Draw& w) { return binomial(workers(w), cells_small); });
        out.reproductives =
            spread(sexuals, [&](const Draw& w) { return binomial(sexuals(w), cells_large); });
        out.workers_left = spread(
            workers_left, [&](const Draw& w) { return binomial(workers_left(w), cells_small); });
        out.reproductives_left = spread(
            sexuals_left, [&](const Draw& w) { return binomial(sexuals_left(w), cells_large); });
        out.last_day = spread(
            [](const Draw& w) {
                constexpr double kNearlyAll = 0.95;
                const double wanted = kNearlyAll * (w.workers.back() + w.sexuals.back());
                std::size_t d = 0;
                while (d + 1 < w.workers.size() && w.workers[d] + w.sexuals[d] < wanted) {
                    ++d;
                }
                return static_cast<double>(d);
            },
            [](const Draw&) { return 0.0; });
        const double hot = ripenings_[0].hot_hours.back();
        out.killed_by_heat =
            hot > 0 ? mean_of([&](const Draw& w) { return 1 - std::exp2(-hot / w.heat_half); }) : 0;
        out.from_larvae =
            in_.brood.larvae * mean_of([&](const Draw& w) { return w.counted * w.larva_saved; });
        out.effective = effective_;
        out.softened = softened_;
    }

    const EmergenceInput& in_;
    std::size_t days_;
    std::array<double, kThresholds> thresholds_{};
    std::array<Ripening, kThresholds> ripenings_;
    std::array<Draw, kDraws> draws_;
    std::array<double, kDraws> weights_{};
    double effective_ = kDraws;
    bool softened_ = false;
};

}  // namespace

Emergence forecast_emergence(const EmergenceInput& input) { return Forecast{input}.run(); }

}  // namespace nestround::brood
