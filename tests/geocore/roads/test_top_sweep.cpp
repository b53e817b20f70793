// Tables that are swept over the top, against plain search and against the search of single pairs.
#include "geocore/roads/top_sweep.hpp"

#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/contraction_engine.hpp"
#include "geocore/roads/dijkstra_engine.hpp"
#include "geocore/roads/many_to_many.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/made_network.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

Workers as_if(std::size_t count)
{
    Workers workers;
    workers.count = count;
    return workers;  // one after the other, but parted as for so many
}

StopLinks at_state(std::uint32_t state)
{
    StopLinks links;
    links.link[0].state = state;
    links.count = 1;
    return links;
}

}  // namespace

TEST_CASE("TopSweep, TablesOfAnyShapeEqualPlainSearch")
{
    Random random{5};
    for (int round = 0; round < 12; ++round) {
        const auto network = built(random_roads(random, 12));
        auto hierarchy = contract_graph(network->graph());
        REQUIRE(hierarchy);
        const auto prepared = std::make_shared<const RoadNetwork>(
            value_or_throw(network->with_hierarchy(std::move(*hierarchy))));
        const DijkstraEngine plain{network};
        const ContractionEngine engine{prepared};
        std::vector<RoadStop> stops;
        while (stops.size() < 50) {
            stops.push_back(random_stop(random, *network));
        }
        // Below, at and above one and several steps of sixteen.
        for (const std::size_t rows : {15U, 16U, 17U, 33U, 50U}) {
            for (const std::size_t columns : {1U, 20U, 50U}) {
                const auto from = std::span{stops}.first(rows);
                const auto to = std::span{stops}.last(columns);
                CAPTURE(round, rows, columns);
                CHECK(engine.exact_costs(from, to) == plain.exact_costs(from, to));
            }
        }
    }
}

TEST_CASE("TopSweep, ATableIsTheSameForAnyWorkersAndEqualsItsPairs")
{
    const auto network = made_network(70);
    const auto data = contract_graph(network.graph());
    REQUIRE(data);
    REQUIRE(data->core == 0);
    const Hierarchy hierarchy{*data};
    const auto top = top_size(hierarchy);
    // Neither nothing nor everything is swept.
    CHECK(top > 100);
    CHECK(top < hierarchy.state_count() / 2);
    // An arc that does not climb would lead a sweep astray.
    auto damaged = *data;
    damaged.arcs[damaged.first[2 * 100]].head = hierarchy.state_count() - 1;
    CHECK(top_size(damaged) == 0);
    auto with_core = *data;
    with_core.core = 1;
    CHECK(top_size(with_core) == 0);
    Random random{9};
    std::vector<StopLinks> places;
    while (places.size() < 100) {
        places.push_back(
            at_state(static_cast<std::uint32_t>(random.below(hierarchy.state_count()))));
    }
    const ManyToMany many{hierarchy};
    const auto table = many.table(places, places);
    CHECK(many.table(places, places, as_if(2)) == table);
    CHECK(many.table(places, places, as_if(7)) == table);
    HierarchyQuery query{hierarchy};
    std::size_t different = 0;
    for (std::size_t i = 0; i < table.size(); ++i) {
        different += query.cost(places[i / 100], places[i % 100]) != table[i] ? 1 : 0;
    }
    CHECK(different == 0);
}
