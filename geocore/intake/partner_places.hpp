/// \file partner_places.hpp
/// \brief Where the rows of a partner's text table are. Private.
///
/// Purpose:  columns of degrees or of a plane, a datum a row, or a footprint.
/// Units:    WGS 84 degrees out.
/// Range:    a plane needs its system named; a datum is one that users of Darwin Core write.
/// Accuracy: PROJ's.
/// Errors:   Failure that names the file; a row that has no place has a fault.
/// Source:   Darwin Core: decimalLatitude, decimalLongitude, geodeticDatum, footprintWKT.
#pragma once

#include <string>
#include <vector>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/partner_shapes.hpp"

namespace nestround::intake {

struct TextPlaces {
    std::vector<PlacedShape> shapes;   ///< of each row
    std::string field;                 ///< as messages name it
    std::vector<std::string> systems;  ///< that were met
};

[[nodiscard]] TextPlaces read_places(const Grid& grid, const Columns& columns,
                                     const std::string& crs);

}  // namespace nestround::intake
