/// \file roads_points.hpp
/// \brief Named places from a table or a point layer.
///
/// Purpose:  the stops of `roads times`.
/// Units:    degrees; any coordinate system of a layer is taken to WGS 84.
/// Range:    a CSV file with columns name, lon, lat (longitude, latitude, x, y do too), or whatever
///           GDAL reads as points. Name is the column "name", else "id", else "place N".
/// Accuracy: that of the file.
/// Errors:   Failure: NotFound for a missing file; InvalidInput naming the row without a good
/// place,
///           or a file without any.
/// Source:   own; GDAL, PROJ.
#pragma once

#include <string>
#include <vector>

#include "geocore/units/units.hpp"

namespace nestround::intake {

struct NamedPlace {
    std::string name;
    LonLat at{};
};

[[nodiscard]] std::vector<NamedPlace> read_points(const std::string& path);

}  // namespace nestround::intake
