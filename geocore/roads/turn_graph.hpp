/// \file turn_graph.hpp
/// \brief The travel graph that knows forbidden turns, costs of turns, and roads for the ends of a
/// trip only.
///
/// Purpose:  the second builder beside plain_graph; any engine that searches a TravelGraph is then
///           exact for all three without knowing of them.
/// Units:    whole milliseconds a turn.
/// Range:    a junction is split only where a rule needs it, or everywhere when turns cost. A rule
///           over several roads gets copies of them that remember how one came. A road for the ends
///           of a trip exists twice, once for leaving the start and once for reaching the end; a
///           trip drives such roads, then open ones, then such roads again. An open road that can
///           be reached only over such roads counts as one. Turning round costs the same at a dead
///           end; turning round at a stop, in the middle of a road, is free.
/// Accuracy: exact. Left and right are told from the last and first stretch of the lines; a turn
///           counts from 45 degrees.
/// Errors:   none.
/// Source:   own; the states that remember are those of A. V. Aho and M. J. Corasick, Comm. ACM 18
///           (1975), over roads instead of letters.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "geocore/roads/network.hpp"

namespace nestround::roads {

struct TurnCosts {
    std::uint32_t left_ms = 0;
    std::uint32_t right_ms = 0;
    std::uint32_t u_turn_ms = 0;

    [[nodiscard]] bool any() const { return left_ms + right_ms + u_turn_ms > 0; }
};

/// Whether a rule binds.
using BindsTurn = std::function<bool(const TurnRule&)>;
/// The truck of the road file: up to 3.5 t, at no known hour, so that rules by hour bind.
[[nodiscard]] bool binds_light_truck(const TurnRule& rule);

[[nodiscard]] TravelGraphData turn_graph(const NetworkData& data, const TurnCosts& costs = {},
                                         const BindsTurn& binds = binds_light_truck);

/// Which edges may be driven only at the ends of a trip, those behind such edges included.
[[nodiscard]] std::vector<char> ends_only_edges(std::uint32_t nodes,
                                                const std::vector<RoadEdge>& edges);

}  // namespace nestround::roads
