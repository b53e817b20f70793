/// \file heat.hpp
/// \brief Heat index, advice on work and rest, and an hour-by-hour temperature from two readings.
///
/// Purpose:  whether a suit may be worn in that hour, as decision support; medical advice comes
///           first.
/// Units:    Celsius outside, Fahrenheit inside the published formulas; relative humidity 0 to 1;
///           hours of local solar or clock time as the caller gives sunrise and sunset.
/// Range:    heat index as published: 80 F and up by regression, cooler by the simple form.
/// Accuracy: regression within 1.3 F of its model (stated); shade values, full sun adds up to 15 F.
///           Hourly temperature is a curve through two readings, not a measurement.
/// Errors:   without humidity the heat index is empty, never a number.
/// Source:   US weather service, heat index equation with both adjustments; NIOSH 2016-106 table
/// 6-2
///           (work and rest); W. Parton and J. Logan, Agric. Meteorol. 23 (1981) 205, with Denver's
///           coefficients at 1.5 m (second-hand).
#pragma once

#include <optional>
#include <string>

#include "geocore/units/units.hpp"

namespace nestround::access {

enum class HeatClass { Unknown, Cool, Caution, ExtremeCaution, Danger, ExtremeDanger };

/// Empty without humidity, or when either is no number or out of bounds.
[[nodiscard]] std::optional<Celsius> heat_index(Celsius air, std::optional<Fraction> humidity);
/// The regression without its adjustments, as the printed chart has it; Fahrenheit and per cent.
[[nodiscard]] double heat_index_regression(double fahrenheit, double percent);
[[nodiscard]] HeatClass heat_class(std::optional<Celsius> index);
[[nodiscard]] std::string text(HeatClass value);

enum class WorkRate { Light, Moderate, Heavy };
enum class Sunshine { Shade, PartlyCloudy, Full };

/// Minutes of work and rest of each hour; no `work` means stop.
struct WorkRest {
    std::optional<int> work;
    int rest = 0;
    double adjusted_fahrenheit = 0;
    std::string words;
};

/// Empty without humidity. `suit`: a sting suit counts as warmer air (row heat,suit_adds).
[[nodiscard]] std::optional<WorkRest> work_rest(Celsius air, std::optional<Fraction> humidity,
                                                Sunshine sun, WorkRate rate, bool suit);

/// Hours of any clock; sunset is given as sunrise and the length of the day, so it may pass 24.
[[nodiscard]] Celsius hourly_temperature(Celsius minimum, Celsius maximum, double sunrise,
                                         double sunset, double hour);

}  // namespace nestround::access
