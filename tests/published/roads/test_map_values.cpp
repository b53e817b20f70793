// Values of tags as the open map's own documentation gives them for examples, and what they mean.
//
// Sources: OpenStreetMap Wiki, pages 'Key:maxspeed' (a number is km/h; mph and knots are written
// behind it; none, walk, signals; country and zone as RO:urban; 1 mph = 1.609344 km/h, its table of
// conversions; 1 knot = 1.852 km/h) and 'Conditional restrictions' (value @ condition; several
// parted by semicolons, the later one outdoes the earlier; 23:00-05:00 runs over midnight). Facts
// only, in our words.
#include <array>
#include <utility>
#include <vector>

#include "geocore/roads/by_hour.hpp"
#include "geocore/roads/osm_tags.hpp"
#include "geocore/roads/speed_table.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::roads;

namespace {

double kmh(const char* value)
{
    CAPTURE(value);
    const auto speed = parse_speed_limit(value);
    REQUIRE(speed);
    REQUIRE(*speed);
    return **speed;
}

}  // namespace

TEST_CASE("MapValues, MaxspeedInItsUnits")
{
    CHECK(kmh("60") == 60);
    CHECK(kmh("50 mph") == Approx(80.467).margin(0.0005));
    CHECK(kmh("10 knots") == Approx(18.52));
    // The page's own table of miles.
    constexpr std::array<std::pair<const char*, double>, 10> kTable{{{"15 mph", 24.140},
                                                                     {"20 mph", 32.187},
                                                                     {"25 mph", 40.234},
                                                                     {"30 mph", 48.280},
                                                                     {"35 mph", 56.327},
                                                                     {"40 mph", 64.374},
                                                                     {"45 mph", 72.420},
                                                                     {"50 mph", 80.467},
                                                                     {"55 mph", 88.514},
                                                                     {"60 mph", 96.561}}};
    for (const auto& [value, expected] : kTable) {
        CHECK(kmh(value) == Approx(expected).margin(0.0006));
    }
}

TEST_CASE("MapValues, MaxspeedInWords")
{
    // No fixed limit: the truck's own top speed is what remains.
    CHECK(kmh("none") * kShareOfLimit >= kTopSpeed);
    CHECK(kmh("walk") == kWalkingSpeed);
    CHECK(kmh("RO:urban") == 50);
    CHECK(kmh("RO:rural") == 90);
    CHECK(kmh("IT:urban") == 50);
    const auto signals = parse_speed_limit("signals");
    REQUIRE(signals);
    CHECK_FALSE(*signals);
}

TEST_CASE("MapValues, ConditionsHoldWhenTheySay")
{
    const auto held = [](const char* text, unsigned weekday, int hour) {
        const auto all = conditionals(text);
        REQUIRE(all.size() == 1);
        return holds(all.front().condition, {weekday, hour * 60, hour * 60}, {});
    };
    // The page's first example: 60 between 23 and 5 o'clock.
    CHECK(conditionals("60 @ 23:00-05:00").front().value == "60");
    CHECK(held("60 @ 23:00-05:00", 2, 23) == Holds::Throughout);
    CHECK(held("60 @ 23:00-05:00", 2, 4) == Holds::Throughout);
    CHECK(held("60 @ 23:00-05:00", 2, 5) == Holds::Never);
    CHECK(held("no_left_turn @ (Mo-Fr 07:00-09:00)", 4, 8) == Holds::Throughout);
    CHECK(held("no_left_turn @ (Mo-Fr 07:00-09:00)", 5, 8) == Holds::Never);
    CHECK(conditionals("delivery @ (06:00-11:00); no @ (weight>7.5)").size() == 2);
}

TEST_CASE("MapValues, AWayKeepsItsConditions")
{
    const std::vector<Tag> tags{{"highway", "residential"},
                                {"access:conditional", "no @ (Mo-Fr 07:00-09:00)"},
                                {"oneway:conditional", "yes @ (16:00-18:00)"}};
    const auto reading = read_way(tags);
    REQUIRE(reading.road);
    CHECK(reading.road->condition == "no @ (Mo-Fr 07:00-09:00)\noneway=yes @ (16:00-18:00)");
    CHECK_FALSE(reading.remark.empty());
}
