/// \file leg_oracle.hpp
/// \brief Legs between stops by Boost.Graph's search on an adjacency list, apart from our engine.
#pragma once

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>
#include <compare>
#include <cstdint>
#include <map>
#include <vector>

#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::test {

/// Milliseconds, then millimetres: the shorter of two equally quick ways.
struct LegCost {
    std::uint64_t ms = 0;
    std::uint64_t mm = 0;

    friend auto operator<=>(const LegCost&, const LegCost&) = default;
};

/// Every edge is cut at the stops on it, so that stops are nodes like all others.
class LegOracle {
public:
    LegOracle(const roads::RoadNetwork& network, const std::vector<roads::RoadStop>& stops)
        : first_{network.node_count()}, graph_{network.node_count() + stops.size()}
    {
        for (std::uint32_t e = 0; e < network.edge_count(); ++e) {
            const auto& edge = network.edge(e);
            std::multimap<double, std::size_t> cuts;
            for (std::size_t i = 0; i < stops.size(); ++i) {
                if (stops[i].edge == e) {
                    cuts.emplace(stops[i].along, first_ + i);
                }
            }
            double begins = 0;
            std::size_t from = edge.from;
            for (const auto& [along, node] : cuts) {
                join(edge, begins, from, along, node);
                begins = along;
                from = node;
            }
            join(edge, begins, from, 1, edge.to);
        }
    }

    [[nodiscard]] LegCost between(std::size_t from, std::size_t to) const
    {
        std::vector<LegCost> cost(num_vertices(graph_));
        const auto index = get(boost::vertex_index, graph_);
        boost::dijkstra_shortest_paths(
            graph_, first_ + from,
            boost::weight_map(get(boost::edge_weight, graph_))
                .distance_map(boost::make_iterator_property_map(cost.begin(), index))
                .distance_compare([](LegCost a, LegCost b) { return a < b; })
                .distance_combine([](LegCost a, LegCost b) {
                    return LegCost{a.ms + b.ms, a.mm + b.mm};
                })
                .distance_inf(LegCost{UINT64_MAX / 2, UINT64_MAX / 2})
                .distance_zero(LegCost{}));
        return cost[first_ + to];
    }

private:
    using Graph =
        boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                              boost::property<boost::edge_weight_t, LegCost>>;

    void join(const roads::RoadEdge& edge, double begins, std::size_t from, double ends,
              std::size_t to)
    {
        const auto piece = [&](std::uint32_t whole) {
            return static_cast<std::uint64_t>(std::llround(whole * ends) -
                                              std::llround(whole * begins));
        };
        if (edge.forward_ms != roads::kClosed) {
            add_edge(from, to, LegCost{piece(edge.forward_ms), piece(edge.length_mm)}, graph_);
        }
        if (edge.backward_ms != roads::kClosed) {
            add_edge(to, from, LegCost{piece(edge.backward_ms), piece(edge.length_mm)}, graph_);
        }
    }

    std::size_t first_;
    Graph graph_;
};

}  // namespace nestround::test
