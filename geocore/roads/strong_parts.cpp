#include "geocore/roads/strong_parts.hpp"

#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/strong_components.hpp>
#include <tuple>
#include <utility>

namespace nestround::roads {

StrongParts strong_parts(std::uint32_t nodes, std::span<const RoadEdge> edges,
                         const std::function<bool(std::uint32_t)>& use)
{
    using Graph =
        boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, boost::no_property,
                                           boost::no_property, std::uint32_t, std::uint32_t>;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> arcs;
    const auto used = [&](std::uint32_t i) { return !use || use(i); };
    for (std::uint32_t i = 0; i < edges.size(); ++i) {
        if (used(i) && edges[i].forward_ms != kClosed) {
            arcs.emplace_back(edges[i].from, edges[i].to);
        }
        if (used(i) && edges[i].backward_ms != kClosed) {
            arcs.emplace_back(edges[i].to, edges[i].from);
        }
    }
    const Graph graph{boost::edges_are_unsorted_multi_pass, arcs.begin(), arcs.end(), nodes};
    StrongParts parts;
    parts.of_node.assign(nodes, 0);
    const auto count = boost::strong_components(
        graph,
        boost::make_iterator_property_map(parts.of_node.begin(), get(boost::vertex_index, graph)));
    parts.sizes.assign(count, 0);
    for (const auto part : parts.of_node) {
        ++parts.sizes[part];
    }
    std::vector<double> length(count, 0);
    for (std::uint32_t i = 0; i < edges.size(); ++i) {
        if (used(i) && parts.of_node[edges[i].from] == parts.of_node[edges[i].to]) {
            length[parts.of_node[edges[i].from]] += edges[i].length_mm;
        }
    }
    for (std::uint32_t i = 1; i < count; ++i) {
        if (std::tie(parts.sizes[i], length[i]) >
            std::tie(parts.sizes[parts.largest], length[parts.largest])) {
            parts.largest = i;
        }
    }
    return parts;
}

}  // namespace nestround::roads
