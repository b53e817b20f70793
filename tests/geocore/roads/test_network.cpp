#include "geocore/roads/network.hpp"

#include <functional>

#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {
NetworkData sound()
{
    Random random{3};
    return built(random_roads(random, 6))->data();
}
}  // namespace

TEST_CASE("Network, RefusesArraysThatContradictEachOther")
{
    REQUIRE(RoadNetwork::make(sound()));
    const std::vector<std::pair<const char*, std::function<void(NetworkData&)>>> breaks{
        {"no roads", [](NetworkData& d) { d = {}; }},
        {"node outside", [](NetworkData& d) { d.edges[2].to = 1'000'000; }},
        {"node outside", [](NetworkData& d) { d.edges[2].from = 0xffffffff; }},
        {"line elsewhere", [](NetworkData& d) { ++d.points[d.first_point[3]].lon_e7; }},
        {"line of one point", [](NetworkData& d) { d.first_point[1] = d.first_point[2]; }},
        {"offset outside", [](NetworkData& d) { d.first_point[1] = 0x7fffffff; }},
        {"too few offsets", [](NetworkData& d) { d.first_point.pop_back(); }},
        {"closed both ways",
         [](NetworkData& d) { d.edges[0].forward_ms = d.edges[0].backward_ms = kClosed; }},
        {"no time", [](NetworkData& d) { d.edges[0].forward_ms = 0; }},
        {"endless time", [](NetworkData& d) { d.edges[0].forward_ms = kLongestEdge + 1; }},
        {"name outside", [](NetworkData& d) { d.edges[0].name = 99; }},
        {"no such class", [](NetworkData& d) { d.edges[0].road_class = RoadClass{200}; }},
        {"names cut", [](NetworkData& d) { d.first_letter.back() = 5; }},
        {"names gone", [](NetworkData& d) { d.first_letter.clear(); }},
        {"off the Earth", [](NetworkData& d) { d.points[1].lat_e7 = 900'000'001; }},
    };
    for (const auto& [what, damage] : breaks) {
        CAPTURE(what);
        auto data = sound();
        damage(data);
        const auto network = RoadNetwork::make(std::move(data));
        REQUIRE_FALSE(network);
        CHECK(network.error().code == ErrorCode::InvalidInput);
    }
}

TEST_CASE("Network, ArcsOfThePlainGraphAreTheOpenDirectionsOfTheEdges")
{
    const auto network = *RoadNetwork::make(sound());
    const auto graph = network.graph();
    REQUIRE(graph.state_count() == network.node_count());
    std::size_t seen = 0;
    for (std::uint32_t node = 0; node < network.node_count(); ++node) {
        for (const auto& arc : graph.arcs(node)) {
            ++seen;
            const auto& edge = network.edge(arc.edge());
            CHECK((arc.forward() ? edge.from : edge.to) == node);
            CHECK((arc.forward() ? edge.to : edge.from) == arc.head);
            CHECK(arc.ms == (arc.forward() ? edge.forward_ms : edge.backward_ms));
            CHECK(arc.mm == edge.length_mm);
            CHECK(graph.leaving(arc.edge(), arc.forward()) == node);
            CHECK(graph.arriving(arc.edge(), arc.forward()) == arc.head);
        }
    }
    std::size_t open = 0;
    for (const auto& edge : network.edges()) {
        open += (edge.forward_ms != kClosed ? 1U : 0U) + (edge.backward_ms != kClosed ? 1U : 0U);
    }
    CHECK(seen == open);
    CHECK(graph.arcs().size() == open);
}

TEST_CASE("Network, RefusesAGraphThatDoesNotFitItsRoads")
{
    const std::vector<std::pair<const char*, std::function<void(TravelGraphData&)>>> breaks{
        {"state outside", [](TravelGraphData& g) { g.arcs[3].head = 1'000'000; }},
        {"edge outside", [](TravelGraphData& g) { g.arcs[3].what = 1'000'000; }},
        {"another time", [](TravelGraphData& g) { ++g.arcs[3].ms; }},
        {"another length", [](TravelGraphData& g) { ++g.arcs[3].mm; }},
        {"a turn of some length", [](TravelGraphData& g) { g.arcs[3].what = kTurn; }},
        {"an arc less",
         [](TravelGraphData& g) {
             g.arcs.pop_back();
             --g.first_arc.back();
         }},
        {"an arc twice",
         [](TravelGraphData& g) { g.arcs[g.first_arc[3]] = g.arcs[g.first_arc[3] + 1]; }},
        {"offset outside", [](TravelGraphData& g) { g.first_arc[1] = 0x7fffffff; }},
        {"leaving elsewhere", [](TravelGraphData& g) { g.leaving[2] = 0x7fffffff; }},
        {"arriving nowhere", [](TravelGraphData& g) { g.arriving.pop_back(); }},
    };
    for (const auto& [what, damage] : breaks) {
        CAPTURE(what);
        auto data = sound();
        REQUIRE(RoadNetwork::make(data));
        damage(data.graph);
        CHECK_FALSE(RoadNetwork::make(std::move(data)));
    }
}

TEST_CASE("Network, FindsTheEdgesInABox")
{
    const auto network = *RoadNetwork::make(sound());
    CHECK(network.edges_within(network.box()).size() == network.edge_count());
    const auto at = network.line(5)[0];
    const auto here = network.edges_within({at, at});
    CHECK(std::find(here.begin(), here.end(), 5U) != here.end());
    CHECK(here.size() < network.edge_count());
    CHECK(network.edges_within({{0, 0}, {1, 1}}).empty());
}

TEST_CASE("Network, NamesAreKeptOnce")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 1, 1), raw_node(4, 2, 2)};
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {2, 3}), raw_way(3, {3, 4})};
    raw.ways[0].road.name = raw.ways[1].road.name = "Mill Lane";
    const auto network = built(raw);
    int named = 0;
    for (std::uint32_t e = 0; e < network->edge_count(); ++e) {
        CHECK((network->name(e) == "Mill Lane" || network->name(e).empty()));
        named += network->name(e).empty() ? 0 : 1;
    }
    CHECK(named == 2);
    CHECK(network->data().letters == "Mill Lane");
}
