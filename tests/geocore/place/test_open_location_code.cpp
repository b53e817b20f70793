#include "geocore/place/open_location_code.hpp"

#include <cmath>
#include <limits>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::place;

TEST_CASE("OpenLocationCode, ThereAndBackStaysInTheRectangle")
{
    Random random{7};
    for (int i = 0; i < 2000; ++i) {
        const LonLat at{Longitude{random.uniform(-180, 180)}, Latitude{random.uniform(-90, 90)}};
        for (const int digits : {2, 4, 6, 8, 10, 11, 15}) {
            const auto code = encode_plus_code(at, digits).value();
            const auto area = decode_plus_code(code).value();
            CAPTURE(code, at.lat.value(), at.lon.value());
            CHECK(area.digits == digits);
            CHECK(at.lat.value() >= area.south - 1e-12);
            CHECK(at.lat.value() <= area.north + 1e-12);
            CHECK(at.lon.value() >= area.west - 1e-12);
            CHECK(at.lon.value() <= area.east + 1e-12);
            // what was shortened is recovered by whoever stands where it was shortened
            const LonLat near{at.lon + Longitude{random.uniform(-0.2, 0.2)}, at.lat};
            CHECK(recover_plus_code(shorten_plus_code(code, near).value(), near).value() == code);
        }
    }
}

TEST_CASE("OpenLocationCode, RefusesWhatHasNoCode")
{
    const LonLat nowhere{Longitude{std::numeric_limits<double>::quiet_NaN()}, Latitude{0}};
    CHECK_FALSE(encode_plus_code(nowhere));
    CHECK_FALSE(encode_plus_code({}, 5));
    CHECK_FALSE(encode_plus_code({}, 0));
    CHECK_FALSE(decode_plus_code("2345+G6"));
    CHECK_FALSE(decode_plus_code("X2222222+22"));
    CHECK_FALSE(shorten_plus_code("2345+G6", {}));
    CHECK_FALSE(recover_plus_code("mill barn", {}));
    CHECK(recover_plus_code("8fvc2222+22", {}).value() == "8FVC2222+22");
}
