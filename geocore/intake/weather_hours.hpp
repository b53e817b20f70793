/// \file weather_hours.hpp
/// \brief Hourly readings from a table: temperature, humidity, wind, gusts, thunder.
///
/// Purpose:  the days on which crews work, hour by hour; a table with a column `time` is one.
/// Units:    by the column's name: temperature_c or _f; humidity_percent; wind_m_s, wind_km_h,
///           wind_mph or wind_kn, and gust likewise; thunder is yes or no.
/// Range:    -90 to 60 degrees Celsius, 0 to 100 %, 0 to 120 m/s; a gust is not below its wind.
/// Accuracy: as the file has it. A clock time is of the zone given; one with Z or an offset is not.
/// Errors:   Failure for the file as a whole; a RefusedRow for a line. An empty cell is a value not
///           measured.
/// Source:   docs/reference/weather-files.md; 1 kn = 1852 m/h, 1 mi = 1609.344 m.
#pragma once

#include "geocore/intake/fields.hpp"
#include "geocore/intake/weather.hpp"

namespace nestround::intake {

/// Whether this is a table of hours.
[[nodiscard]] bool is_hour_table(const Grid& grid);
/// Stations with their hours, into a batch that has its file's name.
void read_hour_table(const Grid& grid, const WeatherOptions& options, WeatherBatch& batch);

}  // namespace nestround::intake
