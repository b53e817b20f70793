/// \file road_pieces.hpp
/// \brief Ways cut at their junctions: the first half of building a network.
///
/// Purpose:  topology, lengths and times, before anything is dropped or put in order.
/// Units:    as RoadEdge.
/// Range:    as build_network.hpp.
/// Accuracy: as build_network.hpp.
/// Errors:   none; what cannot be used is counted.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/roads/network.hpp"
#include "geocore/roads/raw_roads.hpp"

namespace nestround::roads {

struct RoadPiece {
    RoadEdge edge;  ///< its name is not filled
    std::vector<RoadPoint> line;
    const std::string* name = nullptr;  ///< in the raw roads
    const std::string* condition = nullptr;
    RoadLimits limits;      ///< its condition is not filled
    std::uint32_t way = 0;  ///< number in the raw roads
    std::int64_t from_vertex = 0;
    std::int64_t to_vertex = 0;
};

struct RoadPieces {
    std::vector<RoadPoint> nodes;
    std::vector<RoadPiece> pieces;
    std::vector<LeftOut> left_out;
    std::size_t ways_used = 0;
    std::size_t barriers = 0;
};

[[nodiscard]] RoadPieces cut_at_junctions(const RawRoads& raw);

}  // namespace nestround::roads
