#include "planner/app/day_conditions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geocore/intake/time_zone.hpp"
#include "geocore/place/geodesic.hpp"
#include "geocore/place/sun.hpp"
#include "planner/access/heat.hpp"

namespace nestround::app {

namespace {

constexpr seconds kHour{3600};

/// Seconds on the clock since the midnight that begins `on`; other days fall outside 0 to 24 h.
seconds on_clock(Instant at, Day on, const std::string& zone)
{
    const auto there = value_or_throw(intake::to_local(at, zone));
    return there.clock.since_midnight() + std::chrono::duration_cast<seconds>(there.day - on);
}

std::string named(const WeatherStation& station, Metres away)
{
    return fmt::format("{}, {:.0f} km ({:.0f} mi) from the depot",
                       station.name.empty() ? station.code : station.name, away.value() / 1000,
                       miles(away));
}

/// Stations by their distance.
std::vector<std::pair<Metres, WeatherStation>> nearest(const book::Book& book, LonLat place)
{
    std::vector<std::pair<Metres, WeatherStation>> result;
    for (auto& station : book.stations()) {
        result.emplace_back(place::geodesic_distance(place, station.place), station);
    }
    std::stable_sort(result.begin(), result.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    return result;
}

std::vector<day::HourOfWeather> hours_of(const std::vector<WeatherHour>& readings, Day on,
                                         const std::string& zone)
{
    std::vector<day::HourOfWeather> hours;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const auto& reading = readings[i];
        const Instant until = i + 1 < readings.size()
                                  ? std::min(readings[i + 1].at, reading.at + kHour)
                                  : reading.at + kHour;
        day::HourOfWeather hour;
        hour.from = on_clock(reading.at, on, zone);
        hour.to = std::max(on_clock(until, on, zone), hour.from);
        hour.air = reading.temperature;
        hour.humidity = reading.humidity;
        hour.wind = reading.wind;
        hour.gust = reading.gust;
        hour.thunder = reading.thunder;
        hours.push_back(hour);
    }
    return hours;
}

/// The warmer end of each hour of the curve through two readings.
std::vector<day::HourOfWeather> curve_through(const WeatherDay& reading, LonLat place,
                                              const std::string& zone)
{
    std::vector<day::HourOfWeather> hours;
    const auto sun = place::sun_span(place, reading.day);
    if (!sun.begins || !sun.ends) {
        return hours;
    }
    const double rise =
        static_cast<double>(on_clock(*sun.begins, reading.day, zone).count()) / 3600;
    const double set = rise + static_cast<double>((*sun.ends - *sun.begins).count()) / 3600;
    for (int h = 0; h < 24; ++h) {
        day::HourOfWeather hour;
        hour.from = h * kHour;
        hour.to = hour.from + kHour;
        hour.air = std::max(
            access::hourly_temperature(reading.minimum, reading.maximum, rise, set, h),
            access::hourly_temperature(reading.minimum, reading.maximum, rise, set, h + 1));
        hours.push_back(hour);
    }
    return hours;
}

}  // namespace

day::Daylight daylight(LonLat place, Day on, const std::string& zone, day::Light light)
{
    const auto span = place::sun_span(
        place, on,
        light == day::Light::CivilTwilight ? place::kCivilZenith : place::kSunriseZenith);
    if (span.begins && span.ends) {
        return {on_clock(*span.begins, on, zone), on_clock(*span.ends, on, zone)};
    }
    return span.polar == place::Polar::AlwaysAbove ? day::Daylight{-24 * kHour, 72 * kHour}
                                                   : day::Daylight{kHour, seconds{0}};
}

day::DayConditions day_conditions(const book::Book& book, Day on, LonLat place,
                                  const std::string& zone, day::Light light)
{
    day::DayConditions conditions;
    conditions.light = daylight(place, on, zone, light);
    const Instant begins = value_or_throw(intake::to_utc(on, ClockTime{}, zone));
    const auto stations = nearest(book, place);
    for (const auto& [away, station] : stations) {
        // A night shift may end on the next day.
        const auto readings = book.weather_hours(station.id, begins - kHour, begins + 36 * kHour);
        const bool has_today = std::any_of(readings.begin(), readings.end(), [&](const auto& hour) {
            return hour.at >= begins && hour.at < begins + 24 * kHour;
        });
        if (has_today) {
            conditions.hours = hours_of(readings, on, zone);
            conditions.source = "hourly readings of " + named(station, away);
            return conditions;
        }
    }
    for (const auto& [away, station] : stations) {
        if (const auto days = book.weather(station.id, on, on); !days.empty()) {
            conditions.hours = curve_through(days.front(), place, zone);
            conditions.source =
                conditions.hours.empty()
                    ? std::string{}
                    : fmt::format(
                          "temperature by a published curve through the day's lowest and "
                          "highest of {}; not measured",
                          named(station, away));
            return conditions;
        }
    }
    return conditions;
}

}  // namespace nestround::app
