#include "geocore/intake/weather_series.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace nestround::intake {

namespace {

// Rounded outwards from the extremes ever accepted, -89.2 and 56.7 degrees: see weather-files.md.
constexpr double kColdest = -90;
constexpr double kHottest = 60;

/// Stretches between the first and the last day that have no reading.
void find_gaps(const StationSeries& series, std::vector<WeatherGap>& gaps)
{
    for (std::size_t i = 1; i < series.days.size(); ++i) {
        const Day before = series.days[i - 1].day;
        const Day after = series.days[i].day;
        if (after - before > std::chrono::days{1}) {
            gaps.push_back(
                {series.station.code, before + std::chrono::days{1}, after - std::chrono::days{1}});
        }
    }
}

}  // namespace

std::string reading_name(const std::string& code, Day day, WeatherSeries::Which which)
{
    return fmt::format("{} of station {} on {}",
                       which == WeatherSeries::Which::Minimum ? "minimum" : "maximum", code,
                       format_day(day));
}

void WeatherSeries::station(const std::string& code, const std::string& name,
                            std::optional<LonLat> place, std::optional<Metres> height)
{
    Station& known = stations_[code];
    known.station.code = code;
    if (known.station.name.empty()) {
        known.station.name = name;
    }
    if (place && !known.place_known) {
        known.station.place = *place;
        known.place_known = true;
    }
    if (height && !known.station.height) {
        known.station.height = height;
    }
}

void WeatherSeries::reading(const std::string& code, Day day, Which which, double celsius,
                            std::size_t line, const std::string& column)
{
    if (!(celsius >= kColdest && celsius <= kHottest)) {
        refuse({line, column,
                fmt::format("{}: {:.4g} C is outside {} to {}", reading_name(code, day, which),
                            celsius, kColdest, kHottest),
                "is the temperature in another unit? name it by the column, _c or _f, or by the "
                "unit option"});
        return;
    }
    Station& known = stations_[code];
    known.station.code = code;
    auto& both = known.days[day];
    Reading& held = which == Which::Minimum ? both.minimum : both.maximum;
    if (!held.value) {
        held = {celsius, line, column};
    } else if (*held.value == celsius) {
        ++repeated_;
    } else {
        refuse({line, column,
                fmt::format("{} is {:.4g} C here and {:.4g} C on line {}, which was kept",
                            reading_name(code, day, which), celsius, *held.value, held.line),
                "remove the wrong one"});
    }
}

void WeatherSeries::doubted(const std::string& code, Day day, Which which, const std::string& flag,
                            std::size_t line, const std::string& column)
{
    refuse({line, column,
            fmt::format("{} failed the archive's own check (quality flag {})",
                        reading_name(code, day, which), flag),
            "it is left out"});
}

std::vector<std::string> WeatherSeries::codes() const
{
    std::vector<std::string> out;
    for (const auto& [code, station] : stations_) {
        out.push_back(code);
    }
    return out;
}

StationSeries WeatherSeries::series_of(const Station& station)
{
    StationSeries out{station.station, station.place_known, {}};
    for (const auto& [day, both] : station.days) {
        const auto& [low, high] = both;
        if (!low.value || !high.value) {
            ++one_sided_;
            continue;
        }
        if (!(*low.value <= *high.value)) {
            refuse({std::max(low.line, high.line), low.column,
                    fmt::format("station {} on {}: minimum {:.4g} C is above maximum {:.4g} C",
                                out.station.code, format_day(day), *low.value, *high.value),
                    "is a temperature in the wrong unit, or are the columns swapped?"});
            continue;
        }
        out.days.push_back({{}, day, Celsius{*low.value}, Celsius{*high.value}});
    }
    return out;
}

void WeatherSeries::finish(WeatherBatch& batch) &&
{
    for (const auto& [code, station] : stations_) {
        auto series = series_of(station);
        find_gaps(series, batch.gaps);
        if (series.days.empty()) {
            batch.notes.push_back(
                fmt::format("station {} has no day with both a minimum and a "
                            "maximum",
                            code));
        }
        batch.stations.push_back(std::move(series));
    }
    std::stable_sort(refused_.begin(), refused_.end(),
                     [](const RefusedRow& a, const RefusedRow& b) { return a.row < b.row; });
    batch.refused = std::move(refused_);
    if (repeated_ > 0) {
        batch.notes.push_back(
            fmt::format("{} readings stand twice with the same value", repeated_));
    }
    if (one_sided_ > 0) {
        batch.notes.push_back(fmt::format(
            "{} days have only a minimum or only a maximum; they were left out", one_sided_));
    }
}

}  // namespace nestround::intake
