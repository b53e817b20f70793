#include "geocore/base/calendar.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace std::chrono_literals;

TEST_CASE("Calendar, ReadsAndWritesDays")
{
    const Day day = *parse_day("2024-02-29");
    CHECK(format_day(day) == "2024-02-29");
    CHECK(day_of_year(day) == 60);
    CHECK(year_of(day) == 2024);
    // 29 February 2024 was a Thursday.
    CHECK(format_day_long(day) == "Thursday 29 February 2024");
}

TEST_CASE("Calendar, RefusesDaysThatDoNotExist")
{
    for (const char* text : {"2023-02-29", "2024-13-01", "2024-1-1", "24-01-01", "", "today"}) {
        CAPTURE(text);
        const auto day = parse_day(text);
        REQUIRE_FALSE(day);
        CHECK(day.error().code == ErrorCode::InvalidInput);
    }
}

TEST_CASE("Calendar, ReadsMomentsWithOffset")
{
    // 08:30 two hours east of Greenwich is 06:30 UTC.
    CHECK(format_instant(*parse_instant("2026-08-04T08:30:00+02:00")) ==
          "2026-08-04T06:30:00.000Z");
    CHECK(format_instant(*parse_instant("2026-08-04T06:30:00.250Z")) == "2026-08-04T06:30:00.000Z");
    CHECK(*parse_instant("2026-08-04") == Instant{*parse_day("2026-08-04")});
    CHECK_FALSE(parse_instant("2026-08-04T06:30:00"));
    CHECK_FALSE(parse_instant("2026-08-04T25:30:00Z"));
}

TEST_CASE("Calendar, RefusesMomentsThatTheOffsetCarriesOutOfRange")
{
    CHECK_FALSE(parse_instant("0001-01-01T00:00:00+00:01"));
    CHECK_FALSE(parse_instant("9999-12-31T23:59:59-00:01"));
    CHECK(format_instant(*parse_instant("0001-01-01T00:00:00Z")) == "0001-01-01T00:00:00.000Z");
    CHECK(format_instant(*parse_instant("9999-12-31T23:59:59Z")) == "9999-12-31T23:59:59.000Z");
}

TEST_CASE("Calendar, ClockTimesRoundToTheNearestMinute")
{
    CHECK(*parse_clock("7:05") == ClockTime::at(7, 5));
    CHECK(format_clock(ClockTime{7h + 5min + 29s}) == "07:05");
    CHECK(format_clock(ClockTime{7h + 5min + 30s}) == "07:06");
    CHECK_FALSE(parse_clock("7.05"));
    CHECK_FALSE(parse_clock("48:01"));
    CHECK(format_clock_span(*parse_clock_span("08:00-12:30")) == "08:00-12:30");
    CHECK_FALSE(parse_clock_span("12:00-08:00"));
}
