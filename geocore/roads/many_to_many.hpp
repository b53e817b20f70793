/// \file many_to_many.hpp
/// \brief Quickest ways from many places to many, by a hierarchy.
///
/// Purpose:  matrices, single costs and ways, exact, in a search of a hundred states a place.
/// Units:    packed weights (contraction_hierarchy.hpp).
/// Range:    any hierarchy without fault; a place is up to two states with a cost each.
/// Accuracy: exact: the least milliseconds, and of ways that take these the least millimetres.
/// Cost:     some microseconds a source and a target, and a nanosecond a pair, on road networks.
/// Errors:   kNoWeight where there is no way; Failure where a shortcut cannot be unpacked, which
///           only a hierarchy that nobody looked at can hold.
/// Source:   buckets: S. Knopp, P. Sanders, D. Schultes, F. Schulz, D. Wagner, ALENEX 2007;
///           stalling: R. Geisberger and others 2012 (see contraction_hierarchy.hpp); the top:
///           top_sweep.hpp.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "geocore/base/workers.hpp"
#include "geocore/roads/contraction_hierarchy.hpp"
#include "geocore/roads/small_heap.hpp"
#include "geocore/roads/stop_access.hpp"

namespace nestround::roads {

/// Matrices. May be used from several threads at once; keeps the memory of its searches.
class ManyToMany {
public:
    explicit ManyToMany(const Hierarchy& hierarchy);
    ~ManyToMany();
    ManyToMany(const ManyToMany&) = delete;
    ManyToMany& operator=(const ManyToMany&) = delete;

    /// Row-major, sources by targets. The same for any number of workers.
    [[nodiscard]] std::vector<TravelWeight> table(std::span<const StopLinks> sources,
                                                  std::span<const StopLinks> targets,
                                                  const Workers& workers = {}) const;

private:
    struct Memory;
    Hierarchy hierarchy_;
    std::uint32_t top_;  ///< positions that are swept, see top_sweep.hpp
    std::unique_ptr<Memory> memory_;
};

struct HierarchyWay {
    TravelWeight weight = kNoWeight;
    const StopLink* first = nullptr;  ///< by which of its links the source is left
    const StopLink* last = nullptr;
    std::vector<std::uint32_t> arcs;  ///< indices into the graph's arcs, in the order driven
};

/// Answers one question after the other with the same memory; not for two threads at once.
class HierarchyQuery {
public:
    explicit HierarchyQuery(const Hierarchy& hierarchy);

    [[nodiscard]] TravelWeight cost(const StopLinks& from, const StopLinks& to);
    /// Nothing when there is no way. The links must outlive the answer.
    [[nodiscard]] std::optional<HierarchyWay> way(const StopLinks& from, const StopLinks& to);

private:
    /// How a position was reached: from there, by this arc; kNoState: by a link of the stop.
    struct Step {
        std::uint32_t from = kNoState;
        std::uint32_t arc = 0;
    };
    using Weights = std::array<TravelWeight, 2>;  ///< from the source, to the target
    using Steps = std::array<Step, 2>;

    /// Where the best way turns from climbing to descending, or kNoState.
    std::uint32_t meet(const StopLinks& from, const StopLinks& to, TravelWeight& best);
    void reach(std::size_t side, std::uint32_t position, TravelWeight weight, Step step);
    [[nodiscard]] bool is_stalled(std::size_t side, std::uint32_t position, TravelWeight key) const;
    void unpack(std::uint32_t from, std::uint32_t to, std::uint32_t arc,
                std::vector<std::uint32_t>& arcs) const;
    void clear();

    Hierarchy hierarchy_;
    std::vector<Weights> weights_;
    std::vector<Steps> steps_;  ///< where a weight is less than kNoWeight
    std::vector<std::uint32_t> touched_;
    std::array<SmallHeap, 2> queue_;
};

}  // namespace nestround::roads
