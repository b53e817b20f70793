#include "geocore/intake/habitat_log.hpp"

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::intake;
using nestround::test::Folder;

namespace {

LogBatch log_of(const std::string& text, const LogOptions& options = {})
{
    const Folder folder;
    return read_habitat_log(folder.write("log.csv", text), options);
}

Error error_in(const std::string& text, const LogOptions& options = {})
{
    try {
        (void)log_of(text, options);
    } catch (const Failure& failure) {
        return failure.error();
    }
    return {ErrorCode::Internal, "no failure", ""};
}

}  // namespace

TEST_CASE("HabitatLog, ReadsPlainColumns")
{
    const auto log = log_of(
        "time,temperature_c,humidity_percent\n"
        "2026-08-20T14:00:00Z,29.5,61\n"
        "2026-08-20T15:00:00+02:00,30.5,\n");
    REQUIRE(log.readings.size() == 2);
    CHECK(format_instant(log.readings[0].at) == "2026-08-20T13:00:00.000Z");
    CHECK(log.readings[0].temperature == Celsius{30.5});
    CHECK_FALSE(log.readings[0].humidity);
    CHECK(log.readings[1].humidity == Fraction{0.61});
    CHECK(log.refused.empty());
}

TEST_CASE("HabitatLog, ReadsWhatLoggersWrite")
{
    // Lines above the heading, a number first, Fahrenheit, an American date with PM.
    const auto us = log_of(
        "Plot Title: warm box\nSerial,20194\n"
        "#,\"Date Time, GMT-04:00\",\"Temp, \xC2\xB0"
        "F\",\"RH, %\"\n"
        "1,08/20/26 02:00:00 PM,86.0,55\n"
        "2,08/20/26 12:30:00 AM,77.0,57\n",
        {"America/New_York", DateOrder::ByFile, false});
    REQUIRE(us.readings.size() == 2);
    CHECK(format_instant(us.readings[1].at) == "2026-08-20T18:00:00.000Z");
    CHECK(us.readings[1].temperature.value() == Approx(30));
    CHECK(format_instant(us.readings[0].at) == "2026-08-20T04:30:00.000Z");
    // Semicolons, decimal commas, dots in dates, day and time apart.
    const auto eu = log_of(
        "Datum (Date);Time;Temperature(\xC2\xB0"
        "C);Humidity(%rh)\n"
        "03.08.2026;14:00;29,5;60,5\n"
        "03.08.2026;15:00;29,8;60,1\n");
    REQUIRE(eu.readings.size() == 2);
    CHECK(format_instant(eu.readings[0].at) == "2026-08-03T14:00:00.000Z");
    CHECK(eu.readings[0].temperature.value() == Approx(29.5));
    CHECK(eu.readings[0].humidity->value() == Approx(0.605));
}

TEST_CASE("HabitatLog, PassesOverLinesAboveTheHeadingAndKeepsTheNumbersOfRows")
{
    const auto log =
        log_of("Logger 7\n\nDate/Time;Temperature (C)\n20.08.2025 00:00;20,5\n20.08.2025;21\n");
    REQUIRE(log.readings.size() == 1);
    CHECK(log.readings[0].temperature.value() == Approx(20.5));
    REQUIRE(log.refused.size() == 1);
    CHECK(log.refused[0].row == 5);
}

TEST_CASE("HabitatLog, AsksWhenTheOrderOfDayAndMonthStaysOpen")
{
    const std::string text = "date,temp\n3/8/2026 14:00,29\n4/8/2026 14:00,29\n";
    CHECK_THAT(error_in(text).message, Catch::Contains("--dates"));
    CHECK(format_instant(log_of(text, {"UTC", DateOrder::DayFirst, false}).readings[0].at) ==
          "2026-08-03T14:00:00.000Z");
    CHECK(format_instant(log_of(text, {"UTC", DateOrder::MonthFirst, false}).readings[0].at) ==
          "2026-03-08T14:00:00.000Z");
    // One day above twelve tells it for all.
    CHECK(format_instant(
              log_of("date,temp\n3/8/2026 14:00,29\n23/8/2026 14:00,29\n").readings[0].at) ==
          "2026-08-03T14:00:00.000Z");
}

TEST_CASE("HabitatLog, TellsGapsAndTwins")
{
    const auto log = log_of(
        "time,temp\n2026-08-20 10:00,29\n2026-08-20 12:59,30\n2026-08-20 17:00,31\n"
        "2026-08-20 17:00,33\n");
    REQUIRE(log.gaps.size() == 1);
    CHECK(format_instant(log.gaps[0].from) == "2026-08-20T12:59:00.000Z");
    CHECK(log.readings.size() == 3);
    CHECK(log.readings.back().temperature == Celsius{31});
    CHECK(log.notes.size() == 1);
}

TEST_CASE("HabitatLog, RefusesWhatItCannotRead")
{
    const auto log = log_of(
        "time,temp\n2026-08-20 10:00,29\n2026-02-30 10:00,29\n2026-08-20 25:00,29\n"
        "2026-08-20 11:00,warm\n2026-08-20 12:00,\n2026-08-20 13:00,140\n");
    CHECK(log.readings.size() == 1);
    REQUIRE(log.refused.size() == 4);
    CHECK(log.refused[0].row == 3);
    CHECK_THAT(log.refused[3].way_out, Catch::Contains("--fahrenheit"));
    CHECK_THAT(error_in("time,temp\n2026-08-20 10:00,51\n2026-08-20 11:00,52\n").message,
               Catch::Contains("--fahrenheit"));
    CHECK(log_of("time,temp\n2026-08-20 10:00,51\n", {"UTC", DateOrder::ByFile, true})
              .readings[0]
              .temperature.value() == Approx(10.556).margin(0.001));
    CHECK_THAT(error_in("when,degrees\n1,2\n").message, Catch::Contains("time,temperature_c"));
    CHECK_THROWS_AS(read_habitat_log("/nowhere/log.csv", {}), Failure);
}
