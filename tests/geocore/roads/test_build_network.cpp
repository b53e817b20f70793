#include "geocore/roads/build_network.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "geocore/place/geodesic.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

BuiltNetwork build(const RawRoads& raw)
{
    auto result = build_network(raw);
    REQUIRE(result);
    return std::move(*result);
}

/// A square 1-2-3-4 driven both ways, as one closed way.
RawRoads square()
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 1, 1), raw_node(4, 0, 1)};
    raw.ways = {raw_way(1, {1, 2, 3, 4, 1})};
    raw.ways_seen = 1;
    return raw;
}

}  // namespace

TEST_CASE("BuildNetwork, ShapePointsAreNoJunctions")
{
    const auto built = build(square());
    CHECK(built.network.node_count() == 1);
    REQUIRE(built.network.edge_count() == 1);
    CHECK(built.network.edge(0).from == built.network.edge(0).to);
    CHECK(built.network.line(0).size() == 5);
    CHECK(built.report.ways_used == 1);
}

TEST_CASE("BuildNetwork, WaysMeetAtSharedVerticesAndNowhereElse")
{
    auto raw = square();
    // Crosses the square: shares vertex 2, and passes over the corner 4 with a vertex of its own.
    raw.nodes.push_back({9, raw_node(4, 0, 1).at, false});
    raw.ways.push_back(raw_way(2, {2, 9}));
    const auto built = build(raw);
    // 1, 2 and the loose end 9; corner 4 is not a junction.
    CHECK(built.network.node_count() == 3);
    CHECK(built.network.edge_count() == 3);
}

TEST_CASE("BuildNetwork, TouchingInTheMiddleDoesNotJoin")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 2, 0), raw_node(3, 1, 0), raw_node(4, 1, 3)};
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {3, 4})};
    const auto built = build(raw);
    CHECK(built.network.edge_count() == 1);
    CHECK(built.report.parts_dropped == 1);
    // Of two parts with two nodes each the one with more road is kept.
    CHECK(built.network.box().high.lat_e7 == raw.nodes[3].at.lat_e7);
}

TEST_CASE("BuildNetwork, LengthsAreGeodesicAndTimesWholeMilliseconds")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 3, 0), raw_node(3, 3, 4)};
    raw.ways = {raw_way(1, {1, 2, 3}, 50)};
    raw.ways[0].road.backward_kmh = 25;
    const auto built = build(raw);
    const double metres =
        place::geodesic_distance(lon_lat(raw.nodes[0].at), lon_lat(raw.nodes[1].at)).value() +
        place::geodesic_distance(lon_lat(raw.nodes[1].at), lon_lat(raw.nodes[2].at)).value();
    const auto& edge = built.network.edge(0);
    CHECK(edge.length_mm == std::llround(metres * 1000));
    const auto way_there = std::min(edge.forward_ms, edge.backward_ms);
    const auto way_back = std::max(edge.forward_ms, edge.backward_ms);
    CHECK(way_there == std::llround(metres * 1000 * 3.6 / 50));
    CHECK(way_back == std::llround(metres * 1000 * 3.6 / 25));
}

TEST_CASE("BuildNetwork, ABarrierCutsTheRoad")
{
    auto raw = square();
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {2, 3}), raw_way(3, {3, 4}), raw_way(4, {4, 1})};
    CHECK(build(raw).network.node_count() == 4);
    raw.nodes[2].closed = true;  // vertex 3
    const auto built = build(raw);
    // Vertex 3 is two dead ends now.
    CHECK(built.network.node_count() == 5);
    CHECK(built.network.edge_count() == 4);
    CHECK(built.report.barriers == 1);

    SECTION("also in the middle of a way")
    {
        auto closed_way = square();
        closed_way.nodes[2].closed = true;
        CHECK(build(closed_way).network.edge_count() == 2);
    }
    SECTION("and all that lies behind it alone is dropped and told")
    {
        raw.ways = {raw_way(1, {1, 2}), raw_way(2, {2, 3}), raw_way(3, {3, 4})};
        const auto cut = build(raw);
        CHECK(cut.network.edge_count() == 2);
        CHECK(cut.report.edges_dropped == 1);
        REQUIRE(cut.report.largest_dropped.size() == 1);
        CHECK(cut.report.largest_dropped[0].length.value() > 500);
    }
}

TEST_CASE("BuildNetwork, KeepsTheLargestPartInWhichAllIsReachable")
{
    auto raw = square();
    raw.ways = {one_way(raw_way(1, {1, 2})), one_way(raw_way(2, {2, 3})),
                one_way(raw_way(3, {3, 4})), one_way(raw_way(4, {4, 1}))};
    // A way out without return, and an island.
    raw.nodes.insert(raw.nodes.end(), {raw_node(5, 5, 5), raw_node(6, 8, 8), raw_node(7, 8, 9)});
    raw.ways.push_back(one_way(raw_way(5, {3, 5})));
    raw.ways.push_back(raw_way(6, {6, 7}));
    const auto built = build(raw);
    CHECK(built.network.node_count() == 4);
    CHECK(built.network.edge_count() == 4);
    CHECK(built.report.arcs == 4);
    CHECK(built.report.parts_dropped == 2);
    CHECK(built.report.edges_dropped == 2);
    CHECK(built.report.length_dropped.value() > 1000);
    // The longest is named first.
    CHECK(built.report.largest_dropped[0].somewhere == lon_lat(raw.nodes[2].at));
    const auto lines = text_lines(built.report);
    CHECK(std::any_of(lines.begin(), lines.end(), [](const std::string& line) {
        return line.find("2 stretches in 2 parts") != std::string::npos;
    }));
    CHECK(built.network.report().find("2 stretches in 2 parts") != std::string::npos);
}

