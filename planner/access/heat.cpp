#include "planner/access/heat.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "planner/access/figures.hpp"

namespace nestround::access {

namespace {

constexpr int kNormal = 60;  // minutes of work in the hour: no rest asked for
constexpr int kStop = 0;

/// NIOSH 2016-106, table 6-2: from this adjusted temperature, minutes of work for each rate.
struct WorkRestRow {
    double from;
    std::array<int, 3> work;
};
constexpr std::array<WorkRestRow, 17> kWorkRest{{{0, {60, 60, 60}},
                                                 {95, {60, 60, 45}},
                                                 {97, {60, 60, 40}},
                                                 {98, {60, 60, 35}},
                                                 {100, {60, 45, 30}},
                                                 {101, {60, 40, 30}},
                                                 {102, {60, 35, 25}},
                                                 {103, {60, 30, 20}},
                                                 {105, {60, 25, 15}},
                                                 {106, {45, 20, 0}},
                                                 {107, {40, 15, 0}},
                                                 {108, {35, 0, 0}},
                                                 {109, {30, 0, 0}},
                                                 {110, {15, 0, 0}},
                                                 {111, {0, 0, 0}},
                                                 {112, {0, 0, 0}},
                                                 {113, {0, 0, 0}}}};

/// What humidity adds, every ten per cent from 10 to 60 (the same table's footnote).
double humidity_adds(double percent)
{
    constexpr std::array<double, 6> kAdds{-8, -4, 0, 3, 6, 9};
    const double place = std::clamp((percent - 10) / 10, 0.0, 5.0);
    const auto low = std::min<std::size_t>(4, static_cast<std::size_t>(place));
    const double part = place - static_cast<double>(low);
    const double inside = kAdds[low] + part * (kAdds[low + 1] - kAdds[low]);
    // Beyond 60 % the table ends: it goes on as steeply, which is the more careful reading.
    return inside + std::max(0.0, percent - 60) * 0.3;
}

std::optional<double> percent_of(std::optional<Fraction> humidity)
{
    if (!humidity || !(humidity->value() >= 0 && humidity->value() <= 1)) {
        return std::nullopt;
    }
    return humidity->value() * 100;
}

}  // namespace

double heat_index_regression(double t, double r)
{
    return -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 0.00683783 * t * t -
           0.05481717 * r * r + 0.00122874 * t * t * r + 0.00085282 * t * r * r -
           0.00000199 * t * t * r * r;
}

std::optional<Celsius> heat_index(Celsius air, std::optional<Fraction> humidity)
{
    const auto percent = percent_of(humidity);
    const double t = fahrenheit(air);
    if (!percent || !(t >= -60 && t <= 150)) {
        return std::nullopt;
    }
    const double r = *percent;
    const double simple = 0.5 * (t + 61 + 1.2 * (t - 68) + 0.094 * r);
    if ((simple + t) / 2 < 80) {
        return celsius_from_fahrenheit((simple + t) / 2);
    }
    double index = heat_index_regression(t, r);
    if (r < 13 && t >= 80 && t <= 112) {
        index -= (13 - r) / 4 * std::sqrt((17 - std::abs(t - 95)) / 17);
    }
    if (r > 85 && t >= 80 && t <= 87) {
        index += (r - 85) / 10 * ((87 - t) / 5);
    }
    return celsius_from_fahrenheit(index);
}

HeatClass heat_class(std::optional<Celsius> index)
{
    if (!index) {
        return HeatClass::Unknown;
    }
    const double f = fahrenheit(*index);
    const auto from = [](const char* name) { return figure("heat", name).middle(); };
    return f < from("caution_from")           ? HeatClass::Cool
           : f < from("extreme_caution_from") ? HeatClass::Caution
           : f < from("danger_from")          ? HeatClass::ExtremeCaution
           : f < from("extreme_danger_from")  ? HeatClass::Danger
                                              : HeatClass::ExtremeDanger;
}

std::string text(HeatClass value)
{
    switch (value) {
        case HeatClass::Cool:
            return "below caution";
        case HeatClass::Caution:
            return "caution";
        case HeatClass::ExtremeCaution:
            return "extreme caution";
        case HeatClass::Danger:
            return "danger";
        case HeatClass::ExtremeDanger:
            return "extreme danger";
        case HeatClass::Unknown:
            break;
    }
    return "unknown";
}

std::optional<WorkRest> work_rest(Celsius air, std::optional<Fraction> humidity, Sunshine sun,
                                  WorkRate rate, bool suit)
{
    const auto percent = percent_of(humidity);
    if (!percent || !std::isfinite(air.value())) {
        return std::nullopt;
    }
    WorkRest advice;
    advice.adjusted_fahrenheit =
        fahrenheit(air) + humidity_adds(*percent) +
        (sun == Sunshine::Full           ? figure("heat", "full_sun_adds").middle()
         : sun == Sunshine::PartlyCloudy ? figure("heat", "part_sun_adds").middle()
                                         : 0) +
        (suit ? figure("heat", "suit_adds").middle() * 1.8 : 0);
    // The table has whole degrees: 94.6 is read as 95.
    const double whole = std::round(advice.adjusted_fahrenheit);
    int work = kNormal;
    for (const auto& row : kWorkRest) {
        if (whole >= row.from) {
            work = row.work[static_cast<std::size_t>(rate)];
        }
    }
    if (work == kStop) {
        advice.words = "stop: too hot for this work by the table";
    } else {
        advice.work = work;
        advice.rest = kNormal - work;
        advice.words =
            work == kNormal
                ? std::string{"no rest asked for by the table; drink and watch each other"}
                : fmt::format("{} min of work, {} min of rest", work, advice.rest);
    }
    return advice;
}

Celsius hourly_temperature(Celsius minimum, Celsius maximum, double sunrise, double sunset,
                           double hour)
{
    const double lag = figure("hours", "maximum_after_noon").middle();
    const double decay = figure("hours", "night_decay").middle();
    const double shift = figure("hours", "minimum_after_sunrise").middle();
    const CelsiusDelta range = maximum - minimum;
    const double daylight = sunset - sunrise;
    const auto by_day = [&](double t) {
        return std::sin(std::numbers::pi * (t - sunrise - shift) / (daylight + 2 * (lag - shift)));
    };
    // The day runs from one minimum to the next, whatever the clock's zone.
    while (hour < sunrise + shift) {
        hour += 24;
    }
    while (hour >= sunrise + shift + 24) {
        hour -= 24;
    }
    if (hour <= sunset) {
        return minimum + range * by_day(hour);
    }
    const double since = hour - sunset;
    const double night = 24 - daylight + shift;
    // Falls from the value at sunset to the minimum, which it reaches.
    const double end = std::exp(-decay);
    const double share = (std::exp(-decay * since / night) - end) / (1 - end);
    return minimum + range * (by_day(sunset) * std::max(0.0, share));
}

}  // namespace nestround::access
