#include "geocore/roads/dijkstra_engine.hpp"

#include <cmath>

#include "geocore/place/geodesic.hpp"
#include "geocore/roads/snapper.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"
#include "tests/support/road_oracle.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

RoadStop stop_on(const RoadNetwork& network, std::uint32_t edge, double along, bool right = true)
{
    RoadStop stop;
    stop.edge = edge;
    stop.along = along;
    const auto line = network.line(edge);
    const auto a = lon_lat(line.front());
    const auto b = lon_lat(line.back());
    stop.on_road = {a.lon + along * (b.lon - a.lon), a.lat + along * (b.lat - a.lat)};
    stop.right_side = right;
    return stop;
}

/// A triangle of straight roads; number 0 leads from vertex 1 to 2.
RawRoads triangle()
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 1, 1)};
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {2, 3}), raw_way(3, {3, 1})};
    return raw;
}

std::uint32_t edge_between(const RoadNetwork& network, RoadPoint a, RoadPoint b)
{
    for (std::uint32_t e = 0; e < network.edge_count(); ++e) {
        if (network.line(e).front() == a && network.line(e).back() == b) {
            return e;
        }
    }
    FAIL("no such edge");
    return 0;
}

std::uint64_t part(std::uint32_t whole, double along)
{
    return static_cast<std::uint64_t>(std::llround(whole * along));
}

double length_of(const std::vector<LonLat>& line)
{
    double sum = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        sum += place::geodesic_distance(line[i - 1], line[i]).value();
    }
    return sum;
}

}  // namespace

TEST_CASE("DijkstraEngine, EqualsAnotherSearchOnRandomNetworksToTheMillisecond")
{
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        CAPTURE(seed);
        Random random{seed};
        const auto network = built(random_roads(random, 14));
        std::vector<RoadStop> stops;
        for (int i = 0; i < 40; ++i) {
            stops.push_back(random_stop(random, *network));
            if (i % 5 == 0) {
                // a second stop on the same edge
                stops.push_back(stops.back());
                stops.back().along = random.uniform();
            }
        }
        const DijkstraEngine engine{network};
        const auto costs = engine.exact_costs(stops, stops);
        const auto matrix = engine.matrix(stops, stops);
        const RoadOracle oracle{*network, stops};
        std::size_t wrong = 0;
        for (std::size_t i = 0; i < stops.size(); ++i) {
            const auto expected = oracle.from(i);
            for (std::size_t k = 0; k < stops.size(); ++k) {
                const auto& cost = costs[i * stops.size() + k];
                wrong += cost.ms != expected[k] ? 1 : 0;
                wrong += matrix.seconds_between(i, k) != (expected[k] + 500) / 1000 ? 1 : 0;
                wrong += matrix.metres_between(i, k) != (cost.mm + 500) / 1000 ? 1 : 0;
            }
        }
        CHECK(wrong == 0);
    }
}

TEST_CASE("DijkstraEngine, ARouteHasTheMatrixsTimeAndALineOfItsLength")
{
    Random random{99};
    const auto network = built(random_roads(random, 14));
    const Snapper snapper{network};
    const DijkstraEngine engine{network};
    std::vector<RoadStop> stops;
    while (stops.size() < 25) {
        const LonLat place{Longitude{random.uniform(9.5, 9.63)},
                           Latitude{random.uniform(47.1, 47.23)}};
        stops.push_back(*snapper.snap(place));
    }
    const auto matrix = engine.matrix(stops, stops);
    for (std::size_t i = 0; i < stops.size(); ++i) {
        for (std::size_t k = 0; k < stops.size(); ++k) {
            const auto route = engine.route(stops[i], stops[k]);
            REQUIRE(route);
            REQUIRE(route->line.size() >= 2);
            CHECK(route->duration.count() == matrix.seconds_between(i, k));
            CHECK(route->length.value() == matrix.metres_between(i, k));
            CHECK(route->line.front() == stops[i].on_road);
            CHECK(route->line.back() == stops[k].on_road);
            CHECK(length_of(route->line) == Approx(route->length.value()).margin(0.7));
        }
    }
}

TEST_CASE("DijkstraEngine, OnOneEdgeTheDirectWayIsTakenWhereItIsOpen")
{
    auto raw = triangle();
    const auto a = raw.nodes[0].at;
    const auto b = raw.nodes[1].at;
    SECTION("both ways")
    {
        const auto network = built(raw);
        const auto e = edge_between(*network, a, b);
        const auto ms = network->edge(e).forward_ms;
        const DijkstraEngine engine{network};
        const std::vector<RoadStop> stops{stop_on(*network, e, 0.25), stop_on(*network, e, 0.75)};
        const auto costs = engine.exact_costs(stops, stops);
        CHECK(costs[0].ms == 0);
        CHECK(costs[1].ms == part(ms, 0.75) - part(ms, 0.25));
        CHECK(costs[2].ms == costs[1].ms);
        CHECK(engine.route(stops[0], stops[1])->line.size() == 2);
    }
    SECTION("against a one-way road the way leads around")
    {
        raw.ways[0] = one_way(raw.ways[0]);
        const auto network = built(raw);
        const auto e = edge_between(*network, a, b);
        const DijkstraEngine engine{network};
        const std::vector<RoadStop> stops{stop_on(*network, e, 0.25), stop_on(*network, e, 0.75)};
        const auto costs = engine.exact_costs(stops, stops);
        std::uint64_t whole = 0;
        for (const auto& edge : network->edges()) {
            whole += edge.forward_ms;
        }
        CHECK(costs[2].ms == whole - costs[1].ms);
        const auto around = engine.route(stops[1], stops[0]);
        REQUIRE(around);
        CHECK(around->line.size() == 5);
    }
    SECTION("a slow edge is left for a quicker way around")
    {
        raw.ways[0].road.forward_kmh = raw.ways[0].road.backward_kmh = 2;
        const auto network = built(raw);
        const auto e = edge_between(*network, a, b);
        const DijkstraEngine engine{network};
        const std::vector<RoadStop> stops{stop_on(*network, e, 0.01), stop_on(*network, e, 0.99)};
        CHECK(engine.exact_costs(stops, stops)[1].ms < network->edge(e).forward_ms / 2);
        CHECK(engine.route(stops[0], stops[1])->line.size() == 5);
    }
}

