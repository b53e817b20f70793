/// \file area_layer.hpp
/// \brief Land from any layer of polygons.
///
/// Purpose:  the land that a crew searches or serves, as another program drew it.
/// Units:    WGS 84 degrees; layers in other systems are turned into it.
/// Range:    polygons and multi-polygons; overlapping ones become one.
/// Accuracy: that of the layer and of PROJ's way from its system.
/// Promise:  outer rings run counterclockwise, holes clockwise; the first point is not repeated.
/// Errors:   Failure that names the file: NotFound, InvalidInput (no polygons, no system of
///           coordinates, a broken shape that cannot be mended).
/// Source:   GDAL, GEOS.
#pragma once

#include <string>
#include <vector>

#include "geocore/units/units.hpp"

namespace nestround::intake {

[[nodiscard]] std::vector<std::vector<LonLat>> read_area(const std::string& path);

}  // namespace nestround::intake
