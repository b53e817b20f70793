// join_lines: ends of drawn lines that nearly meet, touch, or cross at another level.
#include "geocore/roads/join_lines.hpp"

#include <algorithm>
#include <cmath>

#include "geocore/roads/build_network.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

/// Metres east and north of 9.5 E, 47.1 N, good to a hundredth.
RawNode at(std::int64_t id, double x, double y)
{
    auto node = raw_node(id, 0, 0);
    node.at.lon_e7 += static_cast<std::int32_t>(std::llround(x / 0.0075693));
    node.at.lat_e7 += static_cast<std::int32_t>(std::llround(y / 0.0111195));
    return node;
}

RawWay drawn(std::int64_t id, std::vector<std::int64_t> nodes, int level = 0)
{
    auto way = raw_way(id, std::move(nodes));
    way.drawn = true;
    way.level = level;
    return way;
}

std::size_t told(const RawRoads& raw, std::string_view words)
{
    std::size_t sum = 0;
    for (const auto& entry : raw.left_out) {
        sum += entry.reason.find(words) != std::string::npos ? entry.count : 0;
    }
    return sum;
}

/// Parts of the network that are cut off from the largest.
std::size_t cut_off(const RawRoads& raw)
{
    const auto built = build_network(raw);
    REQUIRE(built);
    return built->report.parts_dropped;
}

/// Two lines in a row with a gap of two metres.
RawRoads gap()
{
    RawRoads raw;
    raw.nodes = {at(1, 0, 0), at(2, 100, 0), at(3, 102, 0), at(4, 200, 0)};
    raw.ways = {drawn(1, {1, 2}), drawn(2, {3, 4})};
    return raw;
}

/// A line along x, and one from the north that stops a metre and a half short of it.
RawRoads tee()
{
    RawRoads raw;
    raw.nodes = {at(1, 0, 0), at(2, 40, 0), at(3, 300, 0), at(4, 150, 1.5), at(5, 150, 90)};
    raw.ways = {drawn(1, {1, 2, 3}), drawn(2, {5, 4})};
    return raw;
}

}  // namespace

TEST_CASE("JoinLines, EndsWithinTheToleranceMeetAndOthersDoNot")
{
    for (const double within : {0.0, 1.9, 2.1, 50.0}) {
        CAPTURE(within);
        auto raw = gap();
        join_lines(raw, {Metres{within}, false});
        CHECK(cut_off(raw) == (within > 2 ? 0 : 1));
        CHECK(told(raw, "joined to the end") == (within > 2 ? 1 : 0));
        // Outer ends stay loose, and inner ones if they were not joined.
        CHECK(told(raw, "meets no other") == (within == 0 ? 0 : within > 2 ? 2 : 4));
    }
}

TEST_CASE("JoinLines, AnEndGoesToTheNearestAndNotToItsOwnLine")
{
    RawRoads raw;
    // A hook whose ends are 3 m apart, and two lines 1 m and 2 m from its first end.
    raw.nodes = {at(1, 0, 0),   at(2, 50, 50), at(3, 3, 0),  at(4, -1, 0),
                 at(5, -90, 0), at(6, 0, -2),  at(7, 0, -90)};
    raw.ways = {drawn(1, {1, 2, 3}), drawn(2, {4, 5}), drawn(3, {6, 7})};
    join_lines(raw, {Metres{1.5}, false});
    CHECK(raw.ways[0].nodes.front() == raw.ways[1].nodes.front());
    CHECK(raw.ways[0].nodes.back() == 3);
    CHECK(raw.ways[2].nodes.front() == 6);
}

TEST_CASE("JoinLines, LinesOfAnExtractAreLeftAlone")
{
    auto raw = gap();
    for (auto& way : raw.ways) {
        way.drawn = false;
    }
    join_lines(raw, {Metres{50}, true});
    CHECK(cut_off(raw) == 1);
    CHECK(raw.left_out.empty());
}

