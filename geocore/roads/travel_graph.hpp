/// \file travel_graph.hpp
/// \brief The graph that the engines search: states joined by arcs, and nothing else.
///
/// Purpose:  engines know states, builders know roads. In the plain graph a state is a junction. A
///           builder that knows turns may split a junction into states one is in after an edge and
///           states from which an edge is driven, joined by turn arcs.
/// Units:    whole milliseconds and whole millimetres an arc.
/// Range:    up to 2^31 states, arcs and edges. An arc is an edge driven one way, or a turn; a turn
///           may take 0 ms and has no length. Parallel arcs and loops are allowed.
/// Accuracy: exact.
/// Errors:   fault_of() names what is wrong with a graph; engines need one without fault.
/// Source:   own.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace nestround::roads {

struct RoadEdge;

inline constexpr std::uint32_t kNoState = 0xffffffff;
inline constexpr std::uint32_t kTurn = 0xffffffff;

/// One way of leaving a state. Stored in road files byte for byte.
struct TravelArc {
    std::uint32_t head = 0;  ///< state
    std::uint32_t ms = 0;
    std::uint32_t mm = 0;
    std::uint32_t what = kTurn;  ///< kTurn, or edge * 2, plus 1 when it is driven backward

    [[nodiscard]] constexpr bool is_turn() const { return what == kTurn; }
    [[nodiscard]] constexpr std::uint32_t edge() const { return what / 2; }
    [[nodiscard]] constexpr bool forward() const { return what % 2 == 0; }

    friend bool operator==(const TravelArc&, const TravelArc&) = default;
};
static_assert(sizeof(TravelArc) == 16);

/// Place of a direction in the maps below.
[[nodiscard]] constexpr std::uint32_t direction_of(std::uint32_t edge, bool forward)
{
    return edge * 2 + (forward ? 0 : 1);
}

/// The arrays as a builder fills them.
struct TravelGraphData {
    std::vector<std::uint32_t> first_arc;  ///< states + 1 offsets into arcs
    std::vector<TravelArc> arcs;
    std::vector<std::uint32_t> arriving;  ///< by direction_of: the state after driving it
    std::vector<std::uint32_t> leaving;   ///< by direction_of: the state from which it is driven

    friend bool operator==(const TravelGraphData&, const TravelGraphData&) = default;
};

/// Looks at arrays that others keep, such as a mapped file.
class TravelGraph {
public:
    TravelGraph() = default;
    TravelGraph(const TravelGraphData& data)
        : TravelGraph{data.first_arc, data.arcs, data.arriving, data.leaving}
    {
    }
    TravelGraph(std::span<const std::uint32_t> first_arc, std::span<const TravelArc> arcs,
                std::span<const std::uint32_t> arriving, std::span<const std::uint32_t> leaving)
        : first_arc_{first_arc}, arcs_{arcs}, arriving_{arriving}, leaving_{leaving}
    {
    }

    [[nodiscard]] std::uint32_t state_count() const
    {
        return first_arc_.empty() ? 0 : static_cast<std::uint32_t>(first_arc_.size() - 1);
    }
    [[nodiscard]] std::span<const TravelArc> arcs(std::uint32_t state) const
    {
        return arcs_.subspan(first_arc_[state], first_arc_[state + 1] - first_arc_[state]);
    }
    /// All of them; those of state s begin at first_arc(s).
    [[nodiscard]] std::span<const TravelArc> arcs() const { return arcs_; }
    [[nodiscard]] std::uint32_t first_arc(std::uint32_t state) const { return first_arc_[state]; }

    /// The state one is in after driving the edge; kNoState when it is closed that way.
    [[nodiscard]] std::uint32_t arriving(std::uint32_t edge, bool forward) const
    {
        return arriving_[direction_of(edge, forward)];
    }
    /// The state from which the edge is driven; kNoState when it is closed that way.
    [[nodiscard]] std::uint32_t leaving(std::uint32_t edge, bool forward) const
    {
        return leaving_[direction_of(edge, forward)];
    }

    [[nodiscard]] std::span<const std::uint32_t> first_arcs() const { return first_arc_; }
    [[nodiscard]] std::span<const std::uint32_t> arriving() const { return arriving_; }
    [[nodiscard]] std::span<const std::uint32_t> leaving() const { return leaving_; }

private:
    std::span<const std::uint32_t> first_arc_;
    std::span<const TravelArc> arcs_;
    std::span<const std::uint32_t> arriving_;
    std::span<const std::uint32_t> leaving_;
};

/// One state a junction; every turn is free.
[[nodiscard]] TravelGraphData plain_graph(std::uint32_t nodes, std::span<const RoadEdge> edges);

/// What is wrong with a graph over these edges, or an empty text. Every open direction of every
/// edge must be one arc or more: a builder may keep copies of a road that remember how one came.
[[nodiscard]] std::string fault_of(TravelGraph graph, std::span<const RoadEdge> edges);

}  // namespace nestround::roads
