/// \file road_line.hpp
/// \brief The line driven, from the edges of a route.
///
/// Purpose:  shared by the engines: cuts the first and the last edge at the stops and joins all.
/// Units:    degrees.
/// Range:    a line has two points at least, equal ones when nothing is driven.
/// Accuracy: vertices are those of the network; the cuts are the stops' own points.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::roads {

/// An edge and the direction in which it is driven.
struct DrivenEdge {
    std::uint32_t edge = 0;
    bool forward = true;
};

/// `driven` begins with the edge of `from` and ends with that of `to`; a single entry means that
/// the way stays on the one edge.
[[nodiscard]] std::vector<LonLat> line_of(const RoadNetwork& network, const RoadStop& from,
                                          std::span<const DrivenEdge> driven, const RoadStop& to);

}  // namespace nestround::roads
