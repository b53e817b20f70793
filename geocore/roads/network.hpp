/// \file network.hpp
/// \brief The road network: junctions, the edges between them, and how long each takes.
///
/// Purpose:  everything that travels, snaps or draws reads this one immutable thing. All of it is
///           flat arrays of whole numbers, so that it can be written to a file as it stands.
/// Units:    1e-7 degree, whole milliseconds, whole millimetres.
/// Range:    1 to 2^31 edges; an edge takes 1 ms to kLongestEdge and is up to 4,294 km long.
/// Accuracy: lengths are geodesic, rounded once an edge.
/// Errors:   make() gives InvalidInput for arrays that contradict each other. A network over a file
///           looks at each part when it is first asked for, and throws Failure if that is damaged;
///           no index in it is followed before.
/// Source:   own.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/roads/contraction_hierarchy.hpp"
#include "geocore/roads/road_class.hpp"
#include "geocore/roads/road_point.hpp"
#include "geocore/roads/travel_graph.hpp"
#include "geocore/roads/turn_rules.hpp"

namespace nestround::roads {

/// A direction that must not be driven.
inline constexpr std::uint32_t kClosed = 0xffffffff;
inline constexpr std::uint32_t kLongestEdge = 0x3fffffff;  ///< milliseconds, 12 days

enum EdgeFlag : std::uint8_t {
    kFlagByLeave = 1,  ///< private
    kFlagRoundabout = 2,
    kFlagUnpaved = 4,
    kFlagEndsOnly = 8,  ///< only where a trip begins or ends
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
    std::uint16_t limits = 0;  ///< row of NetworkData::limits

    friend bool operator==(const RoadEdge&, const RoadEdge&) = default;
};
static_assert(sizeof(RoadEdge) == 28);

struct RoadBox {
    RoadPoint low;   ///< south-west
    RoadPoint high;  ///< north-east

    friend bool operator==(const RoadBox&, const RoadBox&) = default;
};

/// The arrays of a network; `make` checks them.
struct NetworkData {
    std::vector<RoadPoint> nodes;             ///< along a space-filling curve
    std::vector<RoadEdge> edges;              ///< by first node
    std::vector<std::uint32_t> first_point;   ///< edges + 1 offsets into points
    std::vector<RoadPoint> points;            ///< polylines, both ends included
    std::vector<std::uint32_t> first_letter;  ///< names + 1 offsets into letters; name 0 is empty
    std::string letters;                      ///< UTF-8
    std::vector<RoadLimits> limits;           ///< row 0 limits nothing; empty: no road is limited
    std::vector<TurnRule> turn_rules;
    std::vector<std::uint32_t> turn_steps;     ///< directions of the rules, see direction_of
    std::vector<std::uint32_t> first_cut_off;  ///< offsets into cut_off, lines + 1, or empty
    std::vector<RoadPoint> cut_off;            ///< roads not kept: they tell when a stop is moved
    TravelGraphData graph;                     ///< empty: as turn_graph makes it
    std::string attribution;                   ///< to be printed with any map
    std::string source;                        ///< name of the file it was built from
    std::string report;                        ///< what was kept and dropped, lines

    friend bool operator==(const NetworkData&, const NetworkData&) = default;
};

/// The same arrays where others keep them, such as in a mapped file.
struct NetworkView {
    std::span<const RoadPoint> nodes;
    std::span<const RoadEdge> edges;
    std::span<const std::uint32_t> first_point;
    std::span<const RoadPoint> points;
    std::span<const std::uint32_t> first_letter;
    std::span<const char> letters;
    std::span<const RoadLimits> limits;
    std::span<const TurnRule> turn_rules;
    std::span<const std::uint32_t> turn_steps;
    std::span<const std::uint32_t> first_cut_off;
    std::span<const RoadPoint> cut_off;
    std::span<const RoadBox> boxes;  ///< see edge_boxes
    TravelGraph graph;
    std::optional<Hierarchy> hierarchy;
};

/// Boxes of each kEdgesABox edges in a row, then of each kEdgesABox of these, and so on up to one
/// box of all: since the edges follow a space-filling curve, a window is found in few of them.
inline constexpr std::size_t kEdgesABox = 32;
[[nodiscard]] std::vector<RoadBox> edge_boxes(const NetworkData& data);

/// Parts of a network that can be looked at one by one.
enum class NetworkPart : std::uint8_t { Roads = 1, Graph = 2, Hierarchy = 4 };

class RoadNetwork {
public:
    [[nodiscard]] static Result<RoadNetwork> make(NetworkData data);

