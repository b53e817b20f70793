/// \file stop_access.hpp
/// \brief How a stop in the middle of an edge is reached and left.
///
/// Purpose:  every engine shares this, so that all agree to the millisecond. A stop never becomes a
///           node; its partial edge enters a search as a cost at the edge's ends.
/// Units:    whole milliseconds and millimetres; the two parts of an edge add up to the edge.
/// Range:    a stop has one way in and out, or two (see make_engine.hpp).
/// Accuracy: the first part is rounded, the second is the rest.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <optional>
#include <span>

#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::roads {

/// Of two ways the quicker is better, and of two equally quick ones the shorter.
struct TravelCost {
    std::uint64_t ms = 0;
    std::uint64_t mm = 0;

    friend constexpr auto operator<=>(const TravelCost&, const TravelCost&) = default;
    friend constexpr TravelCost operator+(TravelCost a, TravelCost b)
    {
        return {a.ms + b.ms, a.mm + b.mm};
    }
};
inline constexpr TravelCost kNever{UINT64_MAX / 4, UINT64_MAX / 4};

/// Rounded half up, and never as much as kUnreachable.
[[nodiscard]] std::uint32_t whole_seconds(TravelCost cost);
[[nodiscard]] std::uint32_t whole_metres(TravelCost cost);
[[nodiscard]] TravelMatrix matrix_of(std::span<const TravelCost> costs, std::size_t rows,
                                     std::size_t columns);

/// Between a stop and one end of its edge.
struct StopLink {
    std::uint32_t state = 0;  ///< of the network's travel graph
    TravelCost cost;
    bool forward = true;  ///< driven in the edge's drawing direction
};

/// Two at most.
struct StopLinks {
    std::array<StopLink, 2> link;
    std::size_t count = 0;

    [[nodiscard]] const StopLink* begin() const { return link.data(); }
    [[nodiscard]] const StopLink* end() const { return link.data() + count; }
};

/// From the stop to states.
[[nodiscard]] StopLinks ways_out(const RoadNetwork& network, const RoadStop& stop,
                                 const EngineOptions& options);
/// From states to the stop.
[[nodiscard]] StopLinks ways_in(const RoadNetwork& network, const RoadStop& stop,
                                const EngineOptions& options);

struct DirectWay {
    TravelCost cost;
    bool forward = true;
};
/// Along the one edge both stops lie on, without passing an end; nothing if they don't or mustn't.
[[nodiscard]] std::optional<DirectWay> direct_way(const RoadNetwork& network, const RoadStop& from,
                                                  const RoadStop& to, const EngineOptions& options);

}  // namespace nestround::roads
