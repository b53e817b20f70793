#include "planner/access/cargo.hpp"

#include <cmath>

#include "planner/access/figures.hpp"
#include "planner/access/parcel.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::access;
using std::chrono::hours;
using std::chrono::minutes;

namespace {

std::vector<CargoAir> steady(double celsius) { return {{seconds{0}, hours{48}, Celsius{celsius}}}; }

CargoBox box_of(double grams, double loss)
{
    CargoBox box;
    box.comb = Grams{grams};
    box.watts_per_kelvin = loss;
    box.start = Celsius{30};
    box.warm = Celsius{38};
    return box;
}

}  // namespace

TEST_CASE("Cargo, ApproachesTheAirAndItsOwnHeatAsALumpDoes")
{
    const CargoBox box = box_of(1000, 2);
    // 3 W in a box of 2 W/K: 1.5 K over the air in the end; the time constant is 3400 J/K / 2 W/K.
    const auto ride = cargo_ride(box, steady(20), seconds{0}, seconds{1700});
    REQUIRE(ride);
    CHECK(ride->moments.back().box.value() == Approx(21.5 + 8.5 * std::exp(-1.0)).margin(1e-9));
    const auto long_ride = cargo_ride(box, steady(20), seconds{0}, hours{12});
    CHECK(long_ride->moments.back().box.value() == Approx(21.5).margin(0.01));
    CHECK(long_ride->hottest == Celsius{30});
    CHECK_FALSE(long_ride->warm_after);
}

TEST_CASE("Cargo, TheLongestRideEndsWhereTheBoxPassesItsLimit")
{
    const CargoBox box = box_of(1000, 2);
    const auto longest = longest_ride(box, steady(45), seconds{0}, hours{1});
    REQUIRE(longest);
    REQUIRE(longest->has_value());
    const auto at_limit = cargo_ride(box, steady(45), seconds{0}, **longest);
    CHECK(at_limit->moments.back().box.value() == Approx(38).margin(0.01));
    CHECK_FALSE(longest_ride(box, steady(20), seconds{0}, hours{1})->has_value());
    // Whoever leaves in the hot hours has the shortest.
    const std::vector<CargoAir> day{{hours{0}, hours{12}, Celsius{22}},
                                    {hours{12}, hours{20}, Celsius{45}}};
    const auto shift = longest_ride(box, day, hours{8}, hours{16});
    CHECK((**shift - **longest).count() == Approx(0).margin(2));
}

TEST_CASE("Cargo, MoreCombInATightBoxRidesShorterAndABetterBoxLonger")
{
    const auto ride = [](double grams, double loss, double air) {
        return longest_ride(box_of(grams, loss), steady(air), seconds{0}, seconds{0})->value();
    };
    // In air cooler than the limit only the heat of the brood can warm the box past it.
    CHECK(longest_ride(box_of(3000, 0.5), steady(33), seconds{0}, seconds{0})->has_value());
    CHECK_FALSE(longest_ride(box_of(300, 0.5), steady(33), seconds{0}, seconds{0})->has_value());
    CHECK(ride(1000, 1, 48) > ride(1000, 2, 48));  // in hot air a wall keeps heat out
}

TEST_CASE("Cargo, AirThatIsNotKnownIsSaidAndNotGuessed")
{
    const std::vector<CargoAir> gap{{hours{8}, hours{9}, Celsius{20}},
                                    {hours{10}, hours{11}, Celsius{20}}};
    const auto ride = cargo_ride(box_of(500, 2), gap, hours{8}, hours{11});
    REQUIRE(ride);
    REQUIRE(ride->unknown_from);
    CHECK(*ride->unknown_from == hours{9});
    CHECK(*cargo_ride(box_of(500, 2), {}, hours{8}, hours{9})->unknown_from == hours{8});
}

TEST_CASE("Cargo, WhatCannotBeIsRefused")
{
    CHECK_FALSE(cargo_ride(box_of(0, 2), steady(20), seconds{0}, hours{1}));
    CHECK_FALSE(cargo_ride(box_of(-5, 2), steady(20), seconds{0}, hours{1}));
    CHECK_FALSE(cargo_ride(box_of(500, 0), steady(20), seconds{0}, hours{1}));
    CHECK_FALSE(cargo_ride(box_of(500, 2), steady(std::nan("")), seconds{0}, hours{1}));
    CHECK_FALSE(cargo_ride(box_of(500, 2), steady(20), hours{2}, hours{1}));
    CHECK_FALSE(cargo_ride(box_of(500, 2), steady(20), seconds{0}, hours{1}, -1));
}

