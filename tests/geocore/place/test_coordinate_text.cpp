#include "geocore/place/coordinate_text.hpp"

#include "geocore/place/geodesic.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::place;

TEST_CASE("CoordinateText, ReadsEachNotation")
{
    const LonLat expected{Longitude{-77.1}, Latitude{41.2083333333}};
    const auto reads = [&](const char* text, Notation notation, double within = 0.01) {
        CAPTURE(text);
        const auto reading = read_coordinates(text);
        REQUIRE(reading);
        CHECK(reading->notation == notation);
        CHECK(geodesic_distance(reading->at, expected).value() < within);
    };
    reads("41.2083333333, -77.1", Notation::Degrees);
    reads("W77.1 N41.2083333333", Notation::Degrees);
    reads("41°12.5' N, 77°6' W", Notation::DegreesMinutes);
    reads("41°12'30\"N 77°06'00\"W", Notation::DegreesMinutesSeconds);
    reads("geo:41.2083333333,-77.1", Notation::GeoUri);
    reads("GEO:41.2083333333,-77.1,310;crs=WGS84;u=12", Notation::GeoUri);
    CHECK(read_coordinates("geo:41.2,-77.1;u=12")->uncertainty == Metres{12});
    CHECK_FALSE(read_coordinates("geo:41.2,-77.1;crs=nad27"));
    CHECK_FALSE(read_coordinates("geo:41.2"));
    CHECK_FALSE(read_coordinates("geo:41.2,-77.1;u=-1"));
}

TEST_CASE("CoordinateText, ReadsGrids")
{
    // The middle of zone 18 is 75 W, where UTM's easting is 500 km and its scale 0.9996; on the
    // equator northing is 0.
    const auto equator = read_coordinates("18N 500000 0");
    REQUIRE(equator);
    CHECK(equator->at.lon.value() == Approx(-75).margin(1e-9));
    CHECK(equator->at.lat.value() == Approx(0).margin(1e-9));
    // The quarter meridian of WGS 84 is 10,001,965.729 m; half of it times 0.9996 is no round
    // latitude, but the pole is: northing 9,997,964.943 m.
    const auto far_south = read_coordinates("18 south 500000 10000000");
    REQUIRE(far_south);
    CHECK(far_south->at.lat.value() == Approx(0).margin(1e-9));
    // An MGRS square of 1 m holds the UTM point it is cut from.
    const auto utm = read_coordinates("18T 323456 4567890");
    const auto mgrs = read_coordinates("18T UL 23456 67890");
    REQUIRE(utm);
    REQUIRE(mgrs);
    CHECK(mgrs->notation == Notation::Mgrs);
    CHECK(geodesic_distance(utm->at, mgrs->at).value() < 0.75);
    CHECK(mgrs->uncertainty->value() == Approx(0.7071).margin(1e-3));
    CHECK(read_coordinates("18tul2367")->uncertainty->value() == Approx(707.1).margin(0.1));
    CHECK_FALSE(read_coordinates("61T 323456 4567890"));
    CHECK_FALSE(read_coordinates("18T UL 2345 678"));
    CHECK_FALSE(read_coordinates("18I 323456 4567890"));
}

TEST_CASE("CoordinateText, TellsWhatMayBeMeantOtherwise")
{
    const auto both = read_coordinates("47.1, 9.5");
    REQUIRE(both->swapped);
    CHECK(both->at.lat.value() == 47.1);
    CHECK(both->swapped->lat.value() == 9.5);
    const auto letters = read_coordinates("47.1 N, 9.5 E");
    CHECK_FALSE(letters->swapped);
    const auto other = read_coordinates("-98.3, 41.2");
    CHECK(other->longitude_first);
    CHECK(other->at.lat.value() == 41.2);
    CHECK_FALSE(other->swapped);
    const auto nowhere = read_coordinates("98, 200");
    CHECK_FALSE(is_on_earth(nowhere->at));
    // S: band of the north or the southern half
    const auto band = read_coordinates("18S 290000 4320000");
    CHECK(band->at.lat.value() == Approx(39.0).margin(0.1));
    REQUIRE(band->swapped);
    CHECK(band->swapped->lat.value() < -50);
    CHECK(read_coordinates("56S 334000 6250000")->at.lat.value() < -33);
}
