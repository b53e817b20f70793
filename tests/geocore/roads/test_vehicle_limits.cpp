// Limits of size as OpenStreetMap's documentation of maxheight and maxweight writes them.
#include "geocore/roads/vehicle_limits.hpp"

#include "tests/support/catch.hpp"

using namespace nestround::roads;

TEST_CASE("VehicleLimits, LengthsInTheirUnits")
{
    CHECK(parse_length_limit("3.5") == 3500);
    CHECK(parse_length_limit("2.3 m") == 2300);
    CHECK(parse_length_limit("3,8") == 3800);
    CHECK(parse_length_limit("350 cm") == 3500);
    CHECK(parse_length_limit("11'6\"") == 3505);  // 138 inches
    CHECK(parse_length_limit("6'7\"") == 2006);   // 79 inches
    CHECK(parse_length_limit("16'") == 4876);
    CHECK(parse_length_limit("11 ft 6 in") == 3505);
    for (const char* text : {"", "default", "none", "below_default", "-3", "3 parsecs", "0",
                             "11'14\"", "nan", "1e30"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_length_limit(text));
    }
}

TEST_CASE("VehicleLimits, WeightsInTheirUnits")
{
    CHECK(parse_weight_limit("7.5") == 7500);
    CHECK(parse_weight_limit("7.5 t") == 7500);
    CHECK(parse_weight_limit("3500 kg") == 3500);
    CHECK(parse_weight_limit("10 st") == 9071);  // 20,000 lb
    CHECK(parse_weight_limit("20000 lbs") == 9071);
    CHECK(parse_weight_limit("1 lt") == 1016);
    for (const char* text : {"", "none", "unsigned", "-1", "5 stone"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_weight_limit(text));
    }
}
