/// \file partner_shapes.hpp
/// \brief The features of a foreign layer as rows with a place on WGS 84. Private.
///
/// Purpose:  points stay points; an area becomes its middle and the way to its farthest corner.
/// Units:    degrees and metres out.
/// Range:    points, one-point multipoints, polygons and multipolygons.
/// Accuracy: PROJ's; the middle of an area is that of its degrees.
/// Errors:   Failure that names the file; a row whose shape does not fit has a fault.
/// Source:   GDAL, PROJ.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/intake/foreign_file.hpp"
#include "geocore/intake/grid.hpp"
#include "geocore/records/partner.hpp"

namespace nestround::intake {

struct PlacedShape {
    std::optional<LonLat> place;
    PlaceForm form = PlaceForm::Point;
    double corner_m = 0;  ///< from the middle of an area to its farthest corner
    std::string fault;
};

struct ShapeTable {
    Grid grid;  ///< only the columns that are read
    std::vector<PlacedShape> shapes;
    std::string layer;
    std::string crs;
    bool generalised = false;  ///< the layer says that its places were moved to a grid
    std::vector<std::string> unused;
};

/// `crs` is used when the layer names none.
[[nodiscard]] ShapeTable read_shapes(const ForeignFile& file, const std::string& layer,
                                     const std::string& crs,
                                     const std::map<std::string, std::string>& mapping,
                                     std::map<std::string, std::string>& chosen);

/// The place of a footprint written as WKT in degrees.
[[nodiscard]] PlacedShape shape_of_wkt(const std::string& wkt);

}  // namespace nestround::intake
