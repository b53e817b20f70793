/// \file units.hpp
/// \brief The units used inside the program, and the US customary forms the rim converts to.
///
/// Purpose:  one list of units; inside, only these. Conversion happens at the rim, by name.
/// Units:    as each alias says.
/// Range:    unlimited.
/// Accuracy: conversions are exact by definition of the US customary units, up to rounding.
/// Errors:   none.
/// Source:   international yard and pound agreement of 1959: 1 ft = 0.3048 m, 1 mi = 1609.344 m,
///           1 lb = 453.59237 g, 1 in = 0.0254 m.
#pragma once

#include "geocore/units/quantity.hpp"

namespace nestround {

using Metres = Quantity<struct MetreTag>;
using MetresPerSecond = Quantity<struct MetrePerSecondTag>;
using Grams = Quantity<struct GramTag>;
using Milligrams = Quantity<struct MilligramTag>;
using Micrograms = Quantity<struct MicrogramTag>;
using Longitude = Quantity<struct LongitudeTag>;   ///< degrees east, WGS 84
using Latitude = Quantity<struct LatitudeTag>;     ///< degrees north, WGS 84
using CelsiusDelta = Quantity<struct CelsiusTag>;  ///< a rise or fall in temperature
using Celsius = Point<CelsiusDelta>;               ///< a thermometer reading
using DegreeDays = Quantity<struct DegreeDayTag>;  ///< degrees Celsius times days
using Fraction = Quantity<struct FractionTag>;     ///< a share, 0 to 1

/// A place on the WGS 84 ellipsoid. Two types, so that swapping the order does not compile.
struct LonLat {
    Longitude lon;
    Latitude lat;

    friend constexpr bool operator==(const LonLat&, const LonLat&) = default;
};

/// Whether `place` is on Earth: finite, |lat| <= 90, |lon| <= 180.
[[nodiscard]] constexpr bool is_on_earth(LonLat place)
{
    // Written so that NaN fails.
    return place.lon.value() >= -180 && place.lon.value() <= 180 && place.lat.value() >= -90 &&
           place.lat.value() <= 90;
}

[[nodiscard]] constexpr Metres metres_from_feet(double feet) { return Metres{feet * 0.3048}; }
[[nodiscard]] constexpr double feet(Metres m) { return m.value() / 0.3048; }
[[nodiscard]] constexpr double inches(Metres m) { return m.value() / 0.0254; }
[[nodiscard]] constexpr double miles(Metres m) { return m.value() / 1609.344; }
[[nodiscard]] constexpr double miles_per_hour(MetresPerSecond v)
{
    return v.value() * 3600 / 1609.344;
}
[[nodiscard]] constexpr MetresPerSecond from_miles_per_hour(double v)
{
    return MetresPerSecond{v * 1609.344 / 3600};
}
[[nodiscard]] constexpr double pounds(Grams g) { return g.value() / 453.59237; }
[[nodiscard]] constexpr double ounces(Grams g) { return pounds(g) * 16; }
[[nodiscard]] constexpr Celsius celsius_from_fahrenheit(double f)
{
    return Celsius{(f - 32) / 1.8};
}
[[nodiscard]] constexpr double fahrenheit(Celsius t) { return t.value() * 1.8 + 32; }
[[nodiscard]] constexpr Grams grams(Milligrams m) { return Grams{m.value() / 1000}; }
[[nodiscard]] constexpr Milligrams milligrams(Grams g) { return Milligrams{g.value() * 1000}; }

}  // namespace nestround
