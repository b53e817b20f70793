/// \file top_sweep.hpp
/// \brief The most important states of a hierarchy, crossed for sixteen sources at once.
///
/// Purpose:  all searches of a matrix pass through the same few thousand states at the top. There a
///           pass over all arcs, without a queue and for many sources in step, is quicker than one
///           search after the other.
/// Units:    packed weights.
/// Range:    hierarchies without a core, in which every arc leads to a lesser position.
/// Accuracy: exact, the same on every machine.
/// Cost:     about a nanosecond an arc for sixteen sources, with the widest registers there are.
/// Errors:   none.
/// Source:   sweeps in order of importance: D. Delling, A. V. Goldberg, A. Nowatzyk, R. F. Werneck,
///           J. Parallel Distrib. Comput. 73 (2013); for some targets only: D. Delling,
///           A. V. Goldberg, R. F. Werneck, ATMOS 2011.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "geocore/roads/contraction_hierarchy.hpp"

namespace nestround::roads {

/// A weight for each of the sources in step.
inline constexpr std::size_t kInStep = 16;
struct alignas(64) InStep {
    TravelWeight weight[kInStep];
};

/// A place comes into the top here, or leaves it here.
struct TopEntry {
    std::uint32_t position = 0;
    TravelWeight weight = 0;
};

/// How many positions are the top. 0, nothing to sweep, where there is a core, or where an arc of
/// the top does not lead to a lesser position, as only a damaged hierarchy can have it.
[[nodiscard]] std::uint32_t top_size(const Hierarchy& hierarchy);

class TopSweep {
public:
    /// `ends` are the entries of all targets: nothing else is asked for.
    TopSweep(const Hierarchy& hierarchy, std::uint32_t top, std::span<const TopEntry> ends);

    struct Memory {
        std::vector<InStep> cost;
        std::vector<char> reached;
    };
    /// From up to kInStep sources, given by their entries, to each position of the top that leads
    /// to a target, in memory.cost.
    void run(std::span<const std::span<const TopEntry>> sources, Memory& memory) const;

    /// Of the sources in step, over the entries of one target.
    static void least(std::span<const TopEntry> target, const Memory& memory, InStep& least);

private:
    Hierarchy hierarchy_;
    std::uint32_t top_;
    std::vector<std::uint32_t> wanted_;  ///< positions from which targets are reached, rising
};

}  // namespace nestround::roads
