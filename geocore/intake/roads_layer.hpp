/// \file roads_layer.hpp
/// \brief Roads from any line layer that GDAL reads.
///
/// Purpose:  a county's own centre lines instead of, or beside, an OpenStreetMap extract.
/// Units:    speeds in km/h, or with a unit as maxspeed has it ("35 mph"); they are taken as the
///           speed driven, up to the truck's own top speed. Any coordinate system that PROJ knows.
/// Range:    lines meet where they share a vertex after rounding to 1e-7 degree; those of other
///           levels, and near misses, see roads/join_lines.hpp.
///           Class words are those of road_class.hpp. One-way: yes, 1, true, F, FT, forward; -1, T,
///           TF, reverse, backward; no, 0, false, B, N, both or empty, in any case.
/// Accuracy: that of the layer; 1 cm of rounding.
/// Errors:   Failure: NotFound for a missing file or layer; InvalidInput for a column that is not
///           there (the message lists those that are), a layer without coordinate system or with
///           one that does not go with its numbers, lines off the Earth. A value that can't be read
///           is passed over, counted and told.
/// Source:   own; GDAL, PROJ.
#pragma once

#include <string>

#include "geocore/intake/progress.hpp"
#include "geocore/roads/raw_roads.hpp"

namespace nestround::intake {

/// Empty texts stand for "none"; an empty layer for the first that holds lines.
struct RoadColumns {
    std::string layer;
    std::string speed;
    std::string road_class;
    std::string one_way;
    std::string name;  ///< "name" is taken by itself where there is one
    std::string crs;   ///< for a layer that does not tell, as "EPSG:25832"
    std::string level =
        {};  ///< which of crossing lines are above: a whole number, or yes for a bridge
};

[[nodiscard]] roads::RawRoads read_layer_roads(const std::string& path, const RoadColumns& columns,
                                               const Progress& progress = {});

}  // namespace nestround::intake
