// Changes of the clock as the laws set them: European Union, last Sundays of March and October at
// 01:00 UTC (Directive 2000/84/EC); United States, second Sunday of March and first of November at
// 02:00 local time (15 U.S.C. 260a).
#include "geocore/intake/time_zone.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::intake;

namespace {

std::string utc(const char* day, const char* clock, const char* zone)
{
    return format_instant(*to_utc(*parse_day(day), *parse_clock(clock), zone));
}

LocalTime local(const char* instant, const char* zone)
{
    return *to_local(*parse_instant(instant), zone);
}

}  // namespace

TEST_CASE("TimeZone, ClockTimeBecomesUtcAndBack")
{
    CHECK(utc("2026-08-04", "08:30", "Europe/Zurich") == "2026-08-04T06:30:00.000Z");
    CHECK(utc("2026-01-04", "08:30", "Europe/Zurich") == "2026-01-04T07:30:00.000Z");
    CHECK(utc("2026-08-04", "20:30", "America/New_York") == "2026-08-05T00:30:00.000Z");
    CHECK(utc("2026-08-04", "08:30", "UTC") == "2026-08-04T08:30:00.000Z");
    // 26:00 is two in the next morning
    CHECK(utc("2026-08-04", "26:00", "Europe/Zurich") == "2026-08-05T00:00:00.000Z");
    CHECK(local("2026-08-05T00:30:00Z", "America/New_York") ==
          LocalTime{*parse_day("2026-08-04"), ClockTime::at(20, 30)});
    CHECK(local("2026-12-31T23:30:00Z", "Europe/Zurich") ==
          LocalTime{*parse_day("2027-01-01"), ClockTime::at(0, 30)});
}

TEST_CASE("TimeZone, ATimeThatTheSpringChangeLeavesOutIsReadByTheOldClock")
{
    CHECK(utc("2026-03-29", "01:59", "Europe/Zurich") == "2026-03-29T00:59:00.000Z");
    CHECK(utc("2026-03-29", "02:30", "Europe/Zurich") == "2026-03-29T01:30:00.000Z");
    CHECK(local("2026-03-29T01:30:00Z", "Europe/Zurich").clock == ClockTime::at(3, 30));
    CHECK(utc("2026-03-29", "03:00", "Europe/Zurich") == "2026-03-29T01:00:00.000Z");
    CHECK(utc("2026-03-08", "02:30", "America/New_York") == "2026-03-08T07:30:00.000Z");
}

TEST_CASE("TimeZone, ATimeThatTheAutumnChangeRepeatsIsTheFirst")
{
    CHECK(utc("2026-10-25", "02:30", "Europe/Zurich") == "2026-10-25T00:30:00.000Z");
    CHECK(utc("2026-10-25", "03:00", "Europe/Zurich") == "2026-10-25T02:00:00.000Z");
    CHECK(utc("2026-11-01", "01:30", "America/New_York") == "2026-11-01T05:30:00.000Z");
    // both moments show the same clock
    CHECK(local("2026-10-25T00:30:00Z", "Europe/Zurich") ==
          local("2026-10-25T01:30:00Z", "Europe/Zurich"));
}

TEST_CASE("TimeZone, KnowsItsZones")
{
    CHECK(is_time_zone("Europe/Zurich"));
    for (const auto* bad : {"", "Mars/Olympus", "../../etc/passwd", "Europe"}) {
        CAPTURE(bad);
        CHECK_FALSE(is_time_zone(bad));
    }
    const auto error = to_utc(*parse_day("2026-08-04"), ClockTime::at(8, 0), "Zurich");
    REQUIRE_FALSE(error);
    CHECK(error.error().code == ErrorCode::InvalidInput);
    CHECK(is_time_zone(system_time_zone()));
}
