#include "geocore/roads/travel_graph.hpp"

#include <algorithm>
#include <numeric>

#include "geocore/roads/network.hpp"

namespace nestround::roads {

TravelGraphData plain_graph(std::uint32_t nodes, std::span<const RoadEdge> edges)
{
    TravelGraphData graph;
    graph.first_arc.assign(nodes + std::size_t{1}, 0);
    for (const auto& edge : edges) {
        graph.first_arc[edge.from + 1] += edge.forward_ms != kClosed ? 1 : 0;
        graph.first_arc[edge.to + 1] += edge.backward_ms != kClosed ? 1 : 0;
    }
    std::partial_sum(graph.first_arc.begin(), graph.first_arc.end(), graph.first_arc.begin());
    graph.arcs.resize(graph.first_arc.back());
    graph.arriving.assign(edges.size() * 2, kNoState);
    graph.leaving.assign(edges.size() * 2, kNoState);
    std::vector<std::uint32_t> next{graph.first_arc.begin(), graph.first_arc.end() - 1};
    for (std::uint32_t i = 0; i < edges.size(); ++i) {
        const auto& edge = edges[i];
        const auto add = [&](std::uint32_t tail, std::uint32_t head, std::uint32_t ms,
                             bool forward) {
            const auto direction = direction_of(i, forward);
            graph.arcs[next[tail]++] = {head, ms, edge.length_mm, direction};
            graph.leaving[direction] = tail;
            graph.arriving[direction] = head;
        };
        if (edge.forward_ms != kClosed) {
            add(edge.from, edge.to, edge.forward_ms, true);
        }
        if (edge.backward_ms != kClosed) {
            add(edge.to, edge.from, edge.backward_ms, false);
        }
    }
    return graph;
}

std::string fault_of(TravelGraph graph, std::span<const RoadEdge> edges)
{
    const auto first = graph.first_arcs();
    const auto arcs = graph.arcs();
    constexpr std::size_t kMost = 0x7fffffff;
    if (first.size() < 2 || first.size() > kMost || arcs.size() > kMost || first.front() != 0 ||
        first.back() != arcs.size() || !std::is_sorted(first.begin(), first.end())) {
        return "the offsets of its arcs are damaged";
    }
    if (graph.arriving().size() != edges.size() * 2 || graph.leaving().size() != edges.size() * 2) {
        return "the states of its roads are damaged";
    }
    std::vector<bool> seen(edges.size() * 2, false);
    const auto states = graph.state_count();
    for (std::uint32_t state = 0; state < states; ++state) {
        for (const auto& arc : graph.arcs(state)) {
            if (arc.head >= states || arc.ms > kLongestEdge) {
                return "an arc of its roads is damaged";
            }
            if (arc.is_turn()) {
                if (arc.mm != 0) {
                    return "a turn of its roads is damaged";
                }
                continue;
            }
            if (arc.edge() >= edges.size()) {
                return "an arc of its roads is damaged";
            }
            const auto& edge = edges[arc.edge()];
            if (arc.ms != (arc.forward() ? edge.forward_ms : edge.backward_ms) ||
                arc.mm != edge.length_mm) {
                return "an arc of its roads is damaged";
            }
            seen[arc.what] = true;
        }
    }
    for (std::size_t i = 0; i < edges.size(); ++i) {
        for (const bool forward : {true, false}) {
            const bool is_open = (forward ? edges[i].forward_ms : edges[i].backward_ms) != kClosed;
            const auto direction = direction_of(static_cast<std::uint32_t>(i), forward);
            const auto leaving = graph.leaving()[direction];
            const auto arriving = graph.arriving()[direction];
            if (is_open != seen[direction]) {
                return "its roads and arcs do not fit";
            }
            if (is_open ? leaving >= states || arriving >= states
                        : leaving != kNoState || arriving != kNoState) {
                return "the states of its roads are damaged";
            }
        }
    }
    return {};
}

}  // namespace nestround::roads
