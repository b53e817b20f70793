// merge_roads: several extracts and layers become one network without a road twice.
#include "geocore/roads/merge_roads.hpp"

#include <algorithm>

#include "geocore/roads/build_network.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

RawRoads part(std::string name, std::vector<RawNode> nodes, std::vector<RawWay> ways)
{
    RawRoads raw;
    raw.source = std::move(name);
    raw.ways_seen = ways.size();
    raw.nodes = std::move(nodes);
    raw.ways = std::move(ways);
    return raw;
}

std::vector<RawRoads> list(RawRoads a, RawRoads b)
{
    std::vector<RawRoads> out;
    out.push_back(std::move(a));
    out.push_back(std::move(b));
    return out;
}

std::size_t told(const std::vector<LeftOut>& entries, std::string_view words)
{
    std::size_t sum = 0;
    for (const auto& entry : entries) {
        sum += entry.reason.find(words) != std::string::npos ? entry.count : 0;
    }
    return sum;
}

const RawWay& only_way(const RawRoads& raw)
{
    REQUIRE(raw.ways.size() == 1);
    return raw.ways.front();
}

TurnRestriction turn(std::int64_t id, std::int64_t from, std::int64_t via, std::int64_t to)
{
    TurnRestriction out;
    out.id = id;
    out.from_way = from;
    out.via_node = via;
    out.to_way = to;
    return out;
}

}  // namespace

TEST_CASE("MergeRoads, WhatBothHaveIsThereOnce")
{
    auto a = part("a.osm", {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 2, 0)},
                  {raw_way(7, {1, 2}), raw_way(8, {2, 3})});
    auto b = part("b.osm", {raw_node(2, 1, 0), raw_node(3, 2, 0), raw_node(4, 3, 0)},
                  {raw_way(8, {2, 3}), raw_way(9, {3, 4})});
    a.restrictions = {turn(5, 7, 2, 8)};
    b.restrictions = {turn(5, 7, 2, 8)};
    a.attribution = b.attribution = "Somebody";
    const auto raw = merge_roads(list(a, b));
    CHECK(raw.ways.size() == 3);
    CHECK(raw.nodes.size() == 4);
    CHECK(raw.restrictions.size() == 1);
    CHECK(raw.attribution == "Somebody");
    CHECK(raw.source == "a.osm; b.osm");
    REQUIRE(raw.sources.size() == 2);
    CHECK(raw.sources[1].ways_seen == 2);
    CHECK(raw.sources[1].ways_taken == 1);
    CHECK(raw.sources[1].ways_known == 1);
    CHECK(raw.sources[1].ways_joined == 0);
    const auto built = build_network(raw);
    REQUIRE(built);
    CHECK(built->report.length.value() == Approx(3 * 758.9).epsilon(0.01));
    CHECK(built->report.sources.size() == 2);
}

TEST_CASE("MergeRoads, AWayIsPutTogetherWhereItWasCut")
{
    const std::vector<RawNode> west{raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 2, 0)};
    const std::vector<RawNode> east{raw_node(3, 2, 0), raw_node(4, 3, 0), raw_node(5, 4, 0)};
    const std::vector<std::int64_t> whole{1, 2, 3, 4, 5};
    SECTION("both name all vertices and each lacks some")
    {
        const auto raw = merge_roads(
            list(part("w", west, {raw_way(7, whole)}), part("e", east, {raw_way(7, whole)})));
        CHECK(only_way(raw).nodes == whole);
        const auto built = build_network(raw);
        REQUIRE(built);
        CHECK(told(built->report.left_out, "cut where the extract ends") == 0);
        CHECK(built->report.length.value() == Approx(4 * 758.9).epsilon(0.01));
    }
    SECTION("each names its own, with one in common, in either order")
    {
        const auto w = part("w", west, {raw_way(7, {1, 2, 3})});
        const auto e = part("e", east, {raw_way(7, {3, 4, 5})});
        for (const auto& raw : {merge_roads(list(w, e)), merge_roads(list(e, w))}) {
            CHECK(only_way(raw).nodes == whole);
            CHECK(raw.sources[1].ways_joined == 1);
        }
    }
    SECTION("two parts that a third brings together")
    {
        auto parts =
            list(part("w", west, {raw_way(7, {1, 2})}), part("e", east, {raw_way(7, {4, 5})}));
        CHECK(merge_roads(parts).ways.size() == 2);
        parts.push_back(part("m", {raw_node(2, 1, 0), raw_node(3, 2, 0), raw_node(4, 3, 0)},
                             {raw_way(7, {2, 3, 4})}));
        CHECK(only_way(merge_roads(parts)).nodes == whole);
    }
    SECTION("one file lacks the rest: it is told")
    {
        const auto built = build_network(part("w", west, {raw_way(7, whole)}));
        REQUIRE(built);
        CHECK(told(built->report.left_out, "cut where the extract ends") == 1);
    }
}