    struct Texts {
        std::string attribution;
        std::string source;
        std::string report;
    };
    /// Over arrays that `keeper` keeps. `check` is called once for each part when it is first
    /// asked for, and throws when the part is damaged.
    [[nodiscard]] static RoadNetwork over(const NetworkView& view, Texts texts,
                                          std::shared_ptr<const void> keeper,
                                          std::function<void(NetworkPart)> check);

    /// The same network with a hierarchy made from its graph; InvalidInput when it was not.
    [[nodiscard]] Result<RoadNetwork> with_hierarchy(HierarchyData data) const;

    [[nodiscard]] std::uint32_t node_count() const
    {
        return static_cast<std::uint32_t>(view_.nodes.size());
    }
    [[nodiscard]] std::uint32_t edge_count() const
    {
        return static_cast<std::uint32_t>(view_.edges.size());
    }
    [[nodiscard]] std::size_t point_count() const { return view_.points.size(); }
    [[nodiscard]] RoadPoint node(std::uint32_t index) const { return roads().nodes[index]; }
    [[nodiscard]] const RoadEdge& edge(std::uint32_t index) const { return roads().edges[index]; }
    [[nodiscard]] std::span<const RoadEdge> edges() const { return roads().edges; }
    /// The polyline of an edge in drawing direction, both ends included.
    [[nodiscard]] std::span<const RoadPoint> line(std::uint32_t edge) const
    {
        const auto& view = roads();
        return view.points.subspan(view.first_point[edge],
                                   view.first_point[edge + 1] - view.first_point[edge]);
    }
    [[nodiscard]] std::string_view name(std::uint32_t edge) const;
    /// What the truck must not exceed there.
    [[nodiscard]] RoadLimits limits(std::uint32_t edge) const
    {
        const auto& view = roads();
        return view.limits.empty() ? RoadLimits{} : view.limits[view.edges[edge].limits];
    }
    /// A text kept among the names, such as a condition.
    [[nodiscard]] std::string_view text(std::uint32_t name) const;
    /// What engines search.
    [[nodiscard]] TravelGraph graph() const
    {
        need(NetworkPart::Graph);
        return view_.graph;
    }
    [[nodiscard]] bool has_hierarchy() const { return view_.hierarchy.has_value(); }
    /// Precondition: has_hierarchy().
    [[nodiscard]] const Hierarchy& hierarchy() const
    {
        need(NetworkPart::Hierarchy);
        return *view_.hierarchy;
    }

    /// Roads that were not kept, as lines; see cut_off_roads.hpp.
    [[nodiscard]] std::size_t cut_off_count() const
    {
        const auto& view = roads();
        return view.first_cut_off.empty() ? 0 : view.first_cut_off.size() - 1;
    }
    [[nodiscard]] std::span<const RoadPoint> cut_off_line(std::size_t index) const
    {
        const auto& view = roads();
        return view.cut_off.subspan(view.first_cut_off[index],
                                    view.first_cut_off[index + 1] - view.first_cut_off[index]);
    }

    [[nodiscard]] RoadBox box() const { return roads().boxes.back(); }
    /// Edges whose bounding box touches `box`, ascending.
    [[nodiscard]] std::vector<std::uint32_t> edges_within(RoadBox box) const;

    [[nodiscard]] const std::string& attribution() const { return store_->texts.attribution; }
    [[nodiscard]] const std::string& source() const { return store_->texts.source; }
    [[nodiscard]] const std::string& report() const { return store_->texts.report; }
    /// A copy of all arrays but the hierarchy.
    [[nodiscard]] NetworkData data() const;
    /// All arrays, each looked at.
    [[nodiscard]] const NetworkView& view() const;

private:
    /// What all copies of a network share.
    struct Store {
        NetworkData data;
        HierarchyData hierarchy;
        std::vector<RoadBox> boxes;
        Texts texts;
        std::shared_ptr<const void> keeper;
        std::function<void(NetworkPart)> check;
        mutable std::atomic<std::uint8_t> checked{0};
        mutable std::mutex checking;
    };

    RoadNetwork(const NetworkView& view, std::shared_ptr<const Store> store);

    void need(NetworkPart part) const
    {
        if ((store_->checked.load(std::memory_order_acquire) & static_cast<unsigned>(part)) == 0) {
            check(part);
        }
    }
    [[nodiscard]] const NetworkView& roads() const
    {
        need(NetworkPart::Roads);
        return view_;
    }
    void check(NetworkPart part) const;

    NetworkView view_;
    std::shared_ptr<const Store> store_;
};

/// What is wrong with a part whose arrays stand in `view`, or an empty text. Parts are looked at in
/// their order: each relies on those before.
[[nodiscard]] std::string fault_of(const NetworkView& view, NetworkPart part);

}  // namespace nestround::roads
