/// \file line_area.hpp
/// \brief Areas around lines: what lies within a width of any of them, small holes filled.
///
/// Purpose:  from the roads that are reached to a polygon that people can look at and others read.
/// Units:    degrees on WGS 84, metres, square metres.
/// Range:    lines within some hundred kilometres of the middle; not across the antimeridian, not
///           around a pole.
/// Accuracy: the width is true to 1e-3 up to 400 km from the middle (azimuthal equidistant: the
///           error is a sixth of the squared angle); round ends are 16-gons inside the circle, 2 %
///           short at most; lines are simplified by a twentieth of the width first. Corners are
///           rounded to 1e-7 degree without making the area invalid. Areas in square metres are
///           those of the ellipsoid.
/// Promise:  outer rings run counterclockwise, holes clockwise, and each is closed (RFC 7946); the
///           area is valid in the sense of OGC 06-103r4; each area that grows covers the former,
///           but for that rounding.
/// Errors:   Internal when GEOS cannot do it.
/// Source:   GEOS (buffer, union); C. F. F. Karney, J. Geodesy 87 (2013), by GeographicLib.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::place {

using Ring = std::vector<LonLat>;

/// Polygons that do not overlap: the first ring of each is the outer one, the others are holes.
struct Area {
    std::vector<std::vector<Ring>> polygons;
    double square_metres = 0;
};

struct AreaOptions {
    Metres width{200};           ///< to each side
    double hole_m2 = 1'000'000;  ///< holes smaller than this are filled
};

class LineArea {
public:
    explicit LineArea(LonLat middle, AreaOptions options = {});
    ~LineArea();
    LineArea(const LineArea&) = delete;
    LineArea& operator=(const LineArea&) = delete;

    /// The area with these lines added.
    [[nodiscard]] Result<Area> grow(std::span<const std::vector<LonLat>> lines);

private:
    struct Plane;
    std::unique_ptr<Plane> plane_;
};

/// Of the ellipsoid; lines from corner to corner are geodesics.
[[nodiscard]] double square_metres(const Area& area);

/// What makes the area invalid, or an empty text.
[[nodiscard]] std::string fault_of(const Area& area);

/// The part of `inner` that `outer` does not cover, in square degrees.
[[nodiscard]] double uncovered(const Area& inner, const Area& outer);

}  // namespace nestround::place