TEST_CASE("MergeRoads, ContradictionsAreTold")
{
    auto moved = raw_node(2, 1, 0);
    moved.at.lat_e7 += 5;
    const auto raw =
        merge_roads(list(part("a", {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 2, 0)},
                              {raw_way(7, {1, 2, 3})}),
                         part("b", {raw_node(1, 0, 0), moved, raw_node(3, 2, 0), raw_node(4, 1, 1)},
                              {raw_way(7, {1, 4, 2, 3})})));
    CHECK(only_way(raw).nodes == std::vector<std::int64_t>{1, 4, 2, 3});
    CHECK(told(raw.left_out, "drawn differently") == 1);
    CHECK(told(raw.left_out, "lies elsewhere") == 1);
    CHECK(raw.nodes[1].at == raw_node(2, 1, 0).at);
}

TEST_CASE("MergeRoads, ABarrierInAnyFileIsABarrier")
{
    const auto raw =
        merge_roads(list(part("a", {raw_node(1, 0, 0), raw_node(2, 1, 0)}, {raw_way(7, {1, 2})}),
                         part("b", {raw_node(2, 1, 0, true)}, {})));
    REQUIRE(raw.nodes.size() == 2);
    CHECK(raw.nodes[1].closed);
}

TEST_CASE("MergeRoads, AMemberThatOneFileLacksComesFromAnother")
{
    auto a = part("a", {raw_node(1, 0, 0), raw_node(2, 1, 0)}, {raw_way(7, {1, 2})});
    auto b = part("b", {raw_node(2, 1, 0), raw_node(3, 2, 0)}, {raw_way(8, {2, 3})});
    TurnMembers from;
    from.turn.id = 5;
    from.turn.via_node = 2;
    from.from = {7};
    TurnMembers to = from;
    to.from.clear();
    to.to = {8};
    for (auto* raw : {&a, &b}) {
        raw->in_part = {raw == &a ? from : to};
        count_left_out(raw->left_out, kLacksMember, "relation 5");
    }
    const auto raw = merge_roads(list(a, b));
    REQUIRE(raw.restrictions.size() == 1);
    CHECK(raw.restrictions[0].from_way == 7);
    CHECK(raw.restrictions[0].to_way == 8);
    CHECK(told(raw.left_out, "lacks a member") == 0);

    // Whole in the other file: it counts once, and is not told as lacking.
    auto c = b;
    c.in_part.clear();
    c.left_out.clear();
    c.restrictions = {turn(5, 7, 2, 8)};
    const auto with_whole = merge_roads(list(a, c));
    CHECK(with_whole.restrictions.size() == 1);
    CHECK(told(with_whole.left_out, "lacks a member") == 0);
    // Nobody has it: told once.
    const auto still = merge_roads(list(a, a));
    CHECK(still.restrictions.empty());
    CHECK(told(still.left_out, "lacks a member") == 1);
}

TEST_CASE("MergeRoads, LinesOfALayerMeetAnExtractAtTheSamePlaceOnly")
{
    auto layer = part("layer", {raw_node(0, 1, 0), raw_node(1, 1, 1), raw_node(2, 5, 5)},
                      {raw_way(7, {0, 1}), raw_way(8, {1, 2})});
    for (auto& way : layer.ways) {
        way.drawn = true;
    }
    const auto extract =
        part("extract", {raw_node(1, 0, 0), raw_node(2, 1, 0)}, {raw_way(7, {1, 2})});
    for (const auto& raw : {merge_roads(list(extract, layer)), merge_roads(list(layer, extract))}) {
        CHECK(raw.ways.size() == 3);
        CHECK(raw.nodes.size() == 4);
        const auto built = build_network(raw);
        REQUIRE(built);
        CHECK(built->report.parts_dropped == 0);
        // The extract's numbers stay, the layer's are new.
        CHECK(std::count_if(raw.ways.begin(), raw.ways.end(),
                            [](const auto& way) { return way.id == 7; }) == 1);
    }
}
