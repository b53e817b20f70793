#include "planner/sheets/map_frame.hpp"

#include <algorithm>
#include <cmath>

#include "planner/sheets/map_labels.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sample_day.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

LonLat place(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }

const PageBox kBox{10, 20, 200, 150};

}  // namespace

TEST_CASE("MapFrame, IsTrueToScaleBothWays")
{
    // On the WGS 84 ellipsoid a degree at 60 degrees north is 111,412 m of latitude and 55,800 m of
    // longitude (NGA length of a degree table: 111,412 and 55,800).
    const MapFrame frame{{9, 59.5, 11, 60.5}, kBox};
    const PagePoint middle = frame.at(place(10, 60));
    CHECK(middle.x == Approx(110));
    CHECK(middle.y == Approx(95));
    const double east = frame.at(place(10.1, 60)).x - middle.x;
    const double north = middle.y - frame.at(place(10, 60.1)).y;
    CHECK(east / frame.mm_per_metre() == Approx(5580.0).epsilon(0.0002));
    CHECK(north / frame.mm_per_metre() == Approx(11141.2).epsilon(0.0002));
}

TEST_CASE("MapFrame, ReachesOverThe180thMeridian")
{
    day::DayPlan plan;
    plan.crews.resize(2);
    plan.crews[0].crew.depot = place(179.95, -17);
    plan.crews[1].crew.depot = place(-179.95, -17.05);
    const MapWindow window = map_window(plan);
    CHECK(window.east - window.west < 0.5);
    const MapFrame frame{window, page_layout({}).map};
    CHECK(frame.box().holds(frame.at(plan.crews[0].crew.depot)));
    CHECK(frame.box().holds(frame.at(plan.crews[1].crew.depot)));
}

TEST_CASE("MapWindow, HoldsEveryLineOfTheDay")
{
    const testing::SampleWeb web;
    const day::DayPlan plan = testing::sample_day(web);
    const MapOptions options;
    const MapWindow window = map_window(plan, options);
    const MapFrame frame{window, page_layout(options).map};
    // The window has the page's shape: its corners are the map's corners.
    const PagePoint corner = frame.at(place(window.west, window.north));
    CHECK(corner.x == Approx(frame.box().x));
    CHECK(corner.y == Approx(frame.box().y));
    for (const day::CrewDay& crew : plan.crews) {
        for (const LonLat at : crew.drive_home_line) {
            CHECK(frame.box().holds(frame.at(at)));
        }
    }
}

TEST_CASE("Thinned, StaysWithinTheToleranceAndKeepsTheEnds")
{
    PageLine line;
    for (int k = 0; k <= 400; ++k) {
        line.push_back({k * 0.25, 5 * std::sin(k * 0.05)});
    }
    const PageLine few = thinned(line, 0.1);
    CHECK(few.size() < line.size() / 4);
    CHECK(few.front().x == line.front().x);
    CHECK(few.back().x == line.back().x);
    for (const PagePoint p : line) {
        double nearest = 1e9;
        for (std::size_t k = 1; k < few.size(); ++k) {
            const double dx = few[k].x - few[k - 1].x;
            const double dy = few[k].y - few[k - 1].y;
            const double ex = p.x - few[k - 1].x;
            const double ey = p.y - few[k - 1].y;
            const double t = std::clamp((ex * dx + ey * dy) / (dx * dx + dy * dy), 0.0, 1.0);
            nearest = std::min(nearest, std::hypot(ex - t * dx, ey - t * dy));
        }
        CHECK(nearest <= 0.1 + 1e-9);
    }
}

TEST_CASE("Beside, RunsToTheRightOfTheDirection")
{
    // East on a page whose y points down: right is south, larger y.
    const PageLine east = beside({{0, 0}, {10, 0}}, 1);
    CHECK(east[0].y == Approx(1));
    CHECK(east[1].y == Approx(1));
    const PageLine west = beside({{10, 0}, {0, 0}}, 1);
    CHECK(west[0].y == Approx(-1));
    // A right angle keeps its distance on both arms.
    const PageLine corner = beside({{0, 0}, {10, 0}, {10, 10}}, 1);
    CHECK(corner[1].x == Approx(9));
    CHECK(corner[1].y == Approx(1));
    // Out and back on one road: two lines, one each side.
    const PageLine back = beside({{0, 0}, {10, 0}, {0, 0}}, 1);
    CHECK(back.front().y == Approx(1));
    CHECK(back.back().y == Approx(-1));
}

TEST_CASE("Headings, StandAtEvenSpacing")
{
    const auto found = headings({{0, 0}, {10, 0}, {10, 10}}, 5, 10);
    REQUIRE(found.size() == 2);
    CHECK(found[0].at.x == Approx(5));
    CHECK(found[0].dx == Approx(1));
    CHECK(found[1].at.y == Approx(5));
    CHECK(found[1].dy == Approx(1));
}

TEST_CASE("Placer, NeverCoversWhatStands")
{
    Random random{5};
    Placer placer{{0, 0, 100, 80}};
    std::vector<PageBox> given{{40, 30, 20, 20}};
    placer.block(given[0]);
    int names = 0;
    for (int k = 0; k < 60; ++k) {
        const PagePoint asked{random.uniform(5, 95), random.uniform(5, 75)};
        const PagePoint at = placer.settle(asked, 1.5);
        const PageBox mark{at.x - 1.5, at.y - 1.5, 3, 3};
        for (const PageBox& other : given) {
            CHECK_FALSE(mark.meets(other));
        }
        given.push_back(mark);
        if (const auto name = placer.name_beside(at, 1.5, 14, 3)) {
            ++names;
            for (const PageBox& other : given) {
                CHECK_FALSE(name->meets(other));
            }
            CHECK(name->x >= 0);
            CHECK(name->right() <= 100);
            given.push_back(*name);
        }
    }
    CHECK(names > 20);
}

TEST_CASE("Placer, LeavesAMarkWhereThereIsRoom")
{
    Placer placer{{0, 0, 100, 80}};
    const PagePoint first = placer.settle({50, 40}, 2);
    CHECK(first.x == 50);
    CHECK(first.y == 40);
    const PagePoint second = placer.settle({50.5, 40}, 2);
    CHECK(std::hypot(second.x - 50.5, second.y - 40) > 1);
    CHECK(std::hypot(second.x - 50.5, second.y - 40) < 8);
}