// Common practice, no written source: live cargo overheats on the ride, adults emerge on the way.
TEST_CASE("Practice, LiveCargoCanOverheatOnTheRideAndAdultsEmergeOnTheWay")
{
    CargoBox box;  // the table's
    const auto parked =
        cargo_ride(box, {{seconds{0}, hours{3}, Celsius{28} + parked_cab_adds(hours{1})}},
                   seconds{0}, hours{3});
    REQUIRE(parked);
    REQUIRE(parked->warm_after);
    CHECK(parked->hottest > box.warm);
    const auto ride = cargo_ride(box, steady(28), seconds{0}, hours{3}, 1480);
    REQUIRE(ride);
    CHECK(ride->emerged > 5);
    CHECK(ride->emerged < 30);
}

// 1480 sealed cells of even ages, 14.8 days: 100 adults a day (arithmetic on published stage days).
TEST_CASE("Published, EmergenceOfAComb")
{
    CargoBox box = box_of(1000, 100);  // follows the air
    box.start = Celsius{30};
    const auto day = cargo_ride(box, steady(29.97), seconds{0}, hours{24}, 1480, 14.8);
    REQUIRE(day);
    CHECK(day->emerged == Approx(100).margin(1));
    CHECK(emergence_rate(Celsius{30}, Celsius{38}) == Approx(1));
    CHECK(emergence_rate(Celsius{12}, Celsius{38}) == 0);
    CHECK(emergence_rate(Celsius{39}, Celsius{38}) == 0);
}

// McLaren, Null, Quinn (2005): about 40 F in an hour, 80 % of it in the first 30 minutes.
TEST_CASE("Published, ClosedCarInTheSun")
{
    CHECK(parked_cab_adds(minutes{30}).value() * 1.8 == Approx(0.8 * 40).margin(0.1));
    CHECK(parked_cab_adds(minutes{60}).value() * 1.8 == Approx(40).margin(2));
    CHECK(parked_cab_adds(seconds{0}).value() == 0);
    CHECK(parked_cab_adds(minutes{-5}).value() == 0);
}

// Gibo and others (1974): 0.20 to 0.35 cal a gram and minute; Kaefer and others (2012): 44.9 C.
TEST_CASE("Published, HeatOfAColonyAndItsLimit")
{
    const auto& heat = figure("cargo", "colony_heat");
    CHECK(heat.lowest() == Approx(0.20 * 4184 / 60).margin(0.1));
    CHECK(heat.highest() == Approx(0.35 * 4184 / 60).margin(0.1));
    CHECK(figure("cargo", "deadly").middle() == 44.9);
    CHECK(figure("cargo", "warm").middle() < 44.9);
}

// 49 CFR 173.217: vented, marked UN 1845, net mass outside; two sides on a vessel.
TEST_CASE("Published, ParcelWithDryIce")
{
    const auto said = [](const std::vector<ParcelRule>& rules, std::string_view part) {
        for (const auto& rule : rules) {
            if (rule.words.find(part) != std::string::npos) {
                return !rule.source.empty();
            }
        }
        return false;
    };
    const auto air = parcel_rules(Grams{4000}, 2, Carriage::Air);
    REQUIRE(air);
    CHECK(said(*air, "UN 1845"));
    CHECK(said(*air, "net mass"));
    CHECK(said(*air, "never airtight"));
    CHECK(said(*air, "100 by 100 mm"));
    CHECK(said(*air, "at most 200 kg"));
    CHECK_FALSE(said(*air, "OVER"));
    CHECK_FALSE(said(*air, "eased"));
    CHECK(said(*parcel_rules(Grams{2500}, 1, Carriage::Air), "eased"));
    CHECK(said(*parcel_rules(Grams{201000}, 1, Carriage::Air), "OVER THE LIMIT"));
    const auto vessel = parcel_rules(Grams{4000}, 1, Carriage::Vessel);
    CHECK(said(*vessel, "WARNING CO2 SOLID (DRY ICE)"));
    CHECK_FALSE(said(*vessel, "waybill"));
    CHECK(said(*parcel_rules(Grams{4000}, 1, Carriage::Road), "never airtight"));
    CHECK_FALSE(parcel_rules(Grams{0}, 1, Carriage::Air));
    CHECK_FALSE(parcel_rules(Grams{-1}, 1, Carriage::Air));
    CHECK_FALSE(parcel_rules(Grams{100}, 0, Carriage::Air));
    CHECK(parcel_mark(Grams{2500}) == "UN 1845  DRY ICE  net 2.5 kg");
}
