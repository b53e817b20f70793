#include "geocore/place/geodesic.hpp"

#include <cmath>

#include "tests/support/catch.hpp"

using namespace nestround;
using place::geodesic_azimuth;
using place::geodesic_destination;
using place::geodesic_distance;

namespace {
LonLat at(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }
}  // namespace

TEST_CASE("Geodesic, MeasuresTheEllipsoidAndNotASphere")
{
    // WGS 84: the quarter meridian is 10 001 965.729 m, a degree of the equator a * pi / 180.
    CHECK(geodesic_distance(at(0, 0), at(0, 90)).value() == Approx(10001965.729).margin(0.001));
    CHECK(geodesic_distance(at(0, 0), at(1, 0)).value() ==
          Approx(6378137.0 * std::acos(-1.0) / 180).margin(0.001));
}

TEST_CASE("Geodesic, CrossesTheAntimeridianTheShortWay")
{
    CHECK(geodesic_distance(at(179.9, 10), at(-179.9, 10)).value() < 22'000);
}

TEST_CASE("Geodesic, DestinationLiesAtTheDistanceAndAzimuthAsked")
{
    const auto start = at(9.52, 47.14);
    const auto end = geodesic_destination(start, 63, Metres{12345.6});
    CHECK(geodesic_distance(start, end).value() == Approx(12345.6).margin(1e-6));
    CHECK(geodesic_azimuth(start, end) == Approx(63).margin(1e-9));
}

TEST_CASE("Geodesic, AnImpossiblePlaceGivesNoNumber")
{
    CHECK(std::isnan(geodesic_distance(at(0, 0), at(0, 91)).value()));
}
