// The engine on real roads, against three things that are not ours: Boost.Graph's own search on an
// adjacency list, GeographicLib's geodesic, and counts known of the extracts.
//
// Sources: OpenStreetMap extracts (ODbL 1.0, (c) OpenStreetMap contributors): Liechtenstein 2013
// from Debian's osm2pgsql 1.8.0 (tests/data), Neubrandenburg from Debian's josm (not in the
// repository; looked for in ../shared/data/roads). Geodesics: C. F. F. Karney, J. Geodesy 87
// (2013).
#include <GeographicLib/Geodesic.hpp>
#include <filesystem>
#include <iostream>

#include "geocore/intake/roads_osm.hpp"
#include "geocore/roads/build_network.hpp"
#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/contraction_engine.hpp"
#include "geocore/roads/dijkstra_engine.hpp"
#include "geocore/roads/snapper.hpp"
#include "geocore/roads/turn_graph.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"
#include "tests/support/road_oracle.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

constexpr const char* kLiechtenstein =
    NESTROUND_SOURCE_DIR "/tests/data/liechtenstein-2013-08-03.osm.pbf";
constexpr const char* kNeubrandenburg =
    NESTROUND_SOURCE_DIR "/../shared/data/roads/neubrandenburg.osm.bz2";

struct Extract {
    RawRoads raw;
    BuildReport report;
    std::shared_ptr<const RoadNetwork> network;
};

/// Nothing when the file is not there, and says so.
std::optional<Extract> extract(const char* path)
{
    if (!std::filesystem::exists(path)) {
        std::cerr << "SKIPPED: " << path << " is not there; this check did not run\n";
        return std::nullopt;
    }
    Extract found;
    found.raw = intake::read_osm_roads(path);
    auto built = value_or_throw(build_network(found.raw));
    found.report = built.report;
    found.network = std::make_shared<const RoadNetwork>(std::move(built.network));
    return found;
}

std::vector<RoadStop> stops_near_roads(const RoadNetwork& network,
                                       std::shared_ptr<const RoadNetwork> shared, std::size_t count,
                                       std::uint64_t seed)
{
    Random random{seed};
    const Snapper snapper{std::move(shared)};
    const auto low = lon_lat(network.box().low);
    const auto high = lon_lat(network.box().high);
    std::vector<RoadStop> stops;
    while (stops.size() < count) {
        const LonLat place{Longitude{random.uniform(low.lon.value(), high.lon.value())},
                           Latitude{random.uniform(low.lat.value(), high.lat.value())}};
        if (const auto stop = snapper.snap(place, "place", Metres{500})) {
            stops.push_back(*stop);
        }
    }
    return stops;
}

double geodesic(LonLat a, LonLat b)
{
    double metres = 0;
    GeographicLib::Geodesic::WGS84().Inverse(a.lat.value(), a.lon.value(), b.lat.value(),
                                             b.lon.value(), metres);
    return metres;
}

/// The same roads with their hierarchy.
std::shared_ptr<const RoadNetwork> prepared(const RoadNetwork& network)
{
    auto hierarchy = contract_graph(network.graph());
    REQUIRE(hierarchy);
    return std::make_shared<const RoadNetwork>(
        value_or_throw(network.with_hierarchy(std::move(*hierarchy))));
}

/// Plain search and the hierarchy against the oracle, and against each other to the millimetre.
void engine_equals_boost(const Extract& e, std::size_t count)
{
    const auto stops = stops_near_roads(*e.network, e.network, count, 2026);
    const DijkstraEngine plain{e.network};
    const ContractionEngine engine{prepared(*e.network)};
    const auto costs = engine.exact_costs(stops, stops);
    CHECK(costs == plain.exact_costs(stops, stops));
    const auto matrix = engine.matrix(stops, stops);
    const RoadOracle oracle{*e.network, stops};
    std::size_t different = 0;
    std::size_t different_seconds = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const auto expected = oracle.from(i);
        for (std::size_t k = 0; k < count; ++k) {
            different += costs[i * count + k].ms != expected[k] ? 1 : 0;
            different_seconds += matrix.seconds_between(i, k) != (expected[k] + 500) / 1000 ? 1 : 0;
        }
    }
    CHECK(different == 0);
    CHECK(different_seconds == 0);
}

void lengths_are_geodesic(const Extract& e)
{
    double sum = 0;
    double told = 0;
    for (std::uint32_t edge = 0; edge < e.network->edge_count(); ++edge) {
        const auto line = e.network->line(edge);
        double length = 0;
        for (std::size_t i = 1; i < line.size(); ++i) {
            length += geodesic(lon_lat(line[i - 1]), lon_lat(line[i]));
        }
        CHECK(std::abs(length * 1000 - e.network->edge(edge).length_mm) <= 0.5001);
        sum += length;
        told += e.network->edge(edge).length_mm / 1000.0;
    }
    CHECK(told == Approx(sum).margin(0.0005 * e.network->edge_count()));
    CHECK(e.report.length.value() == Approx(sum).margin(0.0005 * e.network->edge_count()));
}

