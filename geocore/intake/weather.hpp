/// \file weather.hpp
/// \brief Daily minimum and maximum temperatures, or hourly readings, from a file.
///
/// Purpose:  reads plain text tables and the daily station files of the US national archive (fixed
///           width, one line an element and day, and one line a day). Gaps are found and named,
///           never filled.
/// Units:    the file's unit is named by its columns (tmin_c, tmin_f), by its format (tenths of a
///           degree Celsius in the archive's first two) or by the caller; there is no default.
/// Range:    -90 to 60 degrees Celsius, minimum <= maximum.
/// Accuracy: as the file has it; Fahrenheit is converted exactly.
/// Errors:   Failure for the file as a whole; a RefusedRow for a reading.
/// Source:   layouts: docs/reference/weather-files.md.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/intake/refused_row.hpp"
#include "geocore/records/weather.hpp"

namespace nestround::intake {

enum class TemperatureUnit { Celsius, TenthsOfCelsius, Fahrenheit };

/// "c", "tenths_c" or "f".
[[nodiscard]] std::optional<TemperatureUnit> temperature_unit(std::string_view text);

struct WeatherOptions {
    std::optional<TemperatureUnit> unit;  ///< for columns whose names have none
    std::string station;                  ///< code, for a file that names none
    std::optional<LonLat> place;          ///< of the one station of a file that does not say
    std::optional<Metres> height;         ///< likewise
    std::string zone;                     ///< of clock times in a table of hours, as Europe/Zurich
    /// The archive's list of stations, for files that give no places.
    std::optional<std::filesystem::path> station_list;
};

struct StationSeries {
    WeatherStation station;            ///< key is nil
    bool place_known = false;          ///< when false, station.place says nothing
    std::vector<WeatherDay> days;      ///< ascending, one a day; keys are nil
    std::vector<WeatherHour> hours{};  ///< ascending; keys are nil
};

/// Days without a reading between the first and the last of a station.
struct WeatherGap {
    std::string station;
    Day from{};
    Day to{};  ///< the last day missing

    friend bool operator==(const WeatherGap&, const WeatherGap&) = default;
};

struct WeatherBatch {
    std::string file;
    std::string format;                   ///< in words
    std::vector<StationSeries> stations;  ///< by code
    std::vector<WeatherGap> gaps;
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};

/// Text, or text packed as .gz.
[[nodiscard]] WeatherBatch read_weather(const std::filesystem::path& file,
                                        const WeatherOptions& options = {});

}  // namespace nestround::intake
