/// \file geodesic.hpp
/// \brief Shortest distances on the WGS 84 ellipsoid.
///
/// Purpose:  lengths of roads and distances between places that no map projection bends.
/// Units:    degrees in, metres and degrees out; azimuths clockwise from north.
/// Range:    all of the Earth, poles and antimeridian included.
/// Accuracy: about 15 nanometres, as the library states.
/// Errors:   none; a place that is not on Earth gives NaN.
/// Source:   C. F. F. Karney, "Algorithms for geodesics", J. Geodesy 87 (2013), by GeographicLib.
#pragma once

#include "geocore/units/units.hpp"

namespace nestround::place {

[[nodiscard]] Metres geodesic_distance(LonLat from, LonLat to);

/// The azimuth at `from` of the shortest line to `to`, in (-180, 180].
[[nodiscard]] double geodesic_azimuth(LonLat from, LonLat to);

/// The place reached by going straight on for `distance`.
[[nodiscard]] LonLat geodesic_destination(LonLat from, double azimuth_degrees, Metres distance);

}  // namespace nestround::place
