#include "geocore/intake/weather_hours.hpp"

#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/scratch.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::tests;
using Catch::Contains;

namespace {

WeatherBatch read(std::string_view text, const std::string& zone = "UTC")
{
    const Scratch scratch;
    WeatherOptions options;
    options.zone = zone;
    return read_weather(scratch.file("hours.csv", text), options);
}

}  // namespace

TEST_CASE("WeatherHours, ReadsEveryColumnInItsUnit")
{
    const auto batch = read(
        "station,lon,lat,time,temperature_f,humidity_percent,wind_mph,gust_km_h,thunder\n"
        "S1,9.5,47.1,2026-08-04T12:00:00Z,86,55,10,36,yes\n"
        "S1,9.5,47.1,2026-08-04T13:00:00Z,,,,,no\n"
        "S1,9.5,47.1,2026-08-04T14:00:00Z,,,,,\n");
    CHECK(batch.refused.empty());
    REQUIRE(batch.stations.size() == 1);
    CHECK(batch.stations[0].place_known);
    const auto& hours = batch.stations[0].hours;
    REQUIRE(hours.size() == 2);  // a line without a value is no reading
    CHECK(hours[0].temperature->value() == Approx(30));
    CHECK(hours[0].humidity->value() == Approx(0.55));
    CHECK(hours[0].wind->value() == Approx(4.4704));  // 1 mph = 0.44704 m/s
    CHECK(hours[0].gust->value() == Approx(10));
    CHECK(hours[0].thunder == true);
    CHECK_FALSE(hours[1].temperature);
    CHECK_FALSE(hours[1].wind);
    CHECK(hours[1].thunder == false);
}

TEST_CASE("WeatherHours, AClockTimeIsOfTheZone")
{
    const auto text = "station,time,temperature_c\nS1,2026-08-04 14:00,30\n";
    const auto there = read(text, "Europe/Zurich");
    REQUIRE(there.stations.at(0).hours.size() == 1);
    CHECK(there.stations[0].hours[0].at == parse_instant("2026-08-04T12:00:00Z").value());
    const auto nowhere = read(text, "");
    REQUIRE(nowhere.refused.size() == 1);
    CHECK_THAT(nowhere.refused[0].reason, Contains("neither Z nor an offset"));
}

TEST_CASE("WeatherHours, WhatIsMissingIsSaidAndStaysUnknown")
{
    const auto batch = read("station,time,temperature_c\nS1,2026-08-04T14:00:00Z,30\n");
    std::string notes;
    for (const auto& note : batch.notes) {
        notes += note + "\n";
    }
    CHECK_THAT(notes, Contains("humidity_percent") && Contains("wind") && Contains("thunder"));
    CHECK_FALSE(batch.stations.at(0).hours.at(0).humidity);
}

TEST_CASE("WeatherHours, RefusesWhatCannotBe")
{
    const auto batch = read(
        "station,time,temperature_c,humidity_percent,wind_m_s,gust_m_s,thunder\n"
        "S1,2026-08-04T01:00:00Z,99,50,1,2,no\n"
        "S1,2026-08-04T02:00:00Z,20,150,1,2,no\n"
        "S1,2026-08-04T03:00:00Z,20,50,8,2,no\n"
        "S1,2026-08-04T04:00:00Z,20,50,1,2,perhaps\n"
        "S1,noon,20,50,1,2,no\n"
        "S1,2026-08-04T06:00:00Z,20,50,1,2,no\n"
        "S1,2026-08-04T06:00:00Z,21,50,1,2,no\n"
        "S1,2026-08-04T07:00:00Z,20,50,500,900,no\n");
    CHECK(batch.refused.size() == 7);
    CHECK(batch.stations.at(0).hours.size() == 1);
    CHECK_THAT(failure_of([] {
                   return read("station,time,wind_m_s,wind_mph\nS1,2026-08-04T06:00:00Z,1,2\n");
               }).message,
               Contains("keep one"));
}
