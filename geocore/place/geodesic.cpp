#include "geocore/place/geodesic.hpp"

#include <GeographicLib/Geodesic.hpp>

namespace nestround::place {

using GeographicLib::Geodesic;

Metres geodesic_distance(LonLat from, LonLat to)
{
    double metres = 0;
    Geodesic::WGS84().Inverse(from.lat.value(), from.lon.value(), to.lat.value(), to.lon.value(),
                              metres);
    return Metres{metres};
}

double geodesic_azimuth(LonLat from, LonLat to)
{
    double at_start = 0;
    double at_end = 0;
    Geodesic::WGS84().Inverse(from.lat.value(), from.lon.value(), to.lat.value(), to.lon.value(),
                              at_start, at_end);
    return at_start;
}

LonLat geodesic_destination(LonLat from, double azimuth_degrees, Metres distance)
{
    double lat = 0;
    double lon = 0;
    Geodesic::WGS84().Direct(from.lat.value(), from.lon.value(), azimuth_degrees, distance.value(),
                             lat, lon);
    return LonLat{Longitude{lon}, Latitude{lat}};
}

}  // namespace nestround::place
