#include "planner/brood/warmth.hpp"

#include <algorithm>
#include <cmath>

namespace nestround::brood {

namespace {

constexpr auto kLongestStep = std::chrono::hours{3};
constexpr double kLethalWeight = 100;  // an hour above the lethal limit counts as so many

/// The temperature at a moment by the log, or nothing in a gap.
std::optional<double> logged(std::span<const HabitatReading> log, Instant at)
{
    const auto after = std::upper_bound(
        log.begin(), log.end(), at,
        [](Instant moment, const HabitatReading& reading) { return moment < reading.at; });
    if (after == log.begin()) {
        return std::nullopt;
    }
    const auto before = after - 1;
    if (after == log.end()) {
        return at - before->at < kLongestStep ? std::optional{before->temperature.value()}
                                              : std::nullopt;
    }
    if (after->at - before->at > kLongestStep) {
        return std::nullopt;
    }
    const double share = static_cast<double>((at - before->at).count()) /
                         static_cast<double>((after->at - before->at).count());
    return before->temperature.value() +
           share * (after->temperature.value() - before->temperature.value());
}

void put(std::vector<WarmPiece>& day, double hours, double celsius)
{
    if (!day.empty() && day.back().celsius == celsius) {
        day.back().hours += hours;
    } else {
        day.push_back({hours, celsius});
    }
}

double inside(const std::vector<double>& sums, double day)
{
    const double last = static_cast<double>(sums.size() - 1);
    const double at = std::clamp(day, 0.0, last);
    const auto whole = std::min(static_cast<std::size_t>(at), sums.size() - 1);
    const auto next = std::min(whole + 1, sums.size() - 1);
    return sums[whole] + (at - static_cast<double>(whole)) * (sums[next] - sums[whole]);
}

}  // namespace

Warmth warm_days(const WarmthInput& input, const BroodFigures& figures)
{
    Warmth warmth;
    warmth.days.resize(static_cast<std::size_t>(std::max(1, input.days)));
    const double without = input.set_point.value_or(input.otherwise).value();
    for (std::size_t d = 0; d < warmth.days.size(); ++d) {
        for (int h = 0; h < 24; ++h) {
            const Instant begins =
                input.midnight + std::chrono::hours{static_cast<long>(d) * 24 + h};
            const Instant ends = begins + std::chrono::hours{1};
            if (ends <= input.stands_from) {
                continue;
            }
            const Instant from = std::max(begins, input.stands_from);
            const double hours = static_cast<double>((ends - from).count()) / 3600;
            const auto read = logged(input.log, from + (ends - from) / 2);
            if (!read && !input.log.empty() && from >= input.log.front().at &&
                from < input.log.back().at) {
                warmth.gap_hours += hours;
            }
            const double celsius = read.value_or(without);
            put(warmth.days[d], hours, celsius);
            warmth.cold_hours += celsius < figures.range_low ? hours : 0;
            warmth.hot_hours += celsius > figures.most ? hours : 0;
            warmth.hottest = std::max(warmth.hottest, celsius);
        }
    }
    return warmth;
}

double development_rate(const BroodFigures& figures, double threshold, double celsius)
{
    const double held = std::min(celsius, figures.range_high);
    return held <= threshold ? 0 : (held - threshold) / (figures.reference - threshold);
}

double Ripening::development_at(double day) const { return inside(development, day); }
double Ripening::hot_hours_at(double day) const { return inside(hot_hours, day); }

Ripening ripening(const Warmth& warmth, const BroodFigures& figures, double threshold)
{
    Ripening out;
    out.development.reserve(warmth.days.size() + 1);
    out.hot_hours.reserve(warmth.days.size() + 1);
    double development = 0;
    double hot = 0;
    out.development.push_back(0);
    out.hot_hours.push_back(0);
    for (const auto& day : warmth.days) {
        for (const auto& piece : day) {
            development += piece.hours / 24 * development_rate(figures, threshold, piece.celsius);
            if (piece.celsius > figures.lethal) {
                hot += kLethalWeight * piece.hours;
            } else if (piece.celsius > figures.most) {
                hot += piece.hours;
            }
        }
        out.development.push_back(development);
        out.hot_hours.push_back(hot);
    }
    return out;
}

}  // namespace nestround::brood