void routes_are_no_shorter_than_the_geodesic(const Extract& e)
{
    const auto stops = stops_near_roads(*e.network, e.network, 20, 7);
    const DijkstraEngine engine{e.network};
    for (const auto& from : stops) {
        for (const auto& to : stops) {
            const auto route = engine.route(from, to);
            REQUIRE(route);
            // Half a metre of rounding, and stops within a millimetre of their share.
            CHECK(route->length.value() + 0.6 >= geodesic(from.on_road, to.on_road));
            double drawn = 0;
            for (std::size_t i = 1; i < route->line.size(); ++i) {
                drawn += geodesic(route->line[i - 1], route->line[i]);
            }
            CHECK(drawn == Approx(route->length.value()).margin(0.8));
        }
    }
}

}  // namespace

TEST_CASE("RealExtracts, LiechtensteinsTimesEqualBoostsOwnSearchForEveryPair")
{
    const auto e = extract(kLiechtenstein);
    REQUIRE(e);
    engine_equals_boost(*e, 60);  // 3,600 pairs
}

TEST_CASE("RealExtracts, LiechtensteinsLengthsAreGeodesic")
{
    const auto e = extract(kLiechtenstein);
    REQUIRE(e);
    lengths_are_geodesic(*e);
    routes_are_no_shorter_than_the_geodesic(*e);
}

TEST_CASE("RealExtracts, LiechtensteinHoldsWhatItIsKnownToHold")
{
    const auto e = extract(kLiechtenstein);
    REQUIRE(e);
    // Counted in the file with another program: 2,753 highways, 2 turn restrictions.
    CHECK(e->raw.ways_seen == 2753);
    CHECK(e->raw.restrictions.size() == 2);
    // The country is 25 km long; another reading of the same file found 3,237 junctions in the
    // largest part with other rules of access.
    CHECK(e->report.nodes == Approx(3237).epsilon(0.05));
    CHECK(e->report.edges_dropped > 0);
    CHECK(e->report.barriers > 0);
}

TEST_CASE("RealExtracts, NeubrandenburgsTimesEqualBoostsOwnSearchForEveryPair")
{
    if (const auto e = extract(kNeubrandenburg)) {
        engine_equals_boost(*e, 60);
    }
}

TEST_CASE("RealExtracts, NeubrandenburgHoldsWhatItIsKnownToHold")
{
    if (const auto e = extract(kNeubrandenburg)) {
        CHECK(e->raw.restrictions.size() == 19);
        CHECK(e->report.nodes == Approx(6752).epsilon(0.05));
        std::size_t ferries = 0;
        for (const auto& entry : e->report.left_out) {
            ferries += entry.reason.find("ferry") != std::string::npos ? entry.count : 0;
        }
        // Three lines of passenger boats on a lake, none with a duration.
        CHECK(ferries == 3);
        lengths_are_geodesic(*e);
        routes_are_no_shorter_than_the_geodesic(*e);
    }
}

namespace {

/// The oracle keeps whole driven histories; see road_oracle.hpp. Plain search and the hierarchy,
/// with priced turns, with the restrictions of the extract or without any.
void turns_that_cost_equal_boost(const Extract& e, std::size_t count, bool with_rules)
{
    constexpr TurnCosts kCosts{7000, 3000, 20'000};
    auto data = e.network->data();
    if (!with_rules) {
        data.turn_rules.clear();
        data.turn_steps.clear();
    }
    data.graph = turn_graph(data, kCosts);
    const auto priced =
        std::make_shared<const RoadNetwork>(value_or_throw(RoadNetwork::make(std::move(data))));
    const auto stops = stops_near_roads(*priced, priced, count, 99);
    const DijkstraEngine engine{priced};
    const auto costs = engine.exact_costs(stops, stops);
    const ContractionEngine quick{prepared(*priced)};
    CHECK(quick.exact_costs(stops, stops) == costs);
    const DijkstraEngine free{e.network};
    const auto without = free.exact_costs(stops, stops);
    const RoadOracle oracle{*priced, stops, kCosts};
    std::size_t different = 0;
    std::size_t dearer = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const auto expected = oracle.from(i);
        for (std::size_t k = 0; k < count; ++k) {
            different += costs[i * count + k].ms != expected[k] ? 1 : 0;
            dearer += costs[i * count + k].ms > without[i * count + k].ms ? 1 : 0;
        }
    }
    CHECK(different == 0);
    CHECK(dearer > 0);
}

}  // namespace

TEST_CASE("RealExtracts, TimesWithPricedTurnsEqualBoostsOnWholeHistories")
{
    const auto small = extract(kLiechtenstein);
    REQUIRE(small);
    CHECK(small->report.restrictions_applied == 1);
    turns_that_cost_equal_boost(*small, 33, true);  // 1,089 pairs each
    turns_that_cost_equal_boost(*small, 33, false);
    if (const auto big = extract(kNeubrandenburg)) {
        CHECK(big->report.restrictions_applied == 15);
        turns_that_cost_equal_boost(*big, 33, true);
        turns_that_cost_equal_boost(*big, 33, false);
    }
}
