#include "geocore/roads/reached_roads.hpp"

#include <algorithm>
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

RoadStop stop_on(std::uint32_t edge, double along)
{
    RoadStop stop;
    stop.edge = edge;
    stop.along = along;
    return stop;
}

bool holds(const std::vector<ReachedSpan>& spans, std::uint32_t edge, double along)
{
    return std::any_of(spans.begin(), spans.end(), [&](const ReachedSpan& span) {
        return span.edge == edge && span.begin <= along && along <= span.end;
    });
}

std::uint32_t node_at(const RoadNetwork& network, RoadPoint at)
{
    for (std::uint32_t n = 0; n < network.node_count(); ++n) {
        if (network.node(n) == at) {
            return n;
        }
    }
    FAIL("no such junction");
    return 0;
}

}  // namespace

TEST_CASE("ReachedRoads, OnOneRoadReachEndsWhereTheTimeRunsOut")
{
    // 36 km/h is 10 m/s: a minute is 600 m to each side of the middle.
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 10, 0)};
    raw.ways = {raw_way(1, {1, 2})};
    const auto network = built(raw);
    REQUIRE(network->edge_count() == 1);
    const double metres = network->edge(0).length_mm / 1000.0;
    const ReachedRoads reached{*network, stop_on(0, 0.5), 3'600'000};
    const auto spans = reached.within(60'000);
    REQUIRE(spans.size() == 1);
    CHECK(spans[0].begin * metres == Approx(metres / 2 - 600).margin(0.02));
    CHECK(spans[0].end * metres == Approx(metres / 2 + 600).margin(0.02));
    const auto line = line_of(*network, spans[0]);
    CHECK(place::geodesic_distance(line.front(), line.back()).value() == Approx(1200).margin(0.05));
    CHECK(reached.within(3'600'000) == std::vector<ReachedSpan>{{0, 0, 1}});
    CHECK(reached.within(0).empty());
}

TEST_CASE("ReachedRoads, AOneWayRoadIsReachedItsWayOnly")
{
    // A ring of four one-way roads of 1.1 km or less, driven 1 to 2 to 3 to 4.
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 1, 1), raw_node(4, 0, 1),
                 raw_node(5, 2, 0)};
    raw.ways = {one_way(raw_way(1, {1, 2})), one_way(raw_way(2, {2, 3})),
                one_way(raw_way(3, {3, 4})), one_way(raw_way(4, {4, 1})), raw_way(5, {2, 5})};
    const auto network = built(raw);
    const auto first = raw.nodes[0].at;
    std::uint32_t edge = 0;
    while (!(network->line(edge).front() == first &&
             network->line(edge).back().lat_e7 == first.lat_e7)) {
        REQUIRE(++edge < network->edge_count());
    }
    const auto whole = network->edge(edge).forward_ms;
    const ReachedRoads reached{*network, stop_on(edge, 0.25), 3'600'000};
    const auto spans = reached.within(whole / 2);
    REQUIRE(spans.size() == 1);
    CHECK(spans[0].edge == edge);
    CHECK(spans[0].begin == 0.25);
    CHECK(spans[0].end == Approx(0.75).margin(1e-5));
    // All the way round, the ring's own road behind the start comes last.
    const auto round = reached.within(whole + whole * 3 / 4);
    CHECK_FALSE(holds(round, edge, 0.1));
    CHECK(holds(reached.within(3'600'000), edge, 0.1));
}

TEST_CASE("ReachedRoads, JunctionsAreReachedAtTheSumOfTheirRoads")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 2, 0), raw_node(4, 1, 1)};
    raw.ways = {raw_way(1, {1, 2}, 36), raw_way(2, {2, 3}, 72), raw_way(3, {2, 4}, 18)};
    const auto network = built(raw);
    const auto a = node_at(*network, raw.nodes[0].at);
    const auto b = node_at(*network, raw.nodes[1].at);
    const auto c = node_at(*network, raw.nodes[2].at);
    const auto d = node_at(*network, raw.nodes[3].at);
    std::uint32_t first = 0;
    while (!(network->edge(first).from == a || network->edge(first).to == a)) {
        ++first;
    }
    const double along = network->edge(first).from == a ? 0.0 : 1.0;
    const ReachedRoads reached{*network, stop_on(first, along), 3'600'000};
    const auto metres = [&](const RawNode& x, const RawNode& y) {
        return place::geodesic_distance(lon_lat(x.at), lon_lat(y.at)).value();
    };
    const double to_b = metres(raw.nodes[0], raw.nodes[1]) / 10 * 1000;
    CHECK(reached.node_ms(a) == 0);
    CHECK(static_cast<double>(reached.node_ms(b)) == Approx(to_b).margin(1));
    CHECK(static_cast<double>(reached.node_ms(c)) ==
          Approx(to_b + metres(raw.nodes[1], raw.nodes[2]) / 20 * 1000).margin(2));
    CHECK(static_cast<double>(reached.node_ms(d)) ==
          Approx(to_b + metres(raw.nodes[1], raw.nodes[3]) / 5 * 1000).margin(2));
    // In the band from its own millisecond on, and not before.
    for (const auto node : {b, c, d}) {
        const auto at = [&](std::uint64_t limit) {
            const auto spans = reached.within(limit);
            return std::any_of(spans.begin(), spans.end(), [&](const ReachedSpan& span) {
                const auto& edge = network->edge(span.edge);
                return (edge.from == node && span.begin == 0) || (edge.to == node && span.end == 1);
            });
        };
        CHECK(at(reached.node_ms(node)));
        CHECK_FALSE(at(reached.node_ms(node) - 1));
    }
}

TEST_CASE("ReachedRoads, EveryPlaceIsInsideFromItsOwnTimeOnByAnotherSearch")
{
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
        CAPTURE(seed);
        Random random{seed};
        const auto network = built(random_roads(random, 10));
        std::vector<RoadStop> stops;
        for (int i = 0; i < 60; ++i) {
            stops.push_back(random_stop(random, *network));
        }
        stops[1] = stops[0];
        stops[1].along = random.uniform();  // on the edge where it begins
        const RoadOracle oracle{*network, stops};
        const auto times = oracle.from(0);
        const ReachedRoads reached{*network, stops[0], 7'200'000};
        std::vector<ReachedSpan> before;
        for (const std::uint64_t limit : {60'000ULL, 300'000ULL, 900'000ULL, 2'400'000ULL}) {
            const auto spans = reached.within(limit);
            for (std::size_t i = 1; i < stops.size(); ++i) {
                CAPTURE(limit, i, times[i], stops[i].along);
                // A millisecond of rounding where a place lies in the middle of an edge.
                if (times[i] + 2 < limit) {
                    CHECK(holds(spans, stops[i].edge, stops[i].along));
                } else if (times[i] > limit + 2) {
                    CHECK_FALSE(holds(spans, stops[i].edge, stops[i].along));
                }
            }
            for (const auto& span : before) {
                CHECK(holds(spans, span.edge, span.begin));
                CHECK(holds(spans, span.edge, span.end));
            }
            before = spans;
        }
    }
}
