/// \file area_file.hpp
/// \brief Areas reached within so many minutes, as a file that maps read.
///
/// Purpose:  GeoPackage for a desk's map, GeoJSON for anything on the web.
/// Units:    minutes, square kilometres, kilometres, metres; WGS 84 degrees with seven decimals.
/// Range:    a name that ends in .gpkg or .geojson (.json). The greatest area comes first, so that
///           the lesser ones are drawn upon it.
/// Accuracy: not applicable.
/// Promise:  whole or not at all. A GeoPackage must be a new file: no book is ever written over.
/// Errors:   throws Failure: BadUsage for another ending, OutputFailed when the file is there
///           already or cannot be written.
/// Source:   RFC 7946; OGC 12-128r17, written by GDAL.
#pragma once

#include <string>
#include <vector>

#include "geocore/place/line_area.hpp"

namespace nestround::sheets {

struct ReachedArea {
    int minutes = 0;
    double road_km = 0;  ///< reached within these minutes, each stretch once
    place::Area area;
};

struct ReachedAreas {
    std::vector<ReachedArea> areas;  ///< by minutes
    double width_m = 0;              ///< of the area to each side of a road
    std::string attribution;
};

/// Before long work: throws what write_areas would throw for the name alone.
void check_area_name(const std::string& path);
void write_areas(const ReachedAreas& areas, const std::string& path);

}  // namespace nestround::sheets
