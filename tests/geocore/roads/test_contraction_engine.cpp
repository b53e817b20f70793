#include "geocore/roads/contraction_engine.hpp"

#include <thread>

#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/dijkstra_engine.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

std::shared_ptr<const RoadNetwork> prepared(const RoadNetwork& network)
{
    auto hierarchy = contract_graph(network.graph());
    REQUIRE(hierarchy);
    REQUIRE(fault_of(*hierarchy, network.graph()).empty());
    return std::make_shared<const RoadNetwork>(
        value_or_throw(network.with_hierarchy(std::move(*hierarchy))));
}

std::vector<RoadStop> some_stops(Random& random, const RoadNetwork& network, std::size_t count)
{
    std::vector<RoadStop> stops;
    while (stops.size() < count) {
        stops.push_back(random_stop(random, network));
        if (stops.size() % 5 == 0) {
            // a second stop on the same edge
            stops.push_back(stops.back());
            stops.back().along = random.uniform();
        }
    }
    return stops;
}

Workers two_threads()
{
    Workers workers;
    workers.count = 2;
    workers.run = [](std::size_t jobs, const Workers::Job& job) {
        std::vector<std::thread> threads;
        for (std::size_t i = 0; i < jobs; ++i) {
            threads.emplace_back([&job, i] { job(i); });
        }
        for (auto& thread : threads) {
            thread.join();
        }
    };
    return workers;
}

/// Quickest weights from a state by plain rounds of improvement (Bellman and Ford).
std::vector<TravelWeight> improved(TravelGraph graph, std::uint32_t source)
{
    std::vector<TravelWeight> best(graph.state_count(), kNoWeight);
    best[source] = 0;
    for (bool again = true; again;) {
        again = false;
        for (std::uint32_t state = 0; state < graph.state_count(); ++state) {
            for (const auto& arc : graph.arcs(state)) {
                const auto weight = best[state] + pack(arc.ms, arc.mm);
                if (best[state] < kNoWeight && weight < best[arc.head]) {
                    best[arc.head] = weight;
                    again = true;
                }
            }
        }
    }
    return best;
}

TravelGraphData random_graph(Random& random, std::uint32_t states, std::uint32_t degree,
                             std::uint32_t most_ms)
{
    TravelGraphData graph;
    graph.first_arc.push_back(0);
    for (std::uint32_t state = 0; state < states; ++state) {
        for (auto i = random.below(2 * degree + 1); i > 0; --i) {
            TravelArc arc;
            arc.head = static_cast<std::uint32_t>(random.below(states));
            arc.ms = static_cast<std::uint32_t>(random.below(most_ms));
            arc.mm = arc.ms == 0 ? 0 : static_cast<std::uint32_t>(random.below(3));
            graph.arcs.push_back(arc);
        }
        graph.first_arc.push_back(static_cast<std::uint32_t>(graph.arcs.size()));
    }
    return graph;
}

StopLinks at_state(std::uint32_t state)
{
    StopLinks links;
    links.link[0].state = state;
    links.count = 1;
    return links;
}

std::size_t wrong_pairs(TravelGraph graph, const HierarchyData& data, std::uint32_t step)
{
    std::vector<StopLinks> places;
    for (std::uint32_t state = 0; state < graph.state_count(); state += step) {
        places.push_back(at_state(state));
    }
    const ManyToMany many{data};
    const auto table = many.table(places, places);
    HierarchyQuery query{data};
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const auto expected = improved(graph, places[i].link[0].state);
        for (std::size_t k = 0; k < places.size(); ++k) {
            const auto right = expected[places[k].link[0].state];
            wrong += table[i * places.size() + k] != right ? 1 : 0;
            wrong += query.cost(places[i], places[k]) != right ? 1 : 0;
            const auto way = query.way(places[i], places[k]);
            TravelWeight sum = 0;
            auto at = places[i].link[0].state;
            if (way) {
                for (const auto index : way->arcs) {
                    const auto& arc = graph.arcs()[index];
                    wrong += index < graph.first_arc(at) || index >= graph.first_arc(at + 1);
                    sum += pack(arc.ms, arc.mm);
                    at = arc.head;
                }
            }
            wrong += way.has_value() != (right != kNoWeight) ? 1 : 0;
            wrong += way && (sum != right || at != places[k].link[0].state) ? 1 : 0;
        }
    }
    return wrong;
}

}  // namespace

