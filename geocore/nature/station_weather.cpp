#include "geocore/nature/station_weather.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace nestround::nature {

namespace {

constexpr std::chrono::days kOneDay{1};

double row(const TaxaTable& table, std::string_view parameter, double otherwise)
{
    const auto* figure = table.figure("all", parameter);
    return figure == nullptr ? otherwise : figure->middle();
}

/// A station that is used, with how far its readings are shifted.
struct Used {
    const StationSeries* series = nullptr;
    std::size_t share = 0;  ///< its place in the result
    CelsiusDelta minimum_shift{};
    CelsiusDelta maximum_shift{};
    std::size_t next = 0;  ///< first reading not yet passed
};

std::vector<DayGap> gaps_between(const std::vector<PlaceDay>& days)
{
    std::vector<DayGap> gaps;
    for (std::size_t i = 1; i < days.size(); ++i) {
        if (days[i].day - days[i - 1].day > kOneDay) {
            gaps.push_back({days[i - 1].day + kOneDay, days[i].day - kOneDay});
        }
    }
    return gaps;
}

}  // namespace

std::string_view text(Origin origin)
{
    switch (origin) {
        case Origin::Measured:
            return "measured";
        case Origin::FilledBetween:
            return "filled from both sides";
        default:
            return "filled from the normals";
    }
}

StationRules station_rules(const TaxaTable& table)
{
    StationRules rules;
    rules.reach = Metres{row(table, "weather.station_reach", 100) * 1000};
    rules.power = row(table, "weather.station_power", 2);
    rules.nearest = Metres{row(table, "weather.station_nearest", 1) * 1000};
    rules.most = static_cast<std::size_t>(row(table, "weather.stations_most", 6));
    rules.lapse_minimum = row(table, "weather.lapse_minimum", 4);
    rules.lapse_maximum = row(table, "weather.lapse_maximum", 6.5);
    rules.fill_longest = static_cast<int>(row(table, "weather.fill_longest", 5));
    return rules;
}

PlaceWeather weather_at(std::optional<Metres> elevation, std::span<const StationSeries> stations,
                        Day from, Day to, const StationRules& rules)
{
    PlaceWeather result;
    std::vector<Used> used;
    for (const auto& station : stations) {
        if (station.away <= rules.reach) {
            used.push_back({&station, 0, {}, {}, 0});
        }
    }
    std::stable_sort(used.begin(), used.end(),
                     [](const Used& a, const Used& b) { return a.series->away < b.series->away; });
    used.resize(std::min(used.size(), rules.most));
    double total = 0;
    bool uncorrected = false;
    for (auto& one : used) {
        const auto& series = *one.series;
        StationShare share{series.name, series.away, std::nullopt, 0, 0};
        share.weight = std::pow((series.away + rules.nearest).value() / 1000, -rules.power);
        total += share.weight;
        if (elevation && series.height) {
            share.climb = *elevation - *series.height;
            const double kilometres = share.climb->value() / 1000;
            one.minimum_shift = CelsiusDelta{-rules.lapse_minimum * kilometres};
            one.maximum_shift = CelsiusDelta{-rules.lapse_maximum * kilometres};
        } else {
            uncorrected = true;
        }
        one.share = result.stations.size();
        result.stations.push_back(std::move(share));
    }
    for (auto& share : result.stations) {
        share.weight /= total;
    }
    if (used.empty()) {
        result.notes.push_back(
            fmt::format("no station within {:.0f} km of the place", rules.reach.value() / 1000));
        return result;
    }
    if (!elevation) {
        result.notes.emplace_back(
            "the height of the place is not given: readings are as at the stations");
    } else if (uncorrected) {
        result.notes.emplace_back(
            "a station's height is not known: its readings are not brought to the place's height");
    }

    for (Day day = from; day <= to; day += kOneDay) {
        double weight = 0;
        double minimum = 0;
        double maximum = 0;
        for (auto& one : used) {
            const auto& days = one.series->days;
            while (one.next < days.size() && days[one.next].day < day) {
                ++one.next;
            }
            if (one.next == days.size() || days[one.next].day != day) {
                continue;
            }
            auto& share = result.stations[one.share];
            ++share.days;
            const auto& range = days[one.next].range;
            const double low = (range.minimum + one.minimum_shift).value();
            const double high = (range.maximum + one.maximum_shift).value();
            weight += share.weight;
            minimum += share.weight * low;
            maximum += share.weight * std::max(low, high);  // far up, the two rates may cross
        }
        if (weight > 0) {
            result.days.push_back(
                {day, {Celsius{minimum / weight}, Celsius{maximum / weight}}, Origin::Measured});
        }
    }
    result.gaps = gaps_between(result.days);
    return result;
}

RangeNormals range_normals(std::span<const PlaceDay> days, int window)
{
    std::vector<DatedValue> lows;
    std::vector<DatedValue> highs;
    for (const auto& day : days) {
        lows.push_back({day.day, day.range.minimum.value()});
        highs.push_back({day.day, day.range.maximum.value()});
    }
    return {DayNormals::make(lows, window), DayNormals::make(highs, window)};
}

PlaceWeather filled(PlaceWeather weather, const RangeNormals& normals, const StationRules& rules)
{
    std::vector<PlaceDay> out;
    const auto departure = [](const DayNormals& normal, Day day, Celsius reading) {
        const auto at = normal.on(day);
        return reading.value() - (at ? at->mean : 0);
    };
    for (const auto& next : weather.days) {
        const PlaceDay last = out.empty() ? next : out.back();
        const auto missing = (next.day - last.day).count() - 1;
        for (Day day = last.day + kOneDay; day < next.day; day += kOneDay) {
            const auto low = normals.minimum.on(day);
            const auto high = normals.maximum.on(day);
            const bool is_short = missing <= rules.fill_longest;
            if (!is_short && !(low && high)) {
                continue;
            }
            double minimum = low ? low->mean : 0;
            double maximum = high ? high->mean : 0;
            if (is_short) {
                const double part = static_cast<double>((day - last.day).count()) /
                                    static_cast<double>(missing + 1);
                const auto between = [&](const DayNormals& normal, Celsius a, Celsius b) {
                    return (1 - part) * departure(normal, last.day, a) +
                           part * departure(normal, next.day, b);
                };
                minimum += between(normals.minimum, last.range.minimum, next.range.minimum);
                maximum += between(normals.maximum, last.range.maximum, next.range.maximum);
            }
            out.push_back({day,
                           {Celsius{minimum}, Celsius{std::max(minimum, maximum)}},
                           is_short ? Origin::FilledBetween : Origin::FilledNormal});
        }
        out.push_back(next);
    }
    weather.days = std::move(out);
    weather.gaps = gaps_between(weather.days);
    return weather;
}

}  // namespace nestround::nature
