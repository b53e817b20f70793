/// \file equal_area.hpp
/// \brief A flat map of a region on which every square metre is a square metre.
///
/// Purpose:  counts and densities per area: cells of one size are of one size on Earth too.
/// Units:    WGS 84 degrees; metres east and north of the middle.
/// Range:    regions up to some hundred kilometres from the middle, away from the poles and not
///           across the antimeridian of the middle.
/// Accuracy: areas to about 1e-9. Lengths are true along the parallel of the middle; elsewhere
///           stretched by half the square of the angle from it, 5e-4 at 200 km.
/// Errors:   none; a place that is not on Earth gives NaN.
/// Source:   J. P. Snyder, "Map projections: a working manual" (USGS PP 1395), Albers equal-area
///           conic with one standard parallel, by GeographicLib.
#pragma once

#include <memory>

#include "geocore/units/units.hpp"

namespace nestround::place {

struct PlanePoint {
    double east = 0;   ///< metres
    double north = 0;  ///< metres

    friend bool operator==(const PlanePoint&, const PlanePoint&) = default;
};

class EqualArea {
public:
    explicit EqualArea(LonLat middle);

    [[nodiscard]] PlanePoint plane(LonLat place) const;
    [[nodiscard]] LonLat earth(PlanePoint point) const;
    [[nodiscard]] LonLat middle() const { return middle_; }

private:
    struct Projection;
    std::shared_ptr<const Projection> projection_;
    LonLat middle_;
};

}  // namespace nestround::place
