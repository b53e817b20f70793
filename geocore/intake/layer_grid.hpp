/// \file layer_grid.hpp
/// \brief A layer that GDAL reads, as a grid of text with points in longitude and latitude.
///
/// Purpose:  the only reader of point layers; knows formats and coordinate systems, not calls.
/// Units:    WGS 84 degrees out, whatever the layer has in.
/// Range:    files with one layer, or with one that has geometry, or with a layer named; formats
///           that are services or that point to other files are not opened.
/// Accuracy: PROJ's transformation without grids from the network.
/// Errors:   Failure with GDAL's own words in it.
/// Source:   GDAL vector drivers.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "geocore/intake/grid.hpp"

namespace nestround::intake {

/// `crs` is used when the layer names none: "EPSG:32632".
[[nodiscard]] Grid read_layer_grid(const std::filesystem::path& file, const std::string& layer,
                                   const std::string& crs);

/// Coordinates of a system as they stand in a file: x is east or longitude.
struct RawPoint {
    double x = 0;
    double y = 0;
};

/// Each as WGS 84; NaN where the transformation does not reach. `file` is named in messages.
[[nodiscard]] std::vector<LonLat> to_wgs84(std::span<const RawPoint> points, const std::string& crs,
                                           const std::string& file);

/// Throws when the points of a file that names no system cannot be degrees.
void require_degrees(std::span<const RawPoint> points, const std::string& file);

}  // namespace nestround::intake