TEST_CASE("ContractionEngine, EqualsPlainSearchToTheMillisecondAndMillimetre")
{
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        CAPTURE(seed);
        Random random{seed};
        const auto network = prepared(*built(random_roads(random, 16)));
        const auto stops = some_stops(random, *network, 60);
        for (const auto side : {StopSide::Either, StopSide::OwnOnly}) {
            const EngineOptions options{side, Traffic::KeepsRight, {}};
            const ContractionEngine quick{network, options};
            const DijkstraEngine plain{network, options};
            CHECK(quick.exact_costs(stops, stops) == plain.exact_costs(stops, stops));
            const auto a = quick.matrix(stops, stops);
            const auto b = plain.matrix(stops, stops);
            CHECK(a.duration_s == b.duration_s);
            CHECK(a.length_m == b.length_m);
        }
    }
}

TEST_CASE("ContractionEngine, RoutesAreThoseOfPlainSearch")
{
    Random random{31};
    const auto network = prepared(*built(random_roads(random, 16)));
    auto stops = some_stops(random, *network, 25);
    for (auto& stop : stops) {
        // At an end of its edge a stop may be left by it or not, for nothing.
        stop.along = random.uniform(0.1, 0.9);
    }
    const ContractionEngine quick{network};
    const DijkstraEngine plain{network};
    for (const auto& from : stops) {
        for (const auto& to : stops) {
            const auto a = quick.route(from, to);
            const auto b = plain.route(from, to);
            REQUIRE(a);
            REQUIRE(b);
            CHECK(a->duration == b->duration);
            CHECK(a->length == b->length);
            // Speeds are random, so that no two ways are equal: the line is the same.
            CHECK(a->line == b->line);
        }
    }
}

TEST_CASE("ContractionEngine, GraphsWithTiesLoopsAndTurnsOfNoTimeAreExact")
{
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        CAPTURE(seed);
        Random random{seed};
        // Times of 0 to 3 ms: nearly every way has a rival that is as quick.
        const auto graph = random_graph(random, 150, 2, 4);
        const auto data = contract_graph(graph);
        REQUIRE(data);
        CHECK(data->core == 0);
        CHECK(fault_of(*data, graph).empty());
        CHECK(wrong_pairs(graph, *data, 3) == 0);
    }
}

TEST_CASE("ContractionEngine, WithoutAHierarchyACoreIsLeftAndTimesAreExactAllTheSame")
{
    Random random{5};
    const auto graph = random_graph(random, 4300, 45, 1000);
    const auto data = contract_graph(graph);
    REQUIRE(data);
    CHECK(data->core > 4000);
    CHECK(fault_of(*data, graph).empty());
    CHECK(wrong_pairs(graph, *data, 1000) == 0);
}

TEST_CASE("ContractionEngine, PreparingGivesTheSameForAnyNumberOfWorkers")
{
    Random random{7};
    const auto network = built(random_roads(random, 80));
    const auto one = contract_graph(network->graph());
    ContractOptions options;
    options.workers = two_threads();
    const auto two = contract_graph(network->graph(), options);
    REQUIRE(one);
    CHECK(one == two);
    const auto stops = some_stops(random, *network, 150);
    const auto made =
        std::make_shared<const RoadNetwork>(*network->with_hierarchy(std::move(*two)));
    const ContractionEngine alone{made};
    const ContractionEngine together{made, {StopSide::Either, Traffic::KeepsRight, two_threads()}};
    CHECK(alone.exact_costs(stops, stops) == together.exact_costs(stops, stops));
    // Bigger than the small ones above.
    CHECK(alone.exact_costs(stops, stops) == DijkstraEngine{network}.exact_costs(stops, stops));
}