TEST_CASE("JoinLines, ATouchedLineIsCutOnRequestOnly")
{
    auto without = tee();
    join_lines(without, {Metres{2}, false});
    CHECK(cut_off(without) == 1);
    auto near = tee();
    join_lines(near, {Metres{1.4}, true});
    CHECK(cut_off(near) == 1);
    auto raw = tee();
    join_lines(raw, {Metres{2}, true});
    CHECK(cut_off(raw) == 0);
    CHECK(told(raw, "cut there") == 1);
    CHECK(raw.ways[0].nodes == std::vector<std::int64_t>{1, 2, 4, 3});
    // The end has gone onto the line.
    CHECK(raw.nodes[3].at.lat_e7 == raw.nodes[0].at.lat_e7);
    const auto built = build_network(raw);
    CHECK(built->report.length.value() == Approx(390).epsilon(0.005));
}

TEST_CASE("JoinLines, ATouchOfAFewCentimetresNeedsNoTolerance")
{
    auto raw = tee();
    raw.nodes[3] = at(4, 150, 0.05);
    join_lines(raw, {Metres{0}, true});
    CHECK(cut_off(raw) == 0);
    // A long line is found far from its ends.
    RawRoads far;
    far.nodes = {at(1, -40'000, -300), at(2, 40'000, 300), at(3, 10'000, 75), at(4, 10'000, 900)};
    far.ways = {drawn(1, {1, 2}), drawn(2, {3, 4})};
    join_lines(far, {Metres{0}, true});
    CHECK(told(far, "cut there") == 1);
}

TEST_CASE("JoinLines, ABridgeDoesNotMeetWhatRunsBelow")
{
    // All four lines are cut at the crossing; the bridge comes down at 100,0.
    RawRoads raw;
    raw.nodes = {at(1, -100, 0), at(2, 0, 0), at(3, 100, 0),  at(4, 200, 0),
                 at(5, 0, 100),  at(6, 0, 0), at(7, 0, -100), at(8, 100, 0)};
    raw.ways = {drawn(1, {1, 2}, 1), drawn(2, {2, 3}, 1), drawn(3, {8, 4}), drawn(4, {5, 6}),
                drawn(5, {6, 7})};
    join_lines(raw, {});
    CHECK(told(raw, "kept apart") == 1);
    // The bridge goes on at the ground level where it ends.
    CHECK(raw.ways[1].nodes.back() == raw.ways[2].nodes.front());
    CHECK(raw.ways[0].nodes.back() != raw.ways[3].nodes.back());
    CHECK(cut_off(raw) == 1);
    // Splitting respects levels as well.
    auto below = tee();
    below.ways[0].level = 1;
    join_lines(below, {Metres{2}, true});
    CHECK(told(below, "cut there") == 0);
}

TEST_CASE("JoinLines, NoLineShrinksToAPointAndTwiceIsTheSame")
{
    Random random{5};
    RawRoads raw;
    for (std::int64_t i = 0; i < 200; ++i) {
        const double x = random.uniform(0, 400);
        const double y = random.uniform(0, 400);
        raw.nodes.push_back(at(2 * i, x, y));
        raw.nodes.push_back(
            at(2 * i + 1, x + random.uniform(-60, 60), y + random.uniform(-60, 60)));
        raw.ways.push_back(drawn(i, {2 * i, 2 * i + 1}));
    }
    auto again = raw;
    join_lines(raw, {Metres{8}, true});
    join_lines(again, {Metres{8}, true});
    CHECK(told(raw, "joined") > 50);
    for (std::size_t i = 0; i < raw.ways.size(); ++i) {
        CHECK(raw.ways[i].nodes == again.ways[i].nodes);
        CHECK(raw.ways[i].nodes.size() >= 2);
        // No line has shrunk to a point.
        CHECK(raw.ways[i].nodes.front() != raw.ways[i].nodes.back());
    }
}
