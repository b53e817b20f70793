// CutOffRoads: the far bank of a river without a bridge, and other islands.
#include "geocore/roads/cut_off_roads.hpp"

#include "geocore/roads/snapper.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

LonLat at(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }

/// A long road along 47.100 N, and one of two stretches along 47.103 N that nothing joins to it.
std::shared_ptr<const RoadNetwork> two_banks()
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 5, 0), raw_node(3, 9, 0)};
    for (std::int64_t id = 4; id <= 6; ++id) {
        auto node = raw_node(id, static_cast<int>(id) - 4, 0);
        node.at.lat_e7 += 30'000;
        raw.nodes.push_back(node);
    }
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {2, 3}), raw_way(3, {4, 5}), raw_way(4, {5, 6})};
    raw.ways[0].road.name = "South Bank";
    return built(raw);
}

}  // namespace

TEST_CASE("CutOffRoads, TheFarBankIsToldWithItsDistanceAndTheNextBest")
{
    const auto network = two_banks();
    REQUIRE(network->cut_off_count() == 2);
    const CutOffRoads cut_off{network};
    const auto place = at(9.505, 47.1029);
    const auto stop = Snapper{network}.snap(place);
    REQUIRE(stop);
    CHECK(stop->off_road.value() == Approx(322).margin(2));
    const auto words = cut_off.warning(place, *stop, "call 'mill'");
    REQUIRE(words);
    CHECK(words->find("call 'mill': the nearest road, 11 m away at 9.50500,47.10300") == 0);
    CHECK(words->find("(1.5 km of road)") != std::string::npos);
    CHECK(words->find("322 m away on South Bank") != std::string::npos);
    const auto near = cut_off.nearest(place, Metres{50});
    REQUIRE(near);
    CHECK(near->part_lines == 2);
    CHECK(near->part_length.value() == Approx(2 * 758.9).epsilon(0.01));
}

TEST_CASE("CutOffRoads, TheNearBankIsNot")
{
    const auto network = two_banks();
    const CutOffRoads cut_off{network};
    // 120 m from the one that is kept, 213 m from the other.
    const auto near = at(9.505, 47.10108);
    CHECK_FALSE(cut_off.warning(near, *Snapper{network}.snap(near), "call"));
    // Nearer to the other, but by less than what is told.
    const auto between = at(9.505, 47.1016);
    CHECK_FALSE(cut_off.warning(between, *Snapper{network}.snap(between), "call"));
    CHECK_FALSE(cut_off.nearest(at(9.6, 47.2), Metres{100}));
}

TEST_CASE("CutOffRoads, ANetworkInOnePieceHasNone")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0)};
    raw.ways = {raw_way(1, {1, 2})};
    const auto network = built(raw);
    CHECK(network->cut_off_count() == 0);
    CHECK_FALSE(CutOffRoads{network}.nearest(at(9.5, 47.1), Metres{10'000}));
}

TEST_CASE("CutOffRoads, AStopTooFarFromAllKeptRoadsHearsOfTheIsland")
{
    const auto network = two_banks();
    const auto stop = Snapper{network}.snap(at(9.505, 47.1029), "mill", Metres{100});
    REQUIRE_FALSE(stop);
    CHECK(stop.error().text().find("a road 11 m away is cut off from all others") !=
          std::string::npos);
}
