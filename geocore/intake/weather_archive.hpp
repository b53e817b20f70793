/// \file weather_archive.hpp
/// \brief The two forms of the US national archive's daily files that have one element a line.
///
/// Purpose:  recognises and reads the fixed-width station file and its comma-separated sister, and
///           the list of stations.
/// Units:    temperatures in tenths of a degree Celsius, -9999 where missing; the list in degrees
///           and metres.
/// Range:    elements TMIN and TMAX; others are passed over.
/// Accuracy: exact.
/// Errors:   lines that do not fit are refused by number.
/// Source:   readme of the Global Historical Climatology Network daily, sections III and IV, and
///           readme-by_station: see docs/reference/weather-files.md.
#pragma once

#include <string_view>

#include "geocore/intake/weather_series.hpp"

namespace nestround::intake {

[[nodiscard]] bool is_fixed_width_archive(std::string_view text);
void read_fixed_width_archive(std::string_view text, WeatherSeries& series);

[[nodiscard]] bool is_element_archive(std::string_view text);
/// `file` is named in messages.
void read_element_archive(std::string_view text, const std::string& file, WeatherSeries& series);

/// Tells `series` where its stations are: only those whose code is among `codes`.
void read_station_list(std::string_view text, const std::vector<std::string>& codes,
                       WeatherSeries& series);

}  // namespace nestround::intake
