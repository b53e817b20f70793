/// \file build_network.hpp
/// \brief From roads as read to a network that can be driven.
///
/// Purpose:  finds the junctions, cuts ways into edges, times them, and keeps the largest part in
///           which every place can be reached from every other.
/// Units:    whole milliseconds and millimetres an edge, each rounded once to the nearest.
/// Range:    ways meet where they share a vertex by number, never by touching. A barrier cuts the
///           road at its vertex. Loops, parallel edges and edges of no length are kept; the last
///           take 1 ms.
/// Accuracy: lengths are geodesic.
/// Errors:   InvalidInput when nothing that can be driven is left; all else is counted and told.
/// Source:   own; strong components by Boost.Graph (R. Tarjan, SIAM J. Comput. 1, 1972); order of
///           the nodes along Hilbert's curve (D. Hilbert, Math. Annalen 38, 1891).
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/raw_roads.hpp"
#include "geocore/units/units.hpp"

namespace nestround::roads {

/// A part of the network from which the kept part cannot be reached and come back from.
struct DroppedPart {
    std::size_t nodes = 0;
    std::size_t edges = 0;
    Metres length{};
    LonLat somewhere{};  ///< a place on it
};

struct BuildReport {
    std::size_t ways_seen = 0;
    std::size_t ways_used = 0;
    std::size_t barriers = 0;      ///< vertices at which the road is cut
    std::size_t restrictions = 0;  ///< turn restrictions read
    std::size_t restrictions_applied = 0;
    std::size_t nodes = 0;  ///< kept
    std::size_t edges = 0;
    std::size_t arcs = 0;  ///< directions that may be driven
    Metres length{};
    std::size_t parts_dropped = 0;
    std::size_t edges_dropped = 0;
    Metres length_dropped{};
    std::vector<DroppedPart> largest_dropped;  ///< longest first, five at most
    std::vector<LeftOut> left_out;
    std::vector<SourceRead> sources;  ///< where there were several
};

/// The report for a person, a line each.
[[nodiscard]] std::vector<std::string> text_lines(const BuildReport& report);

struct BuiltNetwork {
    RoadNetwork network;
    BuildReport report;
};

[[nodiscard]] Result<BuiltNetwork> build_network(const RawRoads& raw);

}  // namespace nestround::roads