TEST_CASE("BuildNetwork, NothingThatCanBeDrivenIsAnErrorThatNamesTheSource")
{
    RawRoads raw;
    raw.source = "empty.osm";
    const auto none = build_network(raw);
    REQUIRE_FALSE(none);
    CHECK(none.error().code == ErrorCode::InvalidInput);
    CHECK(none.error().where == "empty.osm");

    raw = square();
    raw.ways = {one_way(raw_way(1, {1, 2}))};
    const auto no_return = build_network(raw);
    REQUIRE_FALSE(no_return);
    CHECK(no_return.error().message.find("there and back") != std::string::npos);
}

TEST_CASE("BuildNetwork, KeepsParallelRoadsLoopsAndRoadsOfNoLength")
{
    auto raw = square();
    raw.ways.push_back(raw_way(2, {1, 3}));
    raw.ways.push_back(raw_way(3, {1, 3}, 72));
    raw.nodes.push_back({5, raw.nodes[0].at, false});  // where vertex 1 lies
    raw.ways.push_back(raw_way(4, {1, 5}));
    const auto built = build(raw);
    CHECK(built.network.edge_count() == 5);
    const auto edges = built.network.edges();
    const auto zero = std::find_if(edges.begin(), edges.end(),
                                   [](const RoadEdge& e) { return e.length_mm == 0; });
    REQUIRE(zero != edges.end());
    CHECK(zero->forward_ms == 1);
}

TEST_CASE("BuildNetwork, AFerrysDurationIsSharedOutByLength")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 0, 1), raw_node(3, 0, 4)};
    auto ferry = raw_way(1, {1, 2, 3});
    ferry.road.road_class = RoadClass::Ferry;
    ferry.road.duration = seconds{2000};
    raw.ways = {ferry, raw_way(2, {2, 1})};  // makes vertex 2 a junction
    const auto built = build(raw);
    std::uint64_t sum = 0;
    std::set<std::uint32_t> parts;
    for (const auto& edge : built.network.edges()) {
        if (edge.road_class == RoadClass::Ferry) {
            sum += edge.forward_ms;
            parts.insert(edge.forward_ms);
        }
    }
    CHECK(sum == 2'000'000);
    // A degree of latitude is all but constant here: a quarter and three quarters.
    REQUIRE(parts.size() == 2);
    CHECK(*parts.begin() == Approx(500'000).epsilon(1e-4));
}

TEST_CASE("BuildNetwork, ClippedWaysAreCutWhereVerticesAreMissing")
{
    auto raw = square();
    raw.ways = {raw_way(1, {1, 2, 77, 3, 4, 1}), raw_way(2, {88, 89})};
    const auto built = build(raw);
    // 1-2 and 3-4-1; the way without vertices is told.
    CHECK(built.network.edge_count() == 2);
    REQUIRE(built.report.left_out.size() == 2);
    CHECK(built.report.left_out[0].example == "way 1");
    CHECK(built.report.left_out[1].example == "way 2");
}

TEST_CASE("BuildNetwork, NeighboursOnTheGroundAreNeighboursInMemory")
{
    Random random{7};
    const auto network = built(random_roads(random, 30));
    double along = 0;
    double shuffled = 0;
    for (std::uint32_t i = 1; i < network->node_count(); ++i) {
        const auto other = static_cast<std::uint32_t>(random.below(network->node_count()));
        const auto here = lon_lat(network->node(i));
        along += place::geodesic_distance(here, lon_lat(network->node(i - 1))).value();
        shuffled += place::geodesic_distance(here, lon_lat(network->node(other))).value();
    }
    CHECK(along * 6 < shuffled);
    const auto edges = network->edges();
    CHECK(std::is_sorted(edges.begin(), edges.end(), [](const RoadEdge& a, const RoadEdge& b) {
        return a.from < b.from || (a.from == b.from && a.to < b.to);
    }));
}

TEST_CASE("BuildNetwork, OnARegularGridEveryStepInMemoryIsOneCrossingOnTheGround")
{
    // Hilbert's curve visits the cells of a 16 by 16 grid so that each follows a neighbour.
    constexpr int kSide = 16;
    RawRoads raw;
    for (int x = 0; x < kSide; ++x) {
        for (int y = 0; y < kSide; ++y) {
            raw.nodes.push_back(raw_node(x * kSide + y, x, y));
            if (x > 0) {
                raw.ways.push_back(raw_way(0, {(x - 1) * kSide + y, x * kSide + y}));
            }
            if (y > 0) {
                raw.ways.push_back(raw_way(0, {x * kSide + y - 1, x * kSide + y}));
            }
        }
    }
    const auto network = built(raw);
    REQUIRE(network->node_count() == kSide * kSide);
    for (std::uint32_t i = 1; i < network->node_count(); ++i) {
        const auto a = network->node(i - 1);
        const auto b = network->node(i);
        CHECK(std::abs(a.lon_e7 - b.lon_e7) + std::abs(a.lat_e7 - b.lat_e7) == kHundredth);
    }
}

TEST_CASE("BuildNetwork, TheSameRoadsGiveTheSameNetwork")
{
    Random random{8};
    const auto raw = random_roads(random, 12);
    CHECK(built(raw)->data() == built(raw)->data());
}
