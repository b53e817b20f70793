/// \file network.hpp
/// \brief The road network: junctions, the edges between them, and how long each takes.
///
/// Purpose:  everything that travels, snaps or draws reads this one immutable thing. All of it is
///           flat arrays of whole numbers, so that it can be written to a file as it stands.
/// Units:    1e-7 degree, whole milliseconds, whole millimetres.
/// Range:    1 to 2^31 edges; an edge takes 1 ms to kLongestEdge and is up to 4,294 km long.
/// Accuracy: lengths are geodesic, rounded once an edge.
/// Errors:   make() gives InvalidInput for arrays that contradict each other; a network that exists
///           is sound, and no index in it leads outside.
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/roads/road_class.hpp"
#include "geocore/roads/road_point.hpp"
#include "geocore/roads/travel_graph.hpp"

namespace nestround::roads {

/// A direction that must not be driven.
inline constexpr std::uint32_t kClosed = 0xffffffff;
inline constexpr std::uint32_t kLongestEdge = 0x3fffffff;  ///< milliseconds, 12 days

enum EdgeFlag : std::uint8_t {
    kFlagByLeave = 1,  ///< private
    kFlagRoundabout = 2,
    kFlagUnpaved = 4,
};

/// A stretch between two junctions; forward is the direction in which it is drawn. Stored in road
/// files byte for byte.
struct RoadEdge {
    std::uint32_t from = 0;  ///< node where the drawing begins
    std::uint32_t to = 0;
    std::uint32_t forward_ms = kClosed;
    std::uint32_t backward_ms = kClosed;
    std::uint32_t length_mm = 0;
    std::uint32_t name = 0;  ///< see RoadNetwork::name
    RoadClass road_class = RoadClass::Unclassified;
    std::uint8_t flags = 0;
    std::uint16_t spare = 0;

    friend bool operator==(const RoadEdge&, const RoadEdge&) = default;
};
static_assert(sizeof(RoadEdge) == 28);

struct RoadBox {
    RoadPoint low;   ///< south-west
    RoadPoint high;  ///< north-east
};

/// The arrays of a network; `make` checks them.
struct NetworkData {
    std::vector<RoadPoint> nodes;             ///< along a space-filling curve
    std::vector<RoadEdge> edges;              ///< by first node
    std::vector<std::uint32_t> first_point;   ///< edges + 1 offsets into points
    std::vector<RoadPoint> points;            ///< polylines, both ends included
    std::vector<std::uint32_t> first_letter;  ///< names + 1 offsets into letters; name 0 is empty
    std::string letters;                      ///< UTF-8
    TravelGraphData graph;                    ///< empty: one state a junction, see plain_graph
    std::string attribution;                  ///< to be printed with any map
    std::string source;                       ///< name of the file it was built from
    std::string report;                       ///< what was kept and dropped, lines

    friend bool operator==(const NetworkData&, const NetworkData&) = default;
};

class RoadNetwork {
public:
    [[nodiscard]] static Result<RoadNetwork> make(NetworkData data);

    [[nodiscard]] std::uint32_t node_count() const
    {
        return static_cast<std::uint32_t>(data_.nodes.size());
    }
    [[nodiscard]] std::uint32_t edge_count() const
    {
        return static_cast<std::uint32_t>(data_.edges.size());
    }
    [[nodiscard]] RoadPoint node(std::uint32_t index) const { return data_.nodes[index]; }
    [[nodiscard]] const RoadEdge& edge(std::uint32_t index) const { return data_.edges[index]; }
    [[nodiscard]] std::span<const RoadEdge> edges() const { return data_.edges; }
    /// The polyline of an edge in drawing direction, both ends included.
    [[nodiscard]] std::span<const RoadPoint> line(std::uint32_t edge) const
    {
        return std::span{data_.points}.subspan(
            data_.first_point[edge], data_.first_point[edge + 1] - data_.first_point[edge]);
    }
    [[nodiscard]] std::string_view name(std::uint32_t edge) const;
    /// What engines search.
    [[nodiscard]] TravelGraph graph() const { return data_.graph; }

    [[nodiscard]] RoadBox box() const { return box_; }
    /// Edges whose bounding box touches `box`, ascending.
    [[nodiscard]] std::vector<std::uint32_t> edges_within(RoadBox box) const;

    [[nodiscard]] const std::string& attribution() const { return data_.attribution; }
    [[nodiscard]] const std::string& source() const { return data_.source; }
    [[nodiscard]] const std::string& report() const { return data_.report; }
    [[nodiscard]] const NetworkData& data() const { return data_; }

private:
    explicit RoadNetwork(NetworkData data);

    NetworkData data_;
    RoadBox box_;
};

}  // namespace nestround::roads
