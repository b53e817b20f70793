/// \file reached_roads.hpp
/// \brief How far a truck comes on the roads within a time: whole edges, and parts of edges.
///
/// Purpose:  one search from one place to all, and from it what is reached within any shorter time.
/// Units:    whole milliseconds; shares of an edge's length, 0 to 1, in its drawing direction.
/// Range:    limits up to kLongestReach. Turns and one-way roads count as in every engine; where an
///           edge is driven from both ends the two parts join once they meet.
/// Accuracy: the times of states are those of the engines, to the millisecond. The speed along an
///           edge is one, so a part ends where the time left runs out: within 1 ms of driving.
/// Cost:     one plain search that stops at the limit.
/// Errors:   none; the stop comes from the same network (precondition).
/// Source:   E. W. Dijkstra, Numerische Mathematik 1 (1959) 269.
#pragma once

#include <cstdint>
#include <vector>

#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::roads {

inline constexpr std::uint64_t kLongestReach = 86'400'000;  ///< ms, a day
inline constexpr std::uint64_t kNotReached = ~std::uint64_t{0};

/// Part of an edge.
struct ReachedSpan {
    std::uint32_t edge = 0;
    double begin = 0;  ///< share of the edge's length
    double end = 1;

    friend bool operator==(const ReachedSpan&, const ReachedSpan&) = default;
};

class ReachedRoads {
public:
    /// All that is reached from `start` within `limit_ms`.
    ReachedRoads(const RoadNetwork& network, const RoadStop& start, std::uint64_t limit_ms,
                 const EngineOptions& options = {});

    /// Quickest time to a state of the travel graph, or kNotReached.
    [[nodiscard]] std::uint64_t state_ms(std::uint32_t state) const { return ms_[state]; }
    /// Quickest time to a junction, or kNotReached.
    [[nodiscard]] std::uint64_t node_ms(std::uint32_t node) const { return node_ms_[node]; }

    /// By edge, then from its beginning; no two touch. `limit_ms` is at most the search's own.
    [[nodiscard]] std::vector<ReachedSpan> within(std::uint64_t limit_ms) const;

private:
    const RoadNetwork* network_;  ///< outlives this
    RoadStop start_;
    EngineOptions options_;
    std::uint64_t limit_;
    std::vector<std::uint64_t> ms_;
    std::vector<std::uint64_t> node_ms_;
};

/// The line of a span, both ends included; at least two points.
[[nodiscard]] std::vector<LonLat> line_of(const RoadNetwork& network, const ReachedSpan& span);

}  // namespace nestround::roads
