/// \file road_oracle.hpp
/// \brief Travel times in another way than the engines': stops become nodes of their own.
///
/// Each edge is cut at the stops on it, and Boost.Graph searches an adjacency list of whole
/// milliseconds. Nothing is shared with the engines but the network.
#pragma once

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::test {

class RoadOracle {
public:
    static constexpr std::uint64_t kNoWay = std::numeric_limits<std::uint64_t>::max();

    RoadOracle(const roads::RoadNetwork& network, std::span<const roads::RoadStop> stops)
        : graph_{network.node_count() + stops.size()}
    {
        std::map<std::uint32_t, std::vector<std::pair<double, std::size_t>>> on_edge;
        for (std::size_t i = 0; i < stops.size(); ++i) {
            on_edge[stops[i].edge].emplace_back(stops[i].along, network.node_count() + i);
        }
        for (std::uint32_t e = 0; e < network.edge_count(); ++e) {
            const auto& edge = network.edge(e);
            std::vector<std::pair<double, std::size_t>> cuts{{0.0, edge.from}};
            auto inner = on_edge[e];
            std::sort(inner.begin(), inner.end());
            cuts.insert(cuts.end(), inner.begin(), inner.end());
            cuts.emplace_back(1.0, edge.to);
            for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
                const auto piece = [&](std::uint32_t ms) {
                    const auto at = [&](double along) { return std::llround(ms * along); };
                    return static_cast<std::uint64_t>(at(cuts[i + 1].first) - at(cuts[i].first));
                };
                if (edge.forward_ms != roads::kClosed) {
                    add_edge(cuts[i].second, cuts[i + 1].second, piece(edge.forward_ms), graph_);
                }
                if (edge.backward_ms != roads::kClosed) {
                    add_edge(cuts[i + 1].second, cuts[i].second, piece(edge.backward_ms), graph_);
                }
            }
        }
        first_stop_ = network.node_count();
    }

    /// Milliseconds from one stop to all, kNoWay where there is none.
    [[nodiscard]] std::vector<std::uint64_t> from(std::size_t stop) const
    {
        std::vector<std::uint64_t> cost(num_vertices(graph_));
        dijkstra_shortest_paths(graph_, first_stop_ + stop,
                                boost::distance_map(boost::make_iterator_property_map(
                                    cost.begin(), get(boost::vertex_index, graph_))));
        return {cost.begin() + static_cast<std::ptrdiff_t>(first_stop_), cost.end()};
    }

private:
    using Graph =
        boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                              boost::property<boost::edge_weight_t, std::uint64_t>>;
    Graph graph_;
    std::size_t first_stop_ = 0;
};

}  // namespace nestround::test
