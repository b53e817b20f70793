/// \file road_point.hpp
/// \brief Coordinates of the road network as whole numbers.
///
/// Purpose:  two ways meet when they share a vertex, and that must be a comparison of integers.
/// Units:    1e-7 degree, WGS 84: about 11 mm on a meridian, the precision of OpenStreetMap.
/// Range:    |lon| <= 180 degrees, |lat| <= 90 degrees; both fit in 32 bits.
/// Accuracy: rounding moves a place by 8 mm at most.
/// Errors:   road_point() needs a place on Earth (precondition, see is_on_earth).
/// Source:   own.
#pragma once

#include <cmath>
#include <compare>
#include <cstdint>

#include "geocore/units/units.hpp"

namespace nestround::roads {

struct RoadPoint {
    std::int32_t lon_e7 = 0;
    std::int32_t lat_e7 = 0;

    friend constexpr auto operator<=>(const RoadPoint&, const RoadPoint&) = default;
};

[[nodiscard]] inline RoadPoint road_point(LonLat place)
{
    return {static_cast<std::int32_t>(std::llround(place.lon.value() * 1e7)),
            static_cast<std::int32_t>(std::llround(place.lat.value() * 1e7))};
}

[[nodiscard]] constexpr LonLat lon_lat(RoadPoint point)
{
    return {Longitude{point.lon_e7 / 1e7}, Latitude{point.lat_e7 / 1e7}};
}

}  // namespace nestround::roads
