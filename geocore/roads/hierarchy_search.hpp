/// \file hierarchy_search.hpp
/// \brief The search upward from one place, that every question to a hierarchy is made of.
///
/// Purpose:  shared by the matrix and by whatever grows from one place. A state that is reached
///           quicker from above is stalled: no quickest way goes through it as reached here.
/// Units:    packed weights.
/// Range:    as many_to_many.hpp.
/// Accuracy: exact for every state not stalled that lies on a quickest way.
/// Cost:     memory of 8 bytes a state, made once.
/// Errors:   none.
/// Source:   see many_to_many.hpp.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "geocore/roads/contraction_hierarchy.hpp"
#include "geocore/roads/small_heap.hpp"
#include "geocore/roads/stop_access.hpp"

namespace nestround::roads {

class HierarchySearch {
public:
    explicit HierarchySearch(const Hierarchy& hierarchy)
        : hierarchy_{hierarchy}, cost_(hierarchy.state_count(), kNoWeight)
    {
    }

    /// Calls settle(position, weight) for every state settled and not stalled, the last time with
    /// its least weight; `forward` is from the place, else to it. Positions below `top` are not
    /// gone on from: enter(position, weight) is called for each that was reached.
    template <class Settle, class Enter>
    void run(const StopLinks& links, bool forward, std::uint32_t top, const Settle& settle,
             const Enter& enter)
    {
        for (const auto& link : links) {
            const auto position = hierarchy_.position[link.state];
            reach(position, pack(link.cost.ms, link.cost.mm), top);
        }
        const auto* arcs = hierarchy_.arcs.data();
        const auto* first = hierarchy_.first.data();
        while (!queue_.empty()) {
            const auto [ms, position] = queue_.pop();
            if (!queue_.empty()) {
                fetch_arcs(hierarchy_, queue_.top_state());
            }
            const auto key = cost_[position];
            if (ms > ms_of(key)) {
                continue;
            }
            const auto* list = first + 2 * std::size_t{position};
            const auto* up = arcs + list[forward ? 0 : 1];
            const auto* up_end = arcs + list[forward ? 1 : 2];
            const auto* down = arcs + list[forward ? 1 : 0];
            const auto* down_end = arcs + list[forward ? 2 : 1];
            if (is_stalled(down, down_end, key)) {
                continue;
            }
            settle(position, key);
            for (; up != up_end; ++up) {
                reach(up->head, key + up->weight(), top);
            }
        }
        for (const auto position : touched_) {
            if (position < top) {
                enter(position, cost_[position]);
            }
            cost_[position] = kNoWeight;
        }
        touched_.clear();
    }

    template <class Settle>
    void run(const StopLinks& links, bool forward, const Settle& settle)
    {
        run(links, forward, 0, settle, [](std::uint32_t, TravelWeight) {});
    }

private:
    void reach(std::uint32_t position, TravelWeight weight, std::uint32_t top)
    {
        auto& cost = cost_[position];
        if (weight < cost) {
            if (cost == kNoWeight) {
                touched_.push_back(position);
            }
            cost = weight;
            if (position >= top) {
                queue_.push(ms_of(weight), position);
                fetch_offsets(hierarchy_, position);
            }
        }
    }

    [[nodiscard]] bool is_stalled(const HierarchyArc* arc, const HierarchyArc* end,
                                  TravelWeight key) const
    {
        for (; arc != end; ++arc) {
            if (cost_[arc->head] + arc->weight() < key) {
                return true;
            }
        }
        return false;
    }

    Hierarchy hierarchy_;
    std::vector<TravelWeight> cost_;
    std::vector<std::uint32_t> touched_;
    SmallHeap queue_;
};

}  // namespace nestround::roads
