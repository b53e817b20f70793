#include "geocore/intake/places.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::intake;

TEST_CASE("Places, ReadsTheFormsThatPeopleWrite")
{
    // 41 degrees 12 minutes 30 seconds = 41.208333..., 77 degrees 6 minutes = 77.1
    for (const auto* text : {"41 12 30 N 77 6 0 W", "N 41 12 30 W 77 6 0",
                             "41°12'30\"N 77°06'00\"W", "41°12′30″N, 77°6′0″W", "77 6 W, 41 12.5 N",
                             "41.2083333333N 77.1w", "41.2083333333,-77.1", "41.2083333333 -77.1",
                             "+41.2083333333; -77.1", "41 12 30, -77 6 0"}) {
        CAPTURE(text);
        const auto place = parse_place(text);
        REQUIRE(place);
        CHECK(place->lat.value() == Approx(41.2083333333).margin(1e-9));
        CHECK(place->lon.value() == Approx(-77.1).margin(1e-9));
    }
    CHECK(parse_place("-0 30 0, 0 0 0")->lat.value() == -0.5);
    CHECK(parse_place("0.5S 10E")->lat.value() == -0.5);
}

TEST_CASE("Places, RefusesWhatIsNoPlace")
{
    for (const auto* text :
         {"", "41.2", "41.2,-77.1,5", "41 60 0 N 77 6 0 W", "41 12 30 N 77 6 0 N", "N W",
          "41.5 30 N 77 W", "-41 N 77 W", "41 N 77", "91,10", "10,181", "nan,nan", "1e400,0",
          "mill barn", "41 -12 30, 77 0 0", "41.2,,", "1 2 3 4 5 6 7 8", "N 41 12 30 77 W"}) {
        CAPTURE(text);
        const auto place = parse_place(text);
        REQUIRE_FALSE(place);
        CHECK(place.error().code == ErrorCode::InvalidInput);
    }
}
