#include "geocore/roads/suited_roads.hpp"

#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/dijkstra_engine.hpp"
#include "geocore/roads/osm_tags.hpp"
#include "geocore/roads/snapper.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"
#include "tests/support/road_oracle.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

/// A ring of four ways of 111 s or so each: 1 from west (0) to north (1), 2 to east (2), 3 to south
/// (3), 4 back to west; tails hang on 0 and 2.
RawRoads ring()
{
    RawRoads raw;
    raw.nodes = {raw_node(0, 0, 0),  raw_node(1, 1, 1),  raw_node(2, 2, 0),
                 raw_node(3, 1, -2), raw_node(4, -1, 0), raw_node(5, 3, 0)};
    raw.ways = {raw_way(1, {0, 1}), raw_way(2, {1, 2}), raw_way(3, {2, 3}),
                raw_way(4, {3, 0}), raw_way(5, {4, 0}), raw_way(6, {2, 5})};
    raw.ways_seen = raw.ways.size();
    return raw;
}

std::shared_ptr<const RoadNetwork> suited(const RawRoads& raw, const Drive& drive,
                                          SuitedRoads* told = nullptr)
{
    auto found = value_or_throw(suited_roads(built(raw), drive));
    if (told != nullptr) {
        *told = found;
    }
    return found.network;
}

/// Seconds from the end of the west tail to the end of the east tail, or nothing.
std::optional<std::int64_t> across(const std::shared_ptr<const RoadNetwork>& network,
                                   bool back = false)
{
    const Snapper snapper{network};
    const auto west = value_or_throw(snapper.snap(lon_lat(raw_node(0, -1, 0).at)));
    const auto east = value_or_throw(snapper.snap(lon_lat(raw_node(0, 3, 0).at)));
    const DijkstraEngine engine{network};
    const auto route = back ? engine.route(east, west) : engine.route(west, east);
    return route ? std::optional{route->duration.count()} : std::nullopt;
}

Drive at_hour(int hour)
{
    Drive drive;
    drive.hours = DrivingHours{0, hour * 60, hour * 60};
    return drive;
}

}  // namespace

TEST_CASE("SuitedRoads, WhereNothingChangesTheNetworkIsTheSame")
{
    const auto network = built(ring());
    const auto same = value_or_throw(suited_roads(network, {}));
    CHECK(same.network == network);
    CHECK(same.words().empty());
    Drive high;
    high.truck.height_m = 3.9;
    high.hours = DrivingHours{0, 480, 480};
    CHECK(value_or_throw(suited_roads(network, high)).network == network);
}

TEST_CASE("SuitedRoads, ALowBridgeSendsAHighTruckRound")
{
    auto raw = ring();
    raw.ways[0].road.limits.height_mm = 3500;
    const auto quick = across(suited(raw, {}));
    Drive drive;
    drive.truck.height_m = 3.5;
    CHECK(across(suited(raw, drive)) == quick);
    drive.truck.height_m = 3.51;
    SuitedRoads told;
    const auto slow = across(suited(raw, drive, &told));
    REQUIRE(slow);
    CHECK(*slow > *quick + 50);
    CHECK(told.closed_by_size == 1);
    CHECK(told.words() ==
          std::vector<std::string>{"1 stretch of road closed to a truck of this size"});
    for (auto* limit : {&raw.ways[0].road.limits.weight_kg, &raw.ways[0].road.limits.width_mm,
                        &raw.ways[0].road.limits.axle_kg}) {
        raw.ways[0].road.limits = {};
        *limit = 2400;
        Drive big;
        big.truck = {2.5, 2.5, 2.5, 2.5};
        CHECK(across(suited(raw, big)) == slow);
        Drive small;
        small.truck = {2.4, 2.4, 2.4, 2.4};
        CHECK(across(suited(raw, small)) == quick);
    }
}

