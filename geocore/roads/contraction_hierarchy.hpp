/// \file contraction_hierarchy.hpp
/// \brief A travel graph prepared for quick questions: its states in an order of importance, with
///        shortcuts, so that every quickest way climbs and then descends.
///
/// Purpose:  the arrays that contract_graph makes, road files keep and hierarchy searches read.
/// Units:    a weight is milliseconds and millimetres in one number, so that comparing and adding
///           weights compares and adds both at once.
/// Range:    ways of up to 2^29 ms (6 days) and 2^34 mm (17,179 km); packing_fits tells. Positions
///           count from the most important state; the first `core` of them were not contracted, and
///           their arcs among each other stand in the forward lists alone.
/// Accuracy: exact.
/// Errors:   fault_of() names what is wrong with one.
/// Source:   R. Geisberger, P. Sanders, D. Schultes, C. Vetter, Transportation Science 46(3), 2012.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "geocore/roads/travel_graph.hpp"

namespace nestround::roads {

using TravelWeight = std::uint64_t;
inline constexpr unsigned kLengthBits = 34;
/// No way. Weights are less, so that two can be added, and what adds up to more is no quickest way.
inline constexpr TravelWeight kNoWeight = TravelWeight{1} << 63U;

[[nodiscard]] constexpr TravelWeight pack(std::uint64_t ms, std::uint64_t mm)
{
    return ms << kLengthBits | mm;
}
[[nodiscard]] constexpr std::uint64_t ms_of(TravelWeight weight) { return weight >> kLengthBits; }
[[nodiscard]] constexpr std::uint64_t mm_of(TravelWeight weight)
{
    return weight & ((TravelWeight{1} << kLengthBits) - 1);
}

/// Stored in road files byte for byte; 12 bytes, because searches wait for memory.
struct HierarchyArc {
    std::uint32_t head = 0;  ///< position
    std::uint32_t low = 0;
    std::uint32_t high = 0;

    [[nodiscard]] TravelWeight weight() const { return TravelWeight{high} << 32U | low; }
    static HierarchyArc to(std::uint32_t head, TravelWeight weight)
    {
        return {head, static_cast<std::uint32_t>(weight),
                static_cast<std::uint32_t>(weight >> 32U)};
    }

    friend bool operator==(const HierarchyArc&, const HierarchyArc&) = default;
};
static_assert(sizeof(HierarchyArc) == 12);

/// In `via`: the arc is this one of the graph; without it, a shortcut past this position.
inline constexpr std::uint32_t kGraphArc = 0x80000000;

struct HierarchyData {
    std::vector<std::uint32_t> position;  ///< by state; 0 is the most important
    /// Position p has its forward arcs, to states higher up, from first[2p] and its backward arcs,
    /// from states higher up, from first[2p + 1]; 2 * states + 1 offsets.
    std::vector<std::uint32_t> first;
    std::vector<HierarchyArc> arcs;
    std::vector<std::uint32_t> via;  ///< by arc
    std::uint32_t core = 0;
    std::uint64_t graph_hash = 0;  ///< of the graph it was made from

    friend bool operator==(const HierarchyData&, const HierarchyData&) = default;
};

/// Looks at arrays that others keep.
struct Hierarchy {
    std::span<const std::uint32_t> position;
    std::span<const std::uint32_t> first;
    std::span<const HierarchyArc> arcs;
    std::span<const std::uint32_t> via;
    std::uint32_t core = 0;
    std::uint64_t graph_hash = 0;

    Hierarchy() = default;
    Hierarchy(const HierarchyData& data)
        : position{data.position},
          first{data.first},
          arcs{data.arcs},
          via{data.via},
          core{data.core},
          graph_hash{data.graph_hash}
    {
    }

    [[nodiscard]] std::uint32_t state_count() const
    {
        return static_cast<std::uint32_t>(position.size());
    }
};

/// Searches wait for memory most of the time. These fetch what will be wanted: the offsets of a
/// position that was put into a queue, and the arcs of the one that comes out next.
inline void fetch_offsets(const Hierarchy& hierarchy, std::uint32_t position)
{
    __builtin_prefetch(hierarchy.first.data() + 2 * std::size_t{position});
}
inline void fetch_arcs(const Hierarchy& hierarchy, std::uint32_t position)
{
    const auto* first = hierarchy.first.data() + 2 * std::size_t{position};
    for (const auto at : {first[0], first[1], first[2]}) {
        __builtin_prefetch(hierarchy.arcs.data() + at);
    }
}

/// Of the arcs with their times and lengths.
[[nodiscard]] std::uint64_t hash_of(TravelGraph graph);

/// What is wrong with a hierarchy over this graph, or an empty text. Afterwards no index in it
/// leads outside; searches end, whatever its weights.
[[nodiscard]] std::string bounds_fault_of(const Hierarchy& hierarchy, TravelGraph graph);
/// The same and more: every arc has its weight, and every shortcut can be unpacked. Takes ten times
/// as long.
[[nodiscard]] std::string fault_of(const Hierarchy& hierarchy, TravelGraph graph);

}  // namespace nestround::roads
