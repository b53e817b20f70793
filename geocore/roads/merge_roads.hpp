/// \file merge_roads.hpp
/// \brief One set of roads from several files.
///
/// Purpose:  neighbouring or overlapping extracts, and layers of lines beside them, become one
///           network without a road twice.
/// Units:    as raw_roads.hpp.
/// Range:    ways, vertices and turn restrictions of OpenStreetMap are known by their numbers: what
///           one file lacks another may have. A way that each file holds a part of is put together
///           where the parts share vertices; parts that share none stay apart under one number. Of
///           two drawings that contradict each other the longer is taken; of two sets of tags or
///           two places of a vertex the first. A barrier in any file is a barrier. Lines of a layer
///           get numbers of their own and meet the rest where a vertex stands at the same place, to
///           1e-7 degree, and at the same level.
/// Accuracy: exact.
/// Errors:   none; what is mended or contradicts is counted by reason.
/// Source:   own.
#pragma once

#include <vector>

#include "geocore/roads/raw_roads.hpp"

namespace nestround::roads {

/// The earlier file has the say. A single one is handed through.
[[nodiscard]] RawRoads merge_roads(std::vector<RawRoads> parts);

}  // namespace nestround::roads