TEST_CASE("SuitedRoads, SignsForLorriesBindAboveThreeAndAHalfTonnesByDirection")
{
    auto raw = ring();
    raw.ways[0].road.limits.heavy_forward = kHeavyClosed;
    Drive drive;
    drive.truck.weight_t = 3.5;
    const auto quick = across(suited(raw, drive));
    drive.truck.weight_t = 3.6;
    const auto heavy = suited(raw, drive);
    CHECK(across(heavy) > quick);
    CHECK(across(heavy, true) == quick);
}

TEST_CASE("SuitedRoads, WhatIsCutOffBecomesACutOffLineAndIsCounted")
{
    auto raw = ring();
    raw.ways[5].road.limits.weight_kg = 3000;
    raw.nodes.push_back(raw_node(6, 4, 0));
    raw.ways.push_back(raw_way(7, {5, 6}));
    const auto before = built(raw);
    Drive drive;
    drive.truck.weight_t = 3.4;
    SuitedRoads told;
    const auto network = suited(raw, drive, &told);
    CHECK(told.closed_by_size == 1);
    CHECK(told.cut_off == 1);
    CHECK(network->edge_count() == before->edge_count() - 2);
    CHECK(network->node_count() == before->node_count() - 2);
    CHECK(network->view().first_cut_off.size() == before->view().first_cut_off.size() + 2);
}

TEST_CASE("SuitedRoads, WhenNoRoadIsLeftItSaysSo")
{
    auto raw = ring();
    for (auto& way : raw.ways) {
        way.road.limits.weight_kg = 1000;
    }
    Drive drive;
    drive.truck.weight_t = 3;
    const auto none = suited_roads(built(raw), drive);
    REQUIRE_FALSE(none);
    CHECK(none.error().code == ErrorCode::Infeasible);
}

TEST_CASE("SuitedRoads, ARoadClosedByHourIsClosedThen")
{
    auto raw = ring();
    raw.ways[0].road.condition = "no @ (Mo-Fr 07:00-09:00)";
    const auto quick = across(built(raw));
    CHECK(across(suited(raw, at_hour(10))) == quick);
    SuitedRoads told;
    CHECK(across(suited(raw, at_hour(8), &told)) > quick);
    CHECK(told.closed_by_hour == 1);
    Drive shift;
    shift.hours = DrivingHours{0, 7 * 60, 16 * 60};
    CHECK(across(suited(raw, shift)) > quick);
    raw.ways[0].road.condition = "no @ (PH)";
    CHECK(across(suited(raw, at_hour(8), &told)) == quick);
    CHECK(told.not_understood == 1);
    CHECK(told.example == "no @ (PH)");
    CHECK(told.words().front().find("'no @ (PH)'") != std::string::npos);
}

TEST_CASE("SuitedRoads, ForEndsOnlyByHourIsNoShortCut")
{
    auto raw = ring();
    raw.ways[0].road.condition = "destination @ (07:00-09:00)";
    const auto quick = across(built(raw));
    CHECK(across(suited(raw, at_hour(12))) == quick);
    CHECK(across(suited(raw, at_hour(8))) > quick);
}

TEST_CASE("SuitedRoads, OneWayByHourClosesAndOpens")
{
    auto raw = ring();
    raw.ways[0].road.condition = std::string{kOnewayByHour} + "yes @ (07:00-09:00)";
    const auto both = suited(raw, at_hour(12));
    const auto quick = across(both);
    CHECK(across(both, true) == quick);
    const auto morning = suited(raw, at_hour(8));
    CHECK(across(morning) == quick);
    CHECK(across(morning, true) > quick);

    raw.ways[0].road.backward_open = false;
    raw.ways[0].road.condition = std::string{kOnewayByHour} + "no @ (20:00-06:00)";
    CHECK(across(suited(raw, at_hour(12)), true) > quick);
    SuitedRoads told;
    CHECK(across(suited(raw, at_hour(21), &told), true) == quick);
    CHECK(told.opened_by_hour == 1);
    // For a part of the shift is not enough.
    Drive shift;
    shift.hours = DrivingHours{0, 19 * 60, 22 * 60};
    CHECK(across(suited(raw, shift), true) > quick);
}

