/// \file density_file.hpp
/// \brief Densities as files that a GIS opens: cells as a GeoPackage, the surface as a GeoTIFF.
///
/// Purpose:  `nestround density --to F.gpkg --raster F.tif`.
/// Units:    nests per square kilometre and season; WGS 84 degrees for the cells, metres of the
///           equal-area conic for the surface, so that its pixels are of one size.
/// Range:    GeoPackage names end in .gpkg and must be new, rasters in .tif.
/// Accuracy: cells' sides are straight on the equal-area plane and cut into eight geodesics each;
///           the raster holds 32-bit floats, NaN where nothing was searched.
/// Promise:  whole or not at all; the same map gives the same bytes but for GDAL's own time stamps
///           in a GeoPackage. The raster is a Cloud Optimized GeoTIFF: band 1 the density, band 2
///           its standard error.
/// Errors:   throws Failure: BadUsage for another ending, OutputFailed.
/// Source:   OGC 12-128r17, OGC 21-026 (Cloud Optimized GeoTIFF), written by GDAL.
#pragma once

#include <string>

#include "geocore/density/density_map.hpp"

namespace nestround::sheets {

/// Before long work: throws what the writers would throw for the name alone.
void check_density_names(const std::string& cells, const std::string& raster);
void write_density_cells(const density::DensityMap& map, const std::string& path);
void write_density_raster(const density::DensityMap& map, const std::string& path);

}  // namespace nestround::sheets
