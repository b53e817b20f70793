// The graph that knows turns, against an oracle over whole driven histories, and by hand.
#include "geocore/roads/turn_graph.hpp"

#include "geocore/roads/dijkstra_engine.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"
#include "tests/support/road_oracle.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

/// Restrictions along random drives of two to four ways, some of them for one truck only.
void add_restrictions(Random& random, RawRoads& raw, int count)
{
    const auto end_of = [&](const RawWay& way, bool first) {
        return first ? way.nodes.front() : way.nodes.back();
    };
    for (int i = 0; i < count; ++i) {
        std::vector<std::int64_t> ways;
        const auto& start = raw.ways[static_cast<std::size_t>(random.below(raw.ways.size()))];
        ways.push_back(start.id);
        auto at = end_of(start, random.chance(0.5));
        TurnRestriction turn;
        turn.via_node = at;
        const auto length = 2 + random.below(3);
        while (ways.size() < length) {
            std::vector<const RawWay*> next;
            for (const auto& way : raw.ways) {
                if (way.nodes.front() == at || way.nodes.back() == at) {
                    next.push_back(&way);
                }
            }
            const auto& way = *next[static_cast<std::size_t>(random.below(next.size()))];
            ways.push_back(way.id);
            at = end_of(way, way.nodes.front() != at);
        }
        turn.from_way = ways.front();
        turn.to_way = ways.back();
        turn.via_ways.assign(ways.begin() + 1, ways.end() - 1);
        turn.only = random.chance(0.3);
        turn.spares = random.chance(0.1) ? kSparesLight : 0;
        turn.id = i;
        raw.restrictions.push_back(turn);
    }
}

/// A cross of four roads of 1 km or so around node 0; 1 west, 2 north, 3 east, 4 south.
RawRoads cross()
{
    RawRoads raw;
    raw.nodes = {raw_node(0, 0, 0), raw_node(1, -1, 0), raw_node(2, 0, 1), raw_node(3, 1, 0),
                 raw_node(4, 0, -1)};
    for (std::int64_t i = 1; i <= 4; ++i) {
        raw.ways.push_back(raw_way(i, {i, 0}));
    }
    raw.ways_seen = 4;
    return raw;
}

TurnRestriction restriction(std::int64_t from, std::int64_t to, bool only = false)
{
    TurnRestriction turn;
    turn.from_way = from;
    turn.to_way = to;
    turn.only = only;
    turn.id = 77;
    return turn;
}

/// The stop in the middle of the road that begins at the raw node.
RoadStop middle_of(const RoadNetwork& network, RoadPoint begin)
{
    for (std::uint32_t i = 0; i < network.edge_count(); ++i) {
        if (network.line(i).front() == begin || network.line(i).back() == begin) {
            RoadStop stop;
            stop.edge = i;
            stop.along = 0.5;
            return stop;
        }
    }
    FAIL("no such road");
    return {};
}

std::uint64_t cost(const std::shared_ptr<const RoadNetwork>& network, RoadStop a, RoadStop b)
{
    const DijkstraEngine engine{network};
    return engine.exact_costs(std::array{a}, std::array{b}).front().ms;
}

}  // namespace

TEST_CASE("TurnGraph, RandomNetworksWithRulesAndPrivateRoadsEqualTheOracle")
{
    Random random{31};
    std::size_t applied = 0;
    std::size_t longest = 0;
    std::size_t ends = 0;
    std::size_t different = 0;
    std::size_t unlike_plain = 0;
    for (int round = 0; round < 40; ++round) {
        auto raw = random_roads(random, 6);
        for (auto& way : raw.ways) {
            way.road.ends_only = random.chance(0.15);
        }
        add_restrictions(random, raw, 40);
        const auto network = built(raw);
        applied += network->view().turn_rules.size();
        for (const auto& rule : network->view().turn_rules) {
            longest = std::max<std::size_t>(longest, rule.steps);
        }
        for (const auto& edge : network->edges()) {
            ends += (edge.flags & kFlagEndsOnly) != 0 ? 1 : 0;
        }
        std::vector<RoadStop> stops;
        while (stops.size() < 15) {
            stops.push_back(random_stop(random, *network));
        }
        const DijkstraEngine engine{network};
        const auto costs = engine.exact_costs(stops, stops);
        const RoadOracle oracle{*network, stops};

        auto free = raw;
        free.restrictions.clear();
        for (auto& way : free.ways) {
            way.road.ends_only = false;
        }
        const DijkstraEngine plain{built(free)};
        const auto without = plain.exact_costs(stops, stops);
        for (std::size_t i = 0; i < stops.size(); ++i) {
            const auto expected = oracle.from(i);
            for (std::size_t k = 0; k < stops.size(); ++k) {
                const auto told = costs[i * stops.size() + k];
                different += (told == kNever ? RoadOracle::kNoWay : told.ms) != expected[k] ? 1 : 0;
                unlike_plain += told != without[i * stops.size() + k] ? 1 : 0;
            }
        }
    }
    CHECK(different == 0);
    // The rules are there and matter.
    CHECK(applied > 300);
    CHECK(longest >= 4);
    CHECK(ends > 100);
    CHECK(unlike_plain > 500);
}

