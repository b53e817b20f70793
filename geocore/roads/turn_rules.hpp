/// \file turn_rules.hpp
/// \brief Turns that must not be taken, as a network keeps them.
///
/// Purpose:  a restriction of the source becomes a row of driven directions. The network keeps
/// every
///           row, whoever it binds; the builder of the travel graph asks which bind this truck now.
/// Units:    none.
/// Range:    two directions or more, each beginning where the last one ends. Kind no: this row must
///           not be driven. Kind only: after all but the last, nothing but the last may follow,
///           turning round included; of several that begin alike, one must be kept.
/// Accuracy: exact.
/// Errors:   resolve_turns() counts what cannot be applied, by reason, with the relation's number.
/// Source:   OpenStreetMap's documentation of the relation `restriction`, in our own reading.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "geocore/roads/raw_roads.hpp"

namespace nestround::roads {

struct RoadEdge;

/// Stored in road files byte for byte.
struct TurnRule {
    std::uint32_t first_step = 0;  ///< of NetworkData::turn_steps
    std::uint32_t steps = 0;       ///< directions, see direction_of
    std::uint32_t condition = 0;   ///< a name: when it is in force; 0 for always
    std::uint8_t only = 0;
    std::uint8_t spares = 0;  ///< kSparesLight, kSparesHeavy
    std::uint16_t spare = 0;

    friend bool operator==(const TurnRule&, const TurnRule&) = default;
};
static_assert(sizeof(TurnRule) == 16);

/// A stretch of a way in the finished network.
struct WayStretch {
    std::uint32_t edge = 0;
    std::int64_t from_vertex = 0;
    std::int64_t to_vertex = 0;
};

struct ResolvedTurn {
    std::vector<std::uint32_t> steps;
    const TurnRestriction* source = nullptr;
};

/// `stretches` has those of each way of `raw`, in drawing order; what was dropped is not in it.
[[nodiscard]] std::vector<ResolvedTurn> resolve_turns(
    const RawRoads& raw, const std::vector<std::vector<WayStretch>>& stretches,
    std::span<const RoadEdge> edges, std::vector<LeftOut>& left_out);

}  // namespace nestround::roads
