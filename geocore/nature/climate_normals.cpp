#include "geocore/nature/climate_normals.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace nestround::nature {

namespace {

/// 0 for 1 January to 364 for 31 December, in every year.
std::size_t slot_of(Day day)
{
    const std::chrono::year_month_day date{day};
    const int of_year = day_of_year(day);
    const bool past_leap_day =
        date.year().is_leap() && of_year >= 60;  // 29 February is the 60th, and counts as the 59th
    return static_cast<std::size_t>(of_year - 1 - (past_leap_day ? 1 : 0));
}

double mean_of(const std::vector<double>& values)
{
    double sum = 0;
    for (const double value : values) {
        sum += value;
    }
    return sum / static_cast<double>(values.size());
}

}  // namespace

DayNormals DayNormals::make(std::span<const DatedValue> values, int window)
{
    DayNormals result;
    result.empty_ = values.empty();
    std::array<std::vector<double>, kDays> of_slot;
    std::array<std::set<int>, kDays> years;
    for (const auto& one : values) {
        of_slot[slot_of(one.day)].push_back(one.value);
        years[slot_of(one.day)].insert(year_of(one.day));
    }
    const auto near = [&](std::size_t slot, auto visit) {
        for (int by = -window; by <= window; ++by) {
            visit((slot + kDays + static_cast<std::size_t>(by + static_cast<int>(kDays))) % kDays);
        }
    };
    for (std::size_t slot = 0; slot < kDays; ++slot) {
        std::vector<double> around;
        std::set<int> seen;
        near(slot, [&](std::size_t other) {
            around.insert(around.end(), of_slot[other].begin(), of_slot[other].end());
            seen.insert(years[other].begin(), years[other].end());
        });
        if (around.empty()) {
            continue;
        }
        Normal normal;
        normal.mean = mean_of(around);
        normal.above_zero =
            static_cast<double>(std::count_if(around.begin(), around.end(),
                                              [](double value) { return value > 0; })) /
            static_cast<double>(around.size());
        normal.years = static_cast<int>(seen.size());
        result.days_[slot] = normal;
    }
    // The spread is taken about each day's own mean, so that the slope of the seasons is not in it.
    for (std::size_t slot = 0; slot < kDays; ++slot) {
        if (!result.days_[slot]) {
            continue;
        }
        double squares = 0;
        std::size_t count = 0;
        near(slot, [&](std::size_t other) {
            for (const double value : of_slot[other]) {
                const double off = value - result.days_[other]->mean;
                squares += off * off;
                ++count;
            }
        });
        result.days_[slot]->deviation =
            std::sqrt(squares / static_cast<double>(std::max<std::size_t>(1, count - 1)));
    }
    double products = 0;
    double squares = 0;
    for (std::size_t i = 1; i < values.size(); ++i) {
        if (values[i].day - values[i - 1].day == std::chrono::days{1}) {
            const double before = values[i - 1].value - result.on(values[i - 1].day)->mean;
            products += before * (values[i].value - result.on(values[i].day)->mean);
            squares += before * before;
        }
    }
    result.persistence_ = squares > 0 ? std::clamp(products / squares, 0.0, 0.98) : 0;
    // Days that hang together follow their own mean: of few years' days the spread comes out too
    // small, by what the number of days that are as good as independent tells.
    const double independent =
        (2 * window + 1) * (1 - result.persistence_) / (1 + result.persistence_);
    for (auto& normal : result.days_) {
        if (normal) {
            const double count = std::max(1.5, normal->years * std::max(1.0, independent));
            normal->deviation /= std::sqrt(1 - 1 / count);
        }
    }
    return result;
}

std::optional<Normal> DayNormals::on(Day day) const { return days_[slot_of(day)]; }

std::optional<Tail> tail_of(const DayNormals& normals, Day from, Day to, double season_departure)
{
    if (from > to) {
        return std::nullopt;
    }
    Tail tail{from, to, {}, 1000000};
    std::vector<double> deviations;
    double active = 0;
    for (Day day = from; day <= to; day += std::chrono::days{1}) {
        const auto normal = normals.on(day);
        if (!normal) {
            return std::nullopt;
        }
        tail.sum.middle += normal->mean;
        tail.years = std::min(tail.years, normal->years);
        active += normal->above_zero;
        deviations.push_back(normal->deviation);
    }
    // Var(sum) = sum over pairs of s_i s_j r^|i-j|; carried along as the covariance of a day with
    // all days before it.
    double variance = 0;
    double with_before = 0;
    for (std::size_t i = 0; i < deviations.size(); ++i) {
        if (i > 0) {
            with_before = normals.persistence() * (with_before + deviations[i - 1]);
        }
        variance += deviations[i] * deviations[i] + 2 * deviations[i] * with_before;
    }
    const double of_season = season_departure * active;
    const double deviation = std::sqrt((variance + of_season * of_season) *
                                       (1 + 1 / static_cast<double>(std::max(1, tail.years))));
    constexpr double kOuterTenth = 1.2815515655446004;  // of the normal distribution
    tail.sum.low = std::max(0.0, tail.sum.middle - kOuterTenth * deviation);
    tail.sum.high = tail.sum.middle + kOuterTenth * deviation;
    return tail;
}

}  // namespace nestround::nature
