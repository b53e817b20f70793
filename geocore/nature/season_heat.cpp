#include "geocore/nature/season_heat.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace nestround::nature {

namespace {

/// The rate times the departure, its ends in order and within the most that is allowed.
Spread<double> shift_by(const Figure& rate, double departure, double most)
{
    const auto at = [&](double one) { return std::clamp(one * departure, -most, most); };
    // Nothing is added so that no shift is +0, not -0, where it is shown.
    const double a = at(rate.lowest()) + 0.0;
    const double b = at(rate.highest()) + 0.0;
    return {std::min(a, b), at(rate.middle()) + 0.0, std::max(a, b)};
}

struct WindowMean {
    double sum = 0;
    int days = 0;
    [[nodiscard]] double mean() const { return sum / days; }
};

void spring(const TaxaTable& table, std::span<const PlaceDay> history, Latitude latitude,
            int season, double most, SeasonShift& shift)
{
    const auto* window = table.figure("all", "heat.spring_window");
    const auto* rate = table.figure("all", "heat.spring_days_per_degree");
    if (window == nullptr || rate == nullptr) {
        return;
    }
    std::map<int, WindowMean> springs;
    for (const auto& day : history) {
        const int of = season_of(day.day, latitude);
        const double at = season_day(day.day, latitude, of);
        if (at >= window->lowest() && at <= window->highest()) {
            auto& spring = springs[of];
            spring.sum += (day.range.minimum.value() + day.range.maximum.value()) / 2;
            ++spring.days;
        }
    }
    const double enough = (window->highest() - window->lowest() + 1) / 2;
    double past = 0;
    int years = 0;
    for (const auto& [year, spring] : springs) {
        if (year != season && spring.days >= enough) {
            past += spring.mean();
            ++years;
        }
    }
    const auto now = springs.find(season);
    if (now == springs.end() || now->second.days < enough || years == 0) {
        shift.words.emplace_back(
            "the start of the season is not moved: the weather of this spring, or of any earlier "
            "one, is not in the book");
        return;
    }
    const double departure = now->second.mean() - past / years;
    shift.start = shift_by(*rate, -departure, most);
    shift.words.push_back(fmt::format(
        "spring {:.1f} C {} than in {} other year{} of the book: the season starts {:+.0f} days "
        "({:+.0f} to {:+.0f}) from the calendar; the sign is published, the size an assumption",
        std::abs(departure), departure >= 0 ? "warmer" : "colder", years, years == 1 ? "" : "s",
        shift.start.middle, shift.start.low, shift.start.high));
}

void autumn(const TaxaTable& table, std::span<const PlaceDay> history, Latitude latitude,
            int season, double most, SeasonShift& shift)
{
    const auto* frost = table.figure("all", "heat.frost");
    const auto* from = table.figure("all", "heat.autumn_from");
    const auto* rate = table.figure("all", "heat.autumn_days_per_day");
    if (frost == nullptr || from == nullptr || rate == nullptr) {
        return;
    }
    std::map<int, double> first;  // first frost by season
    double reached = 0;           // last day of this season that is known
    for (const auto& day : history) {
        const int of = season_of(day.day, latitude);
        const double at = season_day(day.day, latitude, of);
        if (of == season) {
            reached = std::max(reached, at);
        }
        if (at >= from->middle() && day.range.minimum.value() <= frost->middle()) {
            first.try_emplace(of, at);
        }
    }
    double past = 0;
    int years = 0;
    for (const auto& [year, at] : first) {
        if (year != season) {
            past += at;
            ++years;
        }
    }
    const auto now = first.find(season);
    if (years == 0) {
        shift.words.emplace_back(
            "the end of the season is not moved: no first frost of another year is in the book");
        return;
    }
    const double usual = past / years;
    if (now == first.end() && reached < usual) {
        shift.words.emplace_back(
            "the end of the season is not moved: it is too early for the first frost");
        return;
    }
    const double departure = (now == first.end() ? reached : now->second) - usual;
    shift.end = shift_by(*rate, departure, most);
    shift.words.push_back(
        fmt::format("first frost {} {:.0f} days {} than in {} other year{} of the book: the season "
                    "ends {:+.0f} "
                    "days ({:+.0f} to {:+.0f}) from the calendar; an assumption",
                    now == first.end() ? "not yet, at least" : "was", std::abs(departure),
                    departure >= 0 ? "later" : "earlier", years, years == 1 ? "" : "s",
                    shift.end.middle, shift.end.low, shift.end.high));
}

}  // namespace

double flight_share(const TaxaTable& table, std::string_view taxon, DayRange day)
{
    const auto* range = table.figure(taxon, "flight.range");
    if (range == nullptr) {
        range = table.figure("all", "flight.range");
    }
    double low = range == nullptr ? 0 : range->lowest();
    const double high = range == nullptr ? 40 : range->highest();
    // Where a species was seen to stay at home at a temperature, it does not fly below that.
    if (const auto* none = table.figure(taxon, "flight.none_at")) {
        low = std::max(low, none->middle());
    }
    return share_above(day, Celsius{low}) - share_above(day, Celsius{high});
}

double SeasonShift::on(double day, double first, double last) const
{
    if (!(last > first)) {
        return start.middle;
    }
    const double part = std::clamp((day - first) / (last - first), 0.0, 1.0);
    return (1 - part) * start.middle + part * end.middle;
}

SeasonShift season_shift(const TaxaTable& table, const HeatSettings& settings,
                         std::span<const PlaceDay> history, Latitude latitude, int season)
{
    SeasonShift shift;
    const auto* most_row = table.figure("all", "heat.shift_most");
    const double most = most_row == nullptr ? 21 : most_row->middle();
    if (settings.spring_shift) {
        spring(table, history, latitude, season, most, shift);
    }
    if (settings.autumn_shift) {
        autumn(table, history, latitude, season, most, shift);
    }
    return shift;
}

}  // namespace nestround::nature
