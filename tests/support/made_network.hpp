/// \file made_network.hpp
/// \brief A network of any size with main roads and side streets, for benchmarks.
///
/// Purpose:  real extracts as big as this are not at hand.
/// Units:    as roads/network.hpp.
/// Range:    a grid of side x side junctions, each stretch 80 to 140 m; every 4th, 16th and 64th
///           street quicker (50, 80, 120 km/h instead of 30), each speed 20 % up or down by chance;
///           of the slow stretches 25 % are missing and 10 % one-way. The largest strong part is
///           kept.
/// Accuracy: the same for the same side.
/// Errors:   Failure when the network cannot be made.
/// Source:   own.
#pragma once

#include <algorithm>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/strong_components.hpp>
#include <cstdint>
#include <map>
#include <utility>
#include <vector>

#include "geocore/base/random.hpp"
#include "geocore/roads/network.hpp"

namespace nestround::test {

[[nodiscard]] inline roads::RoadNetwork made_network(std::uint32_t side)
{
    Random random{7};
    const auto quick = [](std::uint32_t line) {
        return line % 64 == 0 ? 3 : line % 16 == 0 ? 2 : line % 4 == 0 ? 1 : 0;
    };
    constexpr double kKmh[]{30, 50, 80, 120};
    struct Made {
        std::uint32_t from, to, forward, backward, mm;
    };
    std::vector<Made> made;
    const auto add = [&](std::uint32_t a, std::uint32_t b, int kind) {
        if (kind == 0 && random.chance(0.25)) {
            return;
        }
        const double metres = random.uniform(80, 140);
        const auto ms = static_cast<std::uint32_t>(
            metres / (kKmh[kind] * random.uniform(0.8, 1.2) / 3.6) * 1000);
        made.push_back({a, b, ms, kind == 0 && random.chance(0.1) ? roads::kClosed : ms,
                        static_cast<std::uint32_t>(metres * 1000)});
    };
    for (std::uint32_t y = 0; y < side; ++y) {
        for (std::uint32_t x = 0; x < side; ++x) {
            if (x + 1 < side) {
                add(y * side + x, y * side + x + 1, quick(y));
            }
            if (y + 1 < side) {
                add(y * side + x, (y + 1) * side + x, quick(x));
            }
        }
    }
    using Graph = boost::compressed_sparse_row_graph<boost::directedS>;
    std::vector<std::pair<std::size_t, std::size_t>> ends;
    for (const auto& edge : made) {
        ends.emplace_back(edge.from, edge.to);
        if (edge.backward != roads::kClosed) {
            ends.emplace_back(edge.to, edge.from);
        }
    }
    const std::size_t count = std::size_t{side} * side;
    const Graph graph{boost::edges_are_unsorted_multi_pass, ends.begin(), ends.end(), count};
    std::vector<std::uint32_t> part(count);
    boost::strong_components(
        graph, boost::make_iterator_property_map(part.begin(), get(boost::vertex_index, graph)));
    std::map<std::uint32_t, std::size_t> sizes;
    for (const auto p : part) {
        ++sizes[p];
    }
    const auto largest = std::max_element(sizes.begin(), sizes.end(), [](auto& a, auto& b) {
                             return a.second < b.second;
                         })->first;
    // Row after row in strips of 16 columns: neighbours on the ground are close in memory.
    std::vector<std::uint32_t> number(count, roads::kNoState);
    roads::NetworkData data;
    for (std::uint32_t strip = 0; strip < side; strip += 16) {
        for (std::uint32_t y = 0; y < side; ++y) {
            for (auto x = strip; x < std::min(side, strip + 16); ++x) {
                if (part[y * side + x] == largest) {
                    number[y * side + x] = static_cast<std::uint32_t>(data.nodes.size());
                    data.nodes.push_back({static_cast<std::int32_t>(95'000'000 + x * 14'600),
                                          static_cast<std::int32_t>(470'000'000 + y * 9'900)});
                }
            }
        }
    }
    for (const auto& edge : made) {
        if (number[edge.from] != roads::kNoState && number[edge.to] != roads::kNoState) {
            roads::RoadEdge kept;
            kept.from = number[edge.from];
            kept.to = number[edge.to];
            kept.forward_ms = edge.forward;
            kept.backward_ms = edge.backward;
            kept.length_mm = edge.mm;
            data.edges.push_back(kept);
        }
    }
    std::sort(data.edges.begin(), data.edges.end(),
              [](const roads::RoadEdge& a, const roads::RoadEdge& b) {
                  return std::pair{a.from, a.to} < std::pair{b.from, b.to};
              });
    data.first_point.push_back(0);
    for (const auto& edge : data.edges) {
        data.points.push_back(data.nodes[edge.from]);
        data.points.push_back(data.nodes[edge.to]);
        data.first_point.push_back(static_cast<std::uint32_t>(data.points.size()));
    }
    data.first_letter = {0, 0};
    return value_or_throw(roads::RoadNetwork::make(std::move(data)));
}

}  // namespace nestround::test
