/// \file road_nets.hpp
/// \brief Small road networks for tests, drawn by hand or at random.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "geocore/base/random.hpp"
#include "geocore/roads/build_network.hpp"
#include "geocore/roads/raw_roads.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::test {

/// About 1.11 km on a meridian.
inline constexpr std::int32_t kHundredth = 100'000;

inline roads::RawNode raw_node(std::int64_t id, int x, int y, bool closed = false)
{
    return {id, {95'000'000 + x * kHundredth, 471'000'000 + y * kHundredth}, closed};
}

inline roads::RawWay raw_way(std::int64_t id, std::vector<std::int64_t> nodes, double kmh = 36)
{
    roads::RawWay way;
    way.id = id;
    way.nodes = std::move(nodes);
    way.road.forward_kmh = way.road.backward_kmh = kmh;
    return way;
}

inline roads::RawWay one_way(roads::RawWay way)
{
    way.road.backward_open = false;
    return way;
}

inline std::shared_ptr<const roads::RoadNetwork> built(const roads::RawRoads& raw)
{
    return std::make_shared<const roads::RoadNetwork>(
        value_or_throw(roads::build_network(raw)).network);
}

/// A jittered grid of `side` by `side` crossings with bent, one-way, missing, parallel and looping
/// roads of many speeds.
inline roads::RawRoads random_roads(Random& random, int side)
{
    roads::RawRoads raw;
    const auto id_of = [&](int x, int y) { return std::int64_t{x} * side + y; };
    for (int x = 0; x < side; ++x) {
        for (int y = 0; y < side; ++y) {
            auto node = raw_node(id_of(x, y), x, y);
            node.at.lon_e7 += static_cast<std::int32_t>(random.below(60'000));
            node.at.lat_e7 += static_cast<std::int32_t>(random.below(60'000));
            raw.nodes.push_back(node);
        }
    }
    std::int64_t extra = std::int64_t{side} * side;
    std::int64_t number = 0;
    const auto add = [&](std::int64_t a, std::int64_t b) {
        std::vector<std::int64_t> line{a};
        for (auto bends = random.below(3); bends > 0; --bends) {
            auto bend = raw.nodes[static_cast<std::size_t>(random.below(2) == 0 ? a : b)];
            bend.id = extra++;
            bend.at.lon_e7 += static_cast<std::int32_t>(random.below(30'000));
            raw.nodes.push_back(bend);
            line.push_back(bend.id);
        }
        line.push_back(b);
        auto way = raw_way(number++, std::move(line), random.uniform(5, 110));
        way.road.backward_kmh = random.uniform(5, 110);
        if (random.chance(0.2)) {
            way.road.backward_open = false;
        } else if (random.chance(0.05)) {
            way.road.forward_open = false;
        }
        raw.ways.push_back(std::move(way));
    };
    for (int x = 0; x < side; ++x) {
        for (int y = 0; y < side; ++y) {
            if (x + 1 < side && !random.chance(0.15)) {
                add(id_of(x, y), id_of(x + 1, y));
            }
            if (y + 1 < side && !random.chance(0.15)) {
                add(id_of(x, y), id_of(x, y + 1));
            }
            if (y + 1 < side && random.chance(0.05)) {
                add(id_of(x, y), id_of(x, y + 1));  // a parallel road
            }
            if (random.chance(0.05)) {
                // a loop that ends where it begins
                add(id_of(x, y), id_of(x, y));
                if (raw.ways.back().nodes.size() < 3) {
                    raw.ways.pop_back();
                }
            }
        }
    }
    raw.ways_seen = raw.ways.size();
    return raw;
}

inline roads::RoadStop random_stop(Random& random, const roads::RoadNetwork& network)
{
    roads::RoadStop stop;
    stop.edge = static_cast<std::uint32_t>(random.below(network.edge_count()));
    // Ends of edges too.
    stop.along = random.chance(0.1) ? static_cast<double>(random.below(2)) : random.uniform();
    stop.on_road = lon_lat(network.line(stop.edge).front());
    stop.right_side = random.chance(0.5);
    return stop;
}

}  // namespace nestround::test
