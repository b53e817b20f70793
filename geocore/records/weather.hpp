/// \file weather.hpp
/// \brief Stations and their daily and hourly readings.
///
/// Purpose:  plain records as the book holds them.
/// Units:    Celsius; height above sea level in metres; wind in metres a second.
/// Range:    minimum <= maximum; a missing day is a missing row, never a made-up one.
/// Accuracy: as measured.
/// Errors:   none; the intake and the book's CHECKs refuse bad values.
/// Source:   own.
#pragma once

#include <optional>
#include <string>

#include "geocore/base/calendar.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"

namespace nestround {

struct WeatherStation {
    StationId id;
    std::string code;  ///< the archive's own station code, or a name
    std::string name;
    LonLat place{};
    std::optional<Metres> height;
};

struct WeatherDay {
    StationId station;
    Day day{};
    Celsius minimum{};
    Celsius maximum{};
};

/// It stands until the next reading, at most for an hour; what was not measured is empty.
struct WeatherHour {
    StationId station;
    Instant at{};
    std::optional<Celsius> temperature;
    std::optional<Fraction> humidity;
    std::optional<MetresPerSecond> wind;
    std::optional<MetresPerSecond> gust;
    std::optional<bool> thunder;

    friend bool operator==(const WeatherHour&, const WeatherHour&) = default;
};

}  // namespace nestround
