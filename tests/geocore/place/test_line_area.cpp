#include "geocore/place/line_area.hpp"

#include <cmath>
#include <numbers>

#include "geocore/place/geodesic.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::place;

namespace {

LonLat at(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }

using Line = std::vector<LonLat>;

/// Twice the signed area in square degrees: above zero is counterclockwise.
double turn(const Ring& ring)
{
    double sum = 0;
    for (std::size_t i = 1; i < ring.size(); ++i) {
        sum += ring[i - 1].lon.value() * ring[i].lat.value() -
               ring[i].lon.value() * ring[i - 1].lat.value();
    }
    return sum;
}

void check_form(const Area& area)
{
    CHECK(fault_of(area).empty());
    for (const auto& rings : area.polygons) {
        for (std::size_t i = 0; i < rings.size(); ++i) {
            CHECK(rings[i].front() == rings[i].back());
            CHECK((turn(rings[i]) > 0) == (i == 0));
        }
    }
}

/// A square of roads around 10 E 47 N, `side` metres long.
std::vector<Line> square(double side)
{
    const auto middle = at(10, 47);
    Line line;
    for (const double azimuth : {45.0, 135.0, 225.0, 315.0, 45.0}) {
        line.push_back(geodesic_destination(middle, azimuth, Metres{side / std::sqrt(2.0)}));
    }
    return {line};
}

}  // namespace

TEST_CASE("LineArea, OneStraightLineGivesAStripWithRoundEnds")
{
    const auto from = at(10, 47);
    const auto to = geodesic_destination(from, 60, Metres{5000});
    LineArea area{from, {Metres{200}, 0}};
    const std::vector<Line> lines{{from, to}};
    const auto found = value_or_throw(area.grow(lines));
    check_form(found);
    REQUIRE(found.polygons.size() == 1);
    // Two half circles of 16-gons: sixteen triangles of r * r * sin(22.5 degrees) / 2.
    const double ends = 8 * 200.0 * 200.0 * std::sin(std::numbers::pi / 8);
    CHECK(found.square_metres == Approx(5000.0 * 400 + ends).epsilon(1e-4));
    CHECK(square_metres(found) == found.square_metres);
}

TEST_CASE("LineArea, HolesAreFilledBelowTheSizeAndKeptAbove")
{
    // Inside roads of 2 km with 200 m to each side a hole of 1.6 km by 1.6 km is left.
    const double hole = 1600.0 * 1600;
    LineArea keeps{at(10, 47), {Metres{200}, hole * 0.99}};
    const auto kept = value_or_throw(keeps.grow(square(2000)));
    check_form(kept);
    REQUIRE(kept.polygons.size() == 1);
    CHECK(kept.polygons[0].size() == 2);
    LineArea fills{at(10, 47), {Metres{200}, hole * 1.01}};
    const auto filled = value_or_throw(fills.grow(square(2000)));
    check_form(filled);
    CHECK(filled.polygons[0].size() == 1);
    CHECK(filled.square_metres - kept.square_metres == Approx(hole).epsilon(1e-3));
}

TEST_CASE("LineArea, GrowingCoversWhatWasThereAndTakesInIslandsInFilledHoles")
{
    LineArea area{at(10, 47), {Metres{200}, 1e7}};
    const auto middle = at(10, 47);
    const std::vector<Line> island{{middle, geodesic_destination(middle, 0, Metres{100})}};
    const auto first = value_or_throw(area.grow(island));
    const auto second = value_or_throw(area.grow(square(3000)));
    check_form(second);
    CHECK(second.polygons.size() == 1);
    CHECK(second.square_metres > first.square_metres);
    CHECK(uncovered(first, second) == 0);
    CHECK(uncovered(second, first) > 0);
    const auto third = value_or_throw(area.grow({}));
    CHECK(third.square_metres == second.square_metres);
}

TEST_CASE("LineArea, AFaultIsTold")
{
    Area crossed;
    crossed.polygons = {{{at(0, 0), at(1, 1), at(1, 0), at(0, 1), at(0, 0)}}};
    CHECK(fault_of(crossed).find("Self-intersection") != std::string::npos);
    crossed.polygons = {{{at(0, 0), at(1, 0), at(1, 1), at(0, 1)}}};
    CHECK_FALSE(fault_of(crossed).empty());
}
