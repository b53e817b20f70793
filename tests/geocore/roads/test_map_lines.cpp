#include "geocore/roads/map_lines.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

constexpr double kPerE7 = 0.0111319;  // metres of latitude
const RoadBox kEverywhere{{-1'800'000'000, -900'000'000}, {1'800'000'000, 900'000'000}};

double metres_from(RoadPoint p, RoadPoint a, RoadPoint b)
{
    const double shrink = std::cos(p.lat_e7 / 1e7 * 3.14159265358979 / 180) * kPerE7;
    const double dx = (b.lon_e7 - a.lon_e7) * shrink;
    const double dy = (b.lat_e7 - a.lat_e7) * kPerE7;
    const double px = (p.lon_e7 - a.lon_e7) * shrink;
    const double py = (p.lat_e7 - a.lat_e7) * kPerE7;
    const double whole = dx * dx + dy * dy;
    const double t = whole > 0 ? std::clamp((px * dx + py * dy) / whole, 0.0, 1.0) : 0;
    return std::hypot(px - t * dx, py - t * dy);
}

double metres_from(RoadPoint p, const std::vector<MapLine>& lines)
{
    double best = 1e9;
    for (const auto& line : lines) {
        for (std::size_t i = 1; i < line.line.size(); ++i) {
            best = std::min(best, metres_from(p, line.line[i - 1], line.line[i]));
        }
    }
    return best;
}

std::size_t points_in(const std::vector<MapLine>& lines)
{
    std::size_t count = 0;
    for (const auto& line : lines) {
        count += line.line.size();
    }
    return count;
}

}  // namespace

TEST_CASE("MapLines, NoVertexLiesFurtherThanTheToleranceFromWhatIsDrawn")
{
    Random random{7};
    const auto network = built(random_roads(random, 9));
    std::size_t before = 0;
    for (const int zoom : {11, 12, 13, 15, 18}) {
        const auto lines = lines_in(*network, kEverywhere, zoom);
        for (std::uint32_t e = 0; e < network->edge_count(); ++e) {
            for (const auto point : network->line(e)) {
                CHECK(metres_from(point, lines) <= tolerance(zoom).value() * 1.01 + 0.02);
            }
        }
        CHECK(points_in(lines) >= before);
        before = points_in(lines);
    }
}

TEST_CASE("MapLines, AdjoiningStretchesOfOneClassAreOneLineAndJunctionsStay")
{
    // 1 - 2 - 3 - 4 in a row, a side road at 3; 1 - 2 and 2 - 3 are parted by their speeds alone.
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 2, 0), raw_node(4, 3, 0),
                 raw_node(5, 2, 1)};
    raw.ways = {raw_way(1, {1, 2}, 30), raw_way(2, {2, 3}, 50), raw_way(3, {3, 4}, 50),
                raw_way(4, {3, 5}, 30)};
    for (auto& way : raw.ways) {
        way.road.road_class = RoadClass::Residential;
    }
    const auto network = built(raw);
    const auto lines = lines_in(*network, kEverywhere, 14);
    REQUIRE(lines.size() == 3);
    std::multiset<RoadPoint> ends;
    for (const auto& line : lines) {
        CHECK(line.line.size() == (line.line.size() > 2 ? 3 : 2));
        ends.insert(line.line.front());
        ends.insert(line.line.back());
    }
    CHECK(ends.count(raw.nodes[2].at) == 3);
    CHECK(ends.count(raw.nodes[1].at) == 0);
    // With the side road a track that is not drawn, the row is one line.
    raw.ways[3].road.road_class = RoadClass::Track;
    const auto coarse = lines_in(*built(raw), kEverywhere, 11);
    REQUIRE(coarse.size() == 1);
    CHECK(std::set{coarse[0].line.front(), coarse[0].line.back()} ==
          std::set{raw.nodes[0].at, raw.nodes[3].at});
}

TEST_CASE("MapLines, ARingWithoutEndsIsDrawnWhole")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 1, 0), raw_node(3, 1, 1), raw_node(4, 0, 1)};
    raw.ways = {raw_way(1, {1, 2}, 30), raw_way(2, {2, 3}, 40), raw_way(3, {3, 4}, 50),
                raw_way(4, {4, 1}, 60)};
    const auto lines = lines_in(*built(raw), kEverywhere, 14);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].line.size() == 5);
    CHECK(lines[0].line.front() == lines[0].line.back());
}

TEST_CASE("MapLines, AreCutToTheWindow")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 10, 0), raw_node(3, 0, 5)};
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {1, 3})};
    const auto network = built(raw);
    const auto from = raw.nodes[0].at;
    const RoadBox box{{from.lon_e7 + 2 * kHundredth, from.lat_e7 - kHundredth},
                      {from.lon_e7 + 3 * kHundredth, from.lat_e7 + kHundredth}};
    const auto lines = lines_in(*network, box, 14);
    REQUIRE(lines.size() == 1);
    REQUIRE(lines[0].line.size() == 2);
    CHECK(
        std::set{lines[0].line[0], lines[0].line[1]} ==
        std::set{RoadPoint{box.low.lon_e7, from.lat_e7}, RoadPoint{box.high.lon_e7, from.lat_e7}});
    const RoadBox nowhere{{0, 0}, {kHundredth, kHundredth}};
    CHECK(lines_in(*network, nowhere, 14).empty());
}

TEST_CASE("MapLines, ZoomsFitTheirTolerances")
{
    CHECK(tolerance(0).value() == Approx(40'075'016.686 / 512));
    CHECK(tolerance(12).value() == Approx(19.1).margin(0.05));
    CHECK(zoom_for(tolerance(12)) == 12);
    CHECK(zoom_for(Metres{19}) == 13);
    CHECK(zoom_for(Metres{0}) == kFinestZoom);
    CHECK(first_zoom(RoadClass::Motorway) < first_zoom(RoadClass::Primary));
    CHECK(first_zoom(RoadClass::Residential) < first_zoom(RoadClass::Track));
}
