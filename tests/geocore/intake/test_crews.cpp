#include "geocore/intake/crews.hpp"

#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/scratch.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::tests;
using Catch::Contains;

TEST_CASE("Crews, ReadsCrewsAndLoadsTheirTrucks")
{
    const Scratch scratch;
    auto crews = read_crews(scratch.file("crews.csv",
                                         "crew,lon,lat,shift,people,note\n"
                                         "North,9.5,47.2,07:00-16:00,2,\n"
                                         "South,9.4,47.0,22:00-30:00,1,night crew\n"));
    CHECK(crews.refused.empty());
    REQUIRE(crews.crews.size() == 2);
    CHECK(crews.crews[0].depot == LonLat{Longitude{9.5}, Latitude{47.2}});
    CHECK(crews.crews[0].shift_begins == ClockTime::at(7, 0));
    CHECK(crews.crews[0].shift_ends == ClockTime::at(16, 0));
    CHECK(crews.crews[0].people == 2);
    CHECK(crews.crews[0].active);
    CHECK(crews.crews[1].shift_ends == ClockTime::at(30, 0));

    const auto gear =
        read_gear(scratch.file("gear.csv",
                               "crew,kind,label,length_ft,load_rating_lb,mass_kg,count,note\n"
                               "North,ladder,extension,24,300,18.5,,\n"
                               "North,cold_box,,,,12,2,\n"
                               ",pole,long,30,,,1,spare\n"
                               "West,suit,,,,,1,\n"));
    CHECK(gear.refused.empty());
    REQUIRE(gear.rows.size() == 4);
    const auto left = load_trucks(crews.crews, gear);
    REQUIRE(crews.crews[0].gear.size() == 2);
    const auto& ladder = crews.crews[0].gear[0];
    CHECK(ladder.kind == GearKind::Ladder);
    CHECK(ladder.length->value() == Approx(7.3152));
    CHECK(ladder.load_rating->value() == Approx(136077.711));
    CHECK(ladder.mass->value() == 18500);
    CHECK(ladder.count == 1);
    CHECK(crews.crews[0].gear[1].count == 2);
    CHECK_FALSE(crews.crews[0].gear[1].length);
    REQUIRE(left.size() == 2);
    CHECK(left[0].crew.empty());
    CHECK(left[1].crew == "West");
    CHECK(left[1].row == 5);
}

TEST_CASE("Crews, RefusesRowsThatMakeNoCrew")
{
    const Scratch scratch;
    const auto crews = read_crews(scratch.file("crews.csv",
                                               "crew,lon,lat,shift,people\n"
                                               ",9.5,47.2,07:00-16:00,2\n"
                                               "A,9.5,97,07:00-16:00,2\n"
                                               "B,,47,07:00-16:00,2\n"
                                               "C,9.5,47,16:00-07:00,2\n"
                                               "D,9.5,47,07:00-16:00,0\n"
                                               "E,9.5,47,07:00-16:00,1.5\n"
                                               "F,9.5,47,07:00-16:00,1\n"
                                               "F,9.5,47,07:00-16:00,1\n"));
    CHECK(crews.crews.size() == 1);
    REQUIRE(crews.refused.size() == 7);
    const std::vector<std::string> columns{"crew",   "lat",    "lon", "shift",
                                           "people", "people", "crew"};
    for (std::size_t i = 0; i < columns.size(); ++i) {
        CHECK(crews.refused[i].column == columns[i]);
    }
    const auto gear = read_gear(scratch.file("gear.csv",
                                             "crew,kind,length_m,mass_kg\n"
                                             "A,spoon,,\nA,pole,31,\nA,pole,3,0\n"));
    CHECK(gear.rows.empty());
    REQUIRE(gear.refused.size() == 3);
    CHECK_THAT(gear.refused[0].text(), Contains("'spoon' is no kind of gear"));
    const auto lacking = scratch.file("x.csv", "crew,lon\nA,1\n");
    CHECK_THAT(failure_of([&] { return read_crews(lacking); }).message,
               Contains("no column lat, shift"));
}
