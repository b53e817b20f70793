#include "planner/season/season_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace nestround::season {

namespace {

struct Sum {
    double middle = 0;
    double below = 0;
    double above = 0;

    void add(const Spread<Grams>& grams)
    {
        middle += grams.middle.value();
        below += std::pow((grams.middle - grams.low).value(), 2);
        above += std::pow((grams.high - grams.middle).value(), 2);
    }
    [[nodiscard]] Spread<Grams> spread() const
    {
        return {Grams{std::max(0.0, middle - std::sqrt(below))}, Grams{middle},
                Grams{middle + std::sqrt(above)}};
    }
};

/// The day on which the call is worth most, among those on which somebody works and may go; -1:
/// none.
[[nodiscard]] int best_day(const SeasonInput& input, const SeasonCall& call)
{
    int best = -1;
    for (int d = call.known_from; d < input.days; ++d) {
        const auto at = static_cast<std::size_t>(d);
        const bool works = input.is_off.empty() || !input.is_off[at];
        if (works && call.days[at].allowed &&
            (best < 0 || call.days[at].worth > call.days[static_cast<std::size_t>(best)].worth)) {
            best = d;
        }
    }
    return best;
}

[[nodiscard]] std::string why_then(const SeasonInput& input, const SeasonCall& call, int day,
                                   int best)
{
    const auto& taken = call.days[static_cast<std::size_t>(day)];
    const auto& top = call.days[static_cast<std::size_t>(best)];
    const auto& first = call.days.front();
    if (day == best && day > 0 && first.allowed && first.worth < taken.worth) {
        return fmt::format("held: worth {:.0f} points then, {:.0f} on {}", taken.worth, first.worth,
                           short_day(input.from));
    }
    if (day == best) {
        return fmt::format("worth {:.0f} points, its best day", taken.worth);
    }
    return fmt::format(
        "worth {:.0f} points; its best day, {}, would give {:.0f}, but the time of "
        "that day goes further elsewhere",
        taken.worth, short_day(top.day), top.worth);
}

[[nodiscard]] std::string why_not(const SeasonInput& input, std::size_t c, int best,
                                  const std::string& never)
{
    const SeasonCall& call = input.calls[c];
    const auto& ways = input.access[c];
    if (best < 0) {
        return "the client allows none of the days on which a crew works";
    }
    if (std::all_of(ways.begin(), ways.end(),
                    [](const auto& way) { return way.method == WorkMethod::NotReached; })) {
        return ways.empty() ? "no crew is at work"
                            : "not reached with this gear: " + ways.front().words;
    }
    if (!never.empty()) {
        return never;
    }
    const auto& top = call.days[static_cast<std::size_t>(best)];
    if (!(top.worth + top.saved > 0)) {
        return "worth nothing on any of these days";
    }
    return fmt::format("worth {:.0f} points at best, on {}: all crews' time goes further elsewhere",
                       top.worth, short_day(top.day));
}

}  // namespace

std::string short_day(Day day)
{
    const std::string whole = format_day_long(day);
    const auto from = whole.find(' ') + 1;
    return whole.substr(from, whole.rfind(' ') - from);
}

std::vector<SeasonChoice> choices(const SeasonInput& input, const std::vector<int>& day_of_call,
                                  const std::vector<std::size_t>& crew_of_call,
                                  const std::vector<std::string>& never)
{
    std::vector<SeasonChoice> result;
    for (std::size_t c = 0; c < input.calls.size(); ++c) {
        const SeasonCall& call = input.calls[c];
        if (call.expected) {
            continue;
        }
        SeasonChoice choice;
        choice.call = c;
        choice.day = day_of_call[c];
        choice.crew = crew_of_call[c];
        const int best = best_day(input, call);
        const auto standing = input.standing.find(call.call.sheet.call.id);
        if (choice.day < 0) {
            choice.words = why_not(input, c, best, never[c]);
            choice.moved = standing != input.standing.end();
        } else {
            choice.fate = choice.day == 0 ? SeasonFate::Today : SeasonFate::Later;
            choice.worth = call.days[static_cast<std::size_t>(choice.day)].worth;
            choice.words = why_then(input, call, choice.day, best);
            if (call.second_work > seconds{0}) {
                choice.words += "; its second visit that day counted in";
            }
            choice.moved = standing != input.standing.end() &&
                           (standing->second.day != input.from + std::chrono::days{choice.day} ||
                            standing->second.crew != input.crews[choice.crew].name);
        }
        result.push_back(std::move(choice));
    }
    std::stable_sort(result.begin(), result.end(),
                     [](const SeasonChoice& a, const SeasonChoice& b) {
                         const auto key = [](const SeasonChoice& choice) {
                             return std::pair{choice.day < 0 ? 1 << 20 : choice.day, -choice.worth};
                         };
                         return key(a) < key(b);
                     });
    return result;
}

std::vector<SeasonGrams> grams_by_taxon(const SeasonInput& input,
                                        const std::vector<int>& day_of_call)
{
    std::map<std::string, std::pair<Sum, Sum>> sums;
    for (const auto& [taxon, order] : input.settings.orders) {
        sums[taxon];
    }
    for (std::size_t c = 0; c < input.calls.size(); ++c) {
        if (day_of_call[c] >= 0) {
            const SeasonCall& call = input.calls[c];
            auto& [known, expected] = sums[call.call.outlook.taxon];
            (call.expected ? expected : known)
                .add(call.days[static_cast<std::size_t>(day_of_call[c])].grams);
        }
    }
    std::vector<SeasonGrams> result;
    for (const auto& [taxon, pair] : sums) {
        SeasonGrams grams{taxon, pair.first.spread(), pair.second.spread(), std::nullopt};
        if (const auto order = input.settings.orders.find(taxon);
            order != input.settings.orders.end()) {
            grams.wanted = order->second.wanted;
        }
        result.push_back(std::move(grams));
    }
    return result;
}

}  // namespace nestround::season