TEST_CASE("DijkstraEngine, OfEquallyQuickWaysTheShorterIsTold")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 0, 1)};
    // A detour by ferry and a straight ferry that take the same time.
    auto straight = raw_way(1, {1, 2});
    auto detour = raw_way(2, {1, 3, 2});
    straight.road.duration = detour.road.duration = seconds{600};
    raw.ways = {detour, straight};
    const auto network = built(raw);
    const std::uint32_t e = network->edge(0).length_mm < network->edge(1).length_mm ? 0 : 1;
    const std::uint32_t other = 1 - e;
    const DijkstraEngine engine{network};
    const std::vector<RoadStop> ends{stop_on(*network, other, 0), stop_on(*network, other, 1)};
    const auto costs = engine.exact_costs(ends, ends);
    CHECK(costs[1].ms == 600'000);
    CHECK(costs[1].mm == network->edge(e).length_mm);
}

TEST_CASE("DijkstraEngine, OnItsOwnSideAStopIsReachedInOneDirection")
{
    const auto raw = triangle();
    const auto network = built(raw);
    const auto e = edge_between(*network, raw.nodes[0].at, raw.nodes[1].at);
    const auto next = edge_between(*network, raw.nodes[1].at, raw.nodes[2].at);
    const DijkstraEngine either{network};
    const DijkstraEngine own{network, {StopSide::OwnOnly, Traffic::KeepsRight}};
    const DijkstraEngine left{network, {StopSide::OwnOnly, Traffic::KeepsLeft}};
    const std::vector<RoadStop> from{stop_on(*network, next, 0.0, true)};  // at vertex 2
    const std::vector<RoadStop> to{stop_on(*network, e, 0.5, true)};
    // Right of 1-2: coming from 2, the crew turns round at 1.
    const auto edge_ms = network->edge(e).forward_ms;
    const auto half = edge_ms - part(edge_ms, 0.5);
    const auto near_way = either.exact_costs(from, to)[0].ms;
    CHECK(near_way == half);
    CHECK(left.exact_costs(from, to)[0].ms == half);
    const auto own_way = own.exact_costs(from, to)[0].ms;
    CHECK(own_way > half);
    // The stop at vertex 2 may itself be left only forwards, to 3; from there round to 1 is nearer
    // than back through 2.
    CHECK(own_way ==
          network->edge(next).forward_ms +
              network->edge(edge_between(*network, raw.nodes[2].at, raw.nodes[0].at)).forward_ms +
              part(edge_ms, 0.5));
}

TEST_CASE("DijkstraEngine, NoSourcesOrTargetsGiveAnEmptyTable")
{
    const auto network = built(triangle());
    const auto engine = make_engine(network);
    const std::vector<RoadStop> one{stop_on(*network, 0, 0.5)};
    CHECK(engine->matrix({}, one).rows == 0);
    CHECK(engine->matrix(one, {}).columns == 0);
    CHECK(engine->matrix(one, {}).rows == 1);
}

TEST_CASE("DijkstraEngine, WhatCannotBeReachedIsSaid")
{
    // Not what build_network makes, but a sound network all the same: two roads apart.
    NetworkData data;
    data.nodes = {{0, 0}, {10000, 0}, {50000, 0}, {60000, 0}};
    RoadEdge edge;
    edge.forward_ms = edge.backward_ms = 1000;
    edge.length_mm = 111'000;
    edge.to = 1;
    data.edges.push_back(edge);
    edge.from = 2;
    edge.to = 3;
    data.edges.push_back(edge);
    data.points = data.nodes;
    data.first_point = {0, 2, 4};
    data.first_letter = {0, 0};
    const auto network = std::make_shared<const RoadNetwork>(*RoadNetwork::make(std::move(data)));
    const DijkstraEngine engine{network};
    const std::vector<RoadStop> stops{stop_on(*network, 0, 0.5), stop_on(*network, 1, 0.5)};
    const auto matrix = engine.matrix(stops, stops);
    CHECK(matrix.seconds_between(0, 1) == kUnreachable);
    CHECK(matrix.metres_between(1, 0) == kUnreachable);
    CHECK(matrix.seconds_between(1, 1) == 0);
    CHECK_FALSE(engine.route(stops[0], stops[1]));
}
