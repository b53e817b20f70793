// A published small network with turn restrictions, and the ways its manual prints.
//
// Source: pgRouting's manual, chapters 'Sample Data' and 'pgr_trsp - Proposed' (3.4): eighteen
// roads of length 1, some one-way, and five sequences of roads that must not be driven. The roads
// and the results are facts, written down here in our own form. The manual's program never turns
// round at a junction, and prices a forbidden sequence at 100 where there is no other way; here
// turning round is made dear instead, and a forbidden sequence is forbidden.
#include <array>

#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/contraction_engine.hpp"
#include "geocore/roads/dijkstra_engine.hpp"
#include "geocore/roads/turn_graph.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

constexpr std::uint64_t kRoad = 60'000;  // each road takes a minute
constexpr std::uint32_t kTurnRound = 3'600'000;
constexpr std::int64_t kSpur = 100;  // a spur at a junction, to stand on: way and node 100 + number

struct Road {
    std::int64_t id, from, to;
    int ways;  // 2 both, 1 forward, -1 backward
};
constexpr std::array<Road, 18> kRoads{{{1, 5, 6, 2},
                                       {2, 6, 10, -1},
                                       {3, 10, 15, -1},
                                       {4, 6, 7, 2},
                                       {5, 10, 11, 1},
                                       {6, 1, 3, 2},
                                       {7, 3, 7, 2},
                                       {8, 7, 11, 2},
                                       {9, 11, 16, 2},
                                       {10, 7, 8, 2},
                                       {11, 11, 12, 1},
                                       {12, 8, 12, 1},
                                       {13, 12, 17, 1},
                                       {14, 8, 9, 2},
                                       {15, 16, 17, 2},
                                       {16, 15, 16, 2},
                                       {17, 2, 4, 2},
                                       {18, 13, 14, 2}}};

enum class Lanes { AsSigned, AllBothWays, SignedForwardBothWays };

RawRoads sample(Lanes lanes, bool with_rules)
{
    RawRoads raw;
    for (int i = 1; i <= 17; ++i) {
        raw.nodes.push_back(raw_node(i, i % 5, i / 5));
    }
    const auto add = [&](RawWay way) {
        way.road.duration = seconds{60};
        raw.ways.push_back(std::move(way));
    };
    for (const auto& road : kRoads) {
        if (lanes == Lanes::SignedForwardBothWays && road.ways < 0) {
            continue;
        }
        auto way = raw_way(road.id, road.ways < 0 ? std::vector{road.to, road.from}
                                                  : std::vector{road.from, road.to});
        add(lanes == Lanes::AsSigned && road.ways != 2 ? one_way(std::move(way)) : std::move(way));
    }
    for (const std::int64_t junction : {1, 6, 8, 10}) {
        raw.nodes.push_back(raw_node(kSpur + junction, static_cast<int>(junction), 9));
        add(raw_way(kSpur + junction, {kSpur + junction, junction}));
    }
    const auto forbid = [&](std::int64_t from, std::int64_t node, std::int64_t to) {
        TurnRestriction turn;
        turn.from_way = from;
        turn.via_node = node;
        turn.to_way = to;
        turn.id = 10 * from + to;
        raw.restrictions.push_back(turn);
    };
    if (with_rules) {
        forbid(4, 7, 7);
        if (lanes != Lanes::SignedForwardBothWays) {
            forbid(3, 0, 9);
            raw.restrictions.back().via_ways = {5};
        }
        forbid(8, 11, 11);
        forbid(7, 7, 10);
        forbid(9, 16, 16);
    }
    raw.ways_seen = raw.ways.size();
    return raw;
}

class Sample {
public:
    explicit Sample(Lanes lanes, bool with_rules = true)
    {
        auto found = value_or_throw(build_network(sample(lanes, with_rules)));
        applied = found.report.restrictions_applied;
        auto data = found.network.data();
        data.graph = turn_graph(data, {0, 0, kTurnRound});
        network_ =
            std::make_shared<const RoadNetwork>(value_or_throw(RoadNetwork::make(std::move(data))));
        auto hierarchy = contract_graph(network_->graph());
        REQUIRE(hierarchy);
        prepared_ = std::make_shared<const RoadNetwork>(
            value_or_throw(network_->with_hierarchy(std::move(*hierarchy))));
    }

    /// Milliseconds from one junction to another, spurs taken off.
    [[nodiscard]] std::uint64_t from(std::int64_t a, std::int64_t b) const
    {
        const std::array stops{stop(a), stop(b)};
        const DijkstraEngine plain{network_};
        const auto cost = plain.exact_costs(std::span{stops}.first(1), std::span{stops}.last(1));
        const ContractionEngine engine{prepared_};
        CHECK(engine.exact_costs(std::span{stops}.first(1), std::span{stops}.last(1)) == cost);
        REQUIRE(cost.front() < kNever);
        return cost.front().ms - kRoad;  // half a spur at each end
    }

    std::size_t applied = 0;

private:
    [[nodiscard]] RoadStop stop(std::int64_t junction) const
    {
        const auto end = raw_node(0, static_cast<int>(junction), 9).at;
        for (std::uint32_t i = 0; i < network_->edge_count(); ++i) {
            if (network_->line(i).front() == end) {
                return {i, 0.5, {}, {}, true};
            }
        }
        FAIL("no spur");
        return {};
    }

    std::shared_ptr<const RoadNetwork> network_;
    std::shared_ptr<const RoadNetwork> prepared_;
};

}  // namespace

TEST_CASE("TurnExample, AsSignedTheManualsWaysAndNoShorterOnes")
{
    const Sample signs{Lanes::AsSigned};
    CHECK(signs.applied == 5);
    CHECK(signs.from(6, 10) == 7 * kRoad);  // 4 10 12 13 15 16 3
    CHECK(signs.from(6, 1) == 9 * kRoad);   // 4 10 12 13 15 9 8 7 6
    CHECK(signs.from(6, 8) == 2 * kRoad);   // 4 10
    // The manual pays a forbidden sequence here: without one, a truck must turn round.
    CHECK(signs.from(1, 8) == 5 * kRoad + kTurnRound);
    const Sample free{Lanes::AsSigned, false};
    CHECK(free.applied == 0);
    CHECK(free.from(6, 10) == 5 * kRoad);
    CHECK(free.from(6, 1) == 3 * kRoad);
    CHECK(free.from(1, 8) == 3 * kRoad);
}

TEST_CASE("TurnExample, WithEveryRoadBothWays")
{
    const Sample both{Lanes::AllBothWays};
    CHECK(both.applied == 5);
    CHECK(both.from(6, 10) == kRoad);
    CHECK(both.from(1, 8) == 7 * kRoad);  // 6 7 4 2 5 11 12
    CHECK(both.from(1, 10) == 4 * kRoad);
    CHECK(both.from(6, 8) == 2 * kRoad);
    const Sample fewer{Lanes::SignedForwardBothWays};
    CHECK(fewer.applied == 4);
    CHECK(fewer.from(6, 1) == 7 * kRoad);   // 4 10 12 11 8 7 6
    CHECK(fewer.from(6, 10) == 3 * kRoad);  // 4 8 5
}
