#include "planner/season/arrivals.hpp"

#include <algorithm>
#include <cstdlib>

#include "geocore/base/random.hpp"

namespace nestround::season {

namespace {

constexpr int kFortnight = 14;
constexpr int kNearInTheYear = 21;  ///< days either side that count as the same part of a season

[[nodiscard]] int day_of_year(Day day)
{
    const std::chrono::year_month_day date{day};
    const Day new_year{date.year() / std::chrono::January / 1};
    return static_cast<int>((day - new_year).count());
}

[[nodiscard]] int apart_in_the_year(Day a, Day b)
{
    const int apart = std::abs(day_of_year(a) - day_of_year(b));
    return std::min(apart, 365 - std::min(apart, 365));
}

}  // namespace

double call_rate(std::span<const CallSheet> history, Day from, int days)
{
    if (history.size() < kFewestCalls || days < 1) {
        return 0;
    }
    std::size_t lately = 0;
    std::size_t formerly = 0;
    Day first = from;
    for (const auto& sheet : history) {
        const long ago = (from - sheet.call.received).count();
        lately += ago > 0 && ago <= kFortnight ? 1 : 0;
        first = std::min(first, sheet.call.received);
    }
    const int years = static_cast<int>((from - first).count() / 365);
    if (years == 0) {
        return static_cast<double>(lately) / kFortnight;
    }
    for (const auto& sheet : history) {
        for (int year = 1; year <= years; ++year) {
            const long ahead = (sheet.call.received - from).count() + 365L * year;
            formerly += ahead >= 0 && ahead < days ? 1 : 0;
        }
    }
    return static_cast<double>(formerly) / days / years;
}

std::vector<ExpectedCall> expected_calls(std::span<const CallSheet> history, Day from, int days,
                                         double rate, std::uint64_t seed)
{
    std::vector<ExpectedCall> result;
    if (history.size() < kFewestCalls || !(rate > 0)) {
        return result;
    }
    std::vector<std::size_t> near;
    std::vector<std::size_t> all(history.size());
    for (std::size_t i = 0; i < history.size(); ++i) {
        all[i] = i;
        if (apart_in_the_year(history[i].call.received, from) <= kNearInTheYear) {
            near.push_back(i);
        }
    }
    const auto& like = near.size() >= kFewestCalls ? near : all;
    Random random{seed ^ 0x5eed5eed5eedULL};
    double due = random.uniform();
    for (int day = 1; day < days; ++day) {
        for (due += rate; due >= 1; due -= 1) {
            result.push_back({like[random.below(like.size())], day});
        }
    }
    return result;
}

}  // namespace nestround::season