TEST_CASE("TurnGraph, CostsOfTurnsAreAddedEachTime")
{
    const auto raw = cross();
    const auto network = built(raw);
    const auto west = middle_of(*network, raw.nodes[1].at);
    const auto north = middle_of(*network, raw.nodes[2].at);
    const auto east = middle_of(*network, raw.nodes[3].at);
    const auto south = middle_of(*network, raw.nodes[4].at);
    auto data = value_or_throw(build_network(raw)).network.data();
    data.graph = turn_graph(data, {7000, 3000, 20000});
    const auto priced =
        std::make_shared<const RoadNetwork>(value_or_throw(RoadNetwork::make(std::move(data))));
    CHECK(cost(priced, west, north) == cost(network, west, north) + 7000);
    CHECK(cost(priced, west, south) == cost(network, west, south) + 3000);
    CHECK(cost(priced, west, east) == cost(network, west, east));
}

TEST_CASE("TurnGraph, AForbiddenTurnIsDrivenRound")
{
    auto raw = cross();
    raw.restrictions = {restriction(1, 2)};
    const auto free = built(cross());
    const auto network = built(raw);
    const auto west = middle_of(*network, raw.nodes[1].at);
    const auto north = middle_of(*network, raw.nodes[2].at);
    const auto east = middle_of(*network, raw.nodes[3].at);
    // On into another road, round at its end and back: one whole road there and back.
    const auto road = std::min({network->edge(0).forward_ms, network->edge(1).forward_ms,
                                network->edge(2).forward_ms, network->edge(3).forward_ms});
    const auto longer = cost(network, west, north) - cost(free, west, north);
    CHECK(longer >= 2 * std::uint64_t{road});
    CHECK(cost(network, north, west) == cost(free, north, west));
    CHECK(cost(network, west, east) == cost(free, west, east));
}

TEST_CASE("TurnGraph, OnlyThisTurnForbidsTheOthersAndTurningRound")
{
    auto raw = cross();
    raw.restrictions = {restriction(1, 3, true)};
    const auto free = built(cross());
    const auto network = built(raw);
    const auto west = middle_of(*network, raw.nodes[1].at);
    const auto north = middle_of(*network, raw.nodes[2].at);
    const auto east = middle_of(*network, raw.nodes[3].at);
    CHECK(cost(network, west, east) == cost(free, west, east));
    CHECK(cost(network, west, north) > cost(free, west, north));
}

TEST_CASE("TurnGraph, APrivateRoadIsNoShortCutButIsReached")
{
    // A short private road between two corners, and a long open one around.
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0),  raw_node(3, 0, 3),
                 raw_node(4, 1, 3), raw_node(5, -1, 0), raw_node(6, 2, 0)};
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {1, 3, 4, 2}), raw_way(3, {5, 1}),
                raw_way(4, {2, 6})};
    raw.ways[0].road.ends_only = true;
    raw.ways_seen = 4;
    const auto network = built(raw);
    const auto left = middle_of(*network, raw.nodes[4].at);
    const auto right = middle_of(*network, raw.nodes[5].at);
    RoadStop yard;
    for (std::uint32_t i = 0; i < network->edge_count(); ++i) {
        if ((network->edge(i).flags & kFlagEndsOnly) != 0) {
            yard.edge = i;
            yard.along = 0.5;
        }
    }
    const auto kilometre = std::uint64_t{network->edge(yard.edge).forward_ms};
    CHECK(cost(network, left, right) > 6 * kilometre);
    CHECK(cost(network, left, yard) < 2 * kilometre);
    CHECK(cost(network, yard, right) < 2 * kilometre);
    const DijkstraEngine engine{network};
    CHECK(engine.route(left, yard));
}

TEST_CASE("TurnRules, WhatCannotBeAppliedIsNamed")
{
    auto raw = cross();
    raw.restrictions = {restriction(1, 2), restriction(1, 99)};
    raw.restrictions[0].via_node = 3;  // way 1 does not go there
    const auto result = value_or_throw(build_network(raw));
    CHECK(result.report.restrictions_applied == 0);
    std::size_t named = 0;
    for (const auto& entry : result.report.left_out) {
        named +=
            entry.reason.find("restriction") != std::string::npos && entry.example == "relation 77"
                ? entry.count
                : 0;
    }
    CHECK(named == 2);
}
