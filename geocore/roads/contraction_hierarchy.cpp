#include "geocore/roads/contraction_hierarchy.hpp"

#include <algorithm>

#include "geocore/base/checksum.hpp"

namespace nestround::roads {
namespace {

constexpr const char* kDamaged = "the hierarchy of its roads is damaged";

/// The arc to `head` among those of one list, or nothing.
const HierarchyArc* arc_to(const Hierarchy& h, std::size_t list, std::uint32_t head)
{
    for (auto i = h.first[list]; i < h.first[list + 1]; ++i) {
        if (h.arcs[i].head == head) {
            return &h.arcs[i];
        }
    }
    return nullptr;
}

bool is_shortcut(const Hierarchy& h, std::uint32_t from, std::uint32_t to, std::uint32_t middle,
                 TravelWeight weight)
{
    if (middle >= h.state_count() || middle <= from || middle <= to) {
        return false;
    }
    const auto* in = arc_to(h, 2 * std::size_t{middle} + 1, from);
    const auto* out = arc_to(h, 2 * std::size_t{middle}, to);
    return in != nullptr && out != nullptr && in->weight() + out->weight() == weight;
}

}  // namespace

std::uint64_t hash_of(TravelGraph graph)
{
    return checksum_of(graph.arcs(), checksum_of(graph.first_arcs()));
}

std::string bounds_fault_of(const Hierarchy& h, TravelGraph graph)
{
    const auto states = graph.state_count();
    if (h.state_count() != states || h.first.size() != 2 * std::size_t{states} + 1 ||
        h.first.front() != 0 || h.first.back() != h.arcs.size() ||
        !std::is_sorted(h.first.begin(), h.first.end()) || h.via.size() != h.arcs.size() ||
        h.core > states) {
        return kDamaged;
    }
    bool bad = false;
    for (const auto position : h.position) {
        bad |= position >= states;
    }
    const auto graph_arcs = static_cast<std::uint32_t>(graph.arcs().size());
    for (std::size_t i = 0; i < h.arcs.size(); ++i) {
        const auto via = h.via[i];
        bad |= h.arcs[i].head >= states;
        bad |= h.arcs[i].weight() >= kNoWeight;
        bad |= (via & kGraphArc) != 0 ? (via & ~kGraphArc) >= graph_arcs : via >= states;
    }
    return bad ? kDamaged : std::string{};
}

std::string fault_of(const Hierarchy& h, TravelGraph graph)
{
    if (const auto fault = bounds_fault_of(h, graph); !fault.empty()) {
        return fault;
    }
    const auto states = graph.state_count();
    std::vector<std::uint32_t> state_at(states, kNoState);
    for (std::uint32_t state = 0; state < states; ++state) {
        if (state_at[h.position[state]] != kNoState) {
            return kDamaged;
        }
        state_at[h.position[state]] = state;
    }
    for (std::uint32_t p = 0; p < states; ++p) {
        for (auto i = h.first[2 * std::size_t{p}]; i < h.first[2 * std::size_t{p} + 2]; ++i) {
            const bool forward = i < h.first[2 * std::size_t{p} + 1];
            const auto head = h.arcs[i].head;
            const bool in_core = p < h.core && forward;
            if (head == p || (in_core ? head >= h.core : head > p)) {
                return kDamaged;
            }
            const auto from = forward ? p : head;
            const auto to = forward ? head : p;
            const auto weight = h.arcs[i].weight();
            if ((h.via[i] & kGraphArc) == 0) {
                if (!is_shortcut(h, from, to, h.via[i], weight)) {
                    return kDamaged;
                }
                continue;
            }
            const auto index = h.via[i] & ~kGraphArc;
            const auto& arc = graph.arcs()[index];
            const auto tail = state_at[from];
            if (arc.head != state_at[to] || pack(arc.ms, arc.mm) != weight ||
                index < graph.first_arc(tail) || index >= graph.first_arc(tail + 1)) {
                return kDamaged;
            }
        }
    }
    return {};
}

}  // namespace nestround::roads