TEST_CASE("ContractionEngine, PreparingTellsHowFarItIsAndCanBeEnded")
{
    Random random{7};
    const auto network = built(random_roads(random, 20));
    std::vector<double> shares;
    ContractOptions options;
    options.progress = [&](double share) {
        shares.push_back(share);
        return true;
    };
    CHECK(contract_graph(network->graph(), options));
    REQUIRE(shares.size() > 3);
    CHECK(std::is_sorted(shares.begin(), shares.end()));
    CHECK(shares.back() < 1);
    options.progress = [](double share) { return share < 0.5; };
    CHECK_FALSE(contract_graph(network->graph(), options));
}

TEST_CASE("ContractionEngine, AHierarchyOfOtherSpeedsIsRefused")
{
    Random random{7};
    const auto network = built(random_roads(random, 6));
    auto data = network->data();
    ++data.edges[3].forward_ms;
    data.graph = {};
    const auto slower = RoadNetwork::make(std::move(data));
    REQUIRE(slower);
    const auto refused = slower->with_hierarchy(*contract_graph(network->graph()));
    REQUIRE_FALSE(refused);
    CHECK(refused.error().message.find("other roads or speeds") != std::string::npos);
}

TEST_CASE("ContractionEngine, WaysTooLongForItsWeightsAreLeftToPlainSearch")
{
    TravelGraphData graph;
    for (std::uint32_t state = 0; state < 8; ++state) {
        graph.first_arc.push_back(state);
        graph.arcs.push_back({(state + 1) % 8, kLongestEdge / 4, 1, kTurn - 1});
    }
    graph.first_arc.push_back(8);
    CHECK_FALSE(packing_fits(graph));
    CHECK_FALSE(contract_graph(graph));
    for (auto& arc : graph.arcs) {
        arc.ms = kLongestEdge / 64;
    }
    REQUIRE(contract_graph(graph));
    CHECK(wrong_pairs(graph, *contract_graph(graph), 1) == 0);
}

TEST_CASE("ContractionEngine, ManyYardsBesideEachOtherMakeNoLongWay")
{
    // A ring of two states, and 3,000 yards of five minutes that lead onto it: as one chain they
    // would take ten days, but each is a part of its own, and no way drives two of them.
    const auto yards = [](bool in_a_row) {
        constexpr std::uint32_t kYards = 3000;
        TravelGraphData graph;
        std::uint32_t edge = 0;
        const auto add = [&](std::uint32_t head, std::uint32_t ms) {
            graph.first_arc.push_back(static_cast<std::uint32_t>(graph.arcs.size()));
            graph.arcs.push_back({head, ms, 1000, 2 * edge++});
        };
        add(1, 1000);
        add(0, 1000);
        for (std::uint32_t y = 0; y < kYards; ++y) {
            add(in_a_row && y > 0 ? y + 1 : 0, 300'000);
        }
        graph.first_arc.push_back(static_cast<std::uint32_t>(graph.arcs.size()));
        return graph;
    };
    CHECK(packing_fits(yards(false)));
    CHECK_FALSE(packing_fits(yards(true)));
}

TEST_CASE("MakeEngine, AnswersAreTheSameWhicheverEngineGivesThem")
{
    Random random{11};
    const auto network = built(random_roads(random, 12));
    const auto stops = some_stops(random, *network, 400);
    const auto few = std::span{stops}.first(10);
    const auto patient = make_engine(network);
    const auto quick = make_engine(prepared(*network));
    const DijkstraEngine plain{network};
    CHECK(patient->matrix(few, few).length_m == plain.matrix(few, few).length_m);
    // So many rows that the patient one prepares a hierarchy on the way.
    const auto expected = plain.matrix(stops, stops);
    for (const auto* engine : {patient.get(), quick.get()}) {
        const auto matrix = engine->matrix(stops, stops);
        CHECK(matrix.duration_s == expected.duration_s);
        CHECK(matrix.length_m == expected.length_m);
        CHECK(engine->route(stops[0], stops[9])->length == plain.route(stops[0], stops[9])->length);
    }
    CHECK(patient->matrix({}, stops).rows == 0);
    CHECK(quick->matrix(stops, {}).columns == 0);
}
