#include "geocore/place/equal_area.hpp"

#include <cmath>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::place;

namespace {
LonLat at(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }
}  // namespace

TEST_CASE("EqualArea_GivesBackThePlace")
{
    for (const double lat : {-41.3, 0.0, 41.0, 53.6}) {
        const EqualArea flat{at(13.2, lat)};
        CHECK(flat.plane(at(13.2, lat)).east == Approx(0).margin(1e-6));
        CHECK(flat.plane(at(13.2, lat)).north == Approx(0).margin(1e-6));
        const LonLat place = at(14.9, lat + 1.3);
        const LonLat back = flat.earth(flat.plane(place));
        CHECK(back.lon.value() == Approx(place.lon.value()).margin(1e-10));
        CHECK(back.lat.value() == Approx(place.lat.value()).margin(1e-10));
    }
}

TEST_CASE("EqualArea_RunsEastAndNorth")
{
    const EqualArea flat{at(-81.5, 41.1)};
    CHECK(flat.plane(at(-81.4, 41.1)).east > 8'000);
    CHECK(flat.plane(at(-81.5, 41.2)).north == Approx(11'106).epsilon(0.001));
}

TEST_CASE("EqualArea_OffTheEarthIsNotANumber")
{
    const EqualArea flat{at(0, 50)};
    CHECK(std::isnan(flat.plane(at(0, 100)).north));
}
