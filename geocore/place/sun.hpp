/// \file sun.hpp
/// \brief When the sun rises and sets, and when twilight begins and ends.
///
/// Purpose:  daylight for work on ladders.
/// Units:    UTC; degrees. Zeniths: rise and set 90.833, civil 96, nautical 102, astronomical 108.
/// Range:    any place; where the sun does not cross the zenith on that day, the event is empty and
///           `polar` says on which side it stays.
/// Accuracy: some seconds against almanacs between the polar circles, years 1900 to 2100; weather
///           and hills move the real event by minutes.
/// Errors:   none; a place off the Earth gives empty events.
/// Source:   series of the low-precision solar position in J. Meeus, Astronomical Algorithms, as
/// the
///           US weather agency's calculator uses them (coefficients recalled); checked against
///           almanac values in tests/published/access.
#pragma once

#include <optional>

#include "geocore/base/calendar.hpp"
#include "geocore/units/units.hpp"

namespace nestround::place {

inline constexpr double kSunriseZenith = 90.833;
inline constexpr double kCivilZenith = 96;
inline constexpr double kNauticalZenith = 102;
inline constexpr double kAstronomicalZenith = 108;

enum class Polar { No, AlwaysAbove, AlwaysBelow };

struct SunSpan {
    std::optional<Instant> begins;  ///< the sun comes up to the zenith angle
    std::optional<Instant> ends;
    Polar polar = Polar::No;
};

/// The crossing nearest before and after that day's noon by the sun at `place`; `day` is the date
/// there.
[[nodiscard]] SunSpan sun_span(LonLat place, Day day, double zenith_degrees = kSunriseZenith);
/// The sun's highest moment of that day.
[[nodiscard]] Instant solar_noon(LonLat place, Day day);

}  // namespace nestround::place