TEST_CASE("SuitedRoads, TurnsByHourAndByWeight")
{
    auto raw = ring();
    TurnRestriction turn;
    turn.from_way = 5;
    turn.via_node = 0;
    turn.to_way = 1;
    turn.condition = "no_left_turn @ (Mo-Fr 07:00-09:00)";
    raw.restrictions = {turn};
    auto without = raw;
    without.restrictions.clear();
    const auto quick = across(built(without));
    CHECK(across(built(raw)) > quick);
    CHECK(across(suited(raw, at_hour(8))) > quick);
    SuitedRoads told;
    CHECK(across(suited(raw, at_hour(9), &told)) == quick);
    CHECK(told.turns_spared == 1);
    raw.restrictions[0].condition = "no_left_turn @ (SH)";
    CHECK(across(suited(raw, at_hour(9), &told)) > quick);
    CHECK(told.not_understood == 1);

    raw.restrictions[0].condition.clear();
    raw.restrictions[0].spares = kSparesLight;
    Drive drive;
    CHECK(across(suited(raw, drive)) == quick);
    drive.truck.weight_t = 7.5;
    CHECK(across(suited(raw, drive)) > quick);
}

TEST_CASE("SuitedRoads, WhereTheOnlyTurnAllowedIsClosedNoneIsLeft")
{
    auto raw = ring();
    TurnRestriction turn;
    turn.from_way = 5;
    turn.via_node = 0;
    turn.to_way = 1;
    turn.only = true;
    raw.restrictions = {turn};
    raw.ways[0].road.limits.height_mm = 3000;
    CHECK(across(built(raw)));
    Drive drive;
    drive.truck.height_m = 3.2;
    CHECK_FALSE(across(suited(raw, drive)));
}

TEST_CASE("SuitedRoads, TurnsThatCostAndTrafficSlowAWay")
{
    const auto raw = ring();
    const auto quick = across(built(raw));
    Drive drive;
    drive.turns = {10'000, 20'000, 0};
    // Left onto 1 at the west end, right onto 2 at its top, left onto the tail.
    CHECK(across(suited(raw, drive)) == *quick + 40);
    Drive rush;
    rush.slowed_by.emplace();
    rush.slowed_by->fill(1);
    (*rush.slowed_by)[static_cast<std::size_t>(RoadClass::Unclassified)] = 2;
    CHECK(std::abs(*across(suited(raw, rush)) - 2 * *quick) <= 1);
}

TEST_CASE("SuitedRoads, RandomNetworksEqualTheOracle")
{
    Random random{77};
    std::size_t different = 0;
    std::size_t closed = 0;
    for (int round = 0; round < 25; ++round) {
        auto raw = random_roads(random, 7);
        for (auto& way : raw.ways) {
            way.road.limits.height_mm = random.chance(0.1) ? 3000 : 0;
            way.road.condition = random.chance(0.1) ? "no @ (08:00-10:00)" : "";
        }
        Drive drive = at_hour(9);
        drive.truck.height_m = 3.5;
        drive.turns = {3000, 2000, 15'000};
        SuitedRoads told;
        const auto network = suited(raw, drive, &told);
        closed += told.closed_by_size + told.closed_by_hour;
        std::vector<RoadStop> stops;
        while (stops.size() < 12) {
            stops.push_back(random_stop(random, *network));
        }
        const DijkstraEngine engine{network};
        const auto costs = engine.exact_costs(stops, stops);
        const RoadOracle oracle{*network, stops, drive.turns};
        for (std::size_t i = 0; i < stops.size(); ++i) {
            const auto expected = oracle.from(i);
            for (std::size_t k = 0; k < stops.size(); ++k) {
                const auto told_ms = costs[i * stops.size() + k];
                different +=
                    (told_ms == kNever ? RoadOracle::kNoWay : told_ms.ms) != expected[k] ? 1 : 0;
            }
        }
    }
    CHECK(different == 0);
    CHECK(closed > 100);
}
