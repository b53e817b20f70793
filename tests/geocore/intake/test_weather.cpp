#include "geocore/intake/weather.hpp"

#include <fmt/format.h>

#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/layer_maker.hpp"
#include "tests/geocore/intake/scratch.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::tests;
using Catch::Contains;

namespace {

WeatherBatch read(std::string_view text, const WeatherOptions& options = {})
{
    const Scratch scratch;
    return read_weather(scratch.file("weather.csv", text), options);
}

Error failure(std::string_view text, const WeatherOptions& options = {})
{
    const Scratch scratch;
    const auto file = scratch.file("weather.csv", text);
    return failure_of([&] { return read_weather(file, options); });
}

Day day(const char* text) { return *parse_day(text); }

/// A fixed-width line: each value as 5 characters and three flags, days that are not given missing.
std::string fixed_line(const std::string& code, const std::string& month,
                       const std::string& element, const std::vector<std::string>& days)
{
    std::string line = code + month + element;
    for (std::size_t i = 0; i < 31; ++i) {
        line += i < days.size() ? days[i] : "-9999   ";
    }
    return line + "\n";
}

}  // namespace

TEST_CASE("Weather, ReadsATableInCelsius")
{
    const auto batch = read(
        "station,name,lon,lat,height_m,date,tmin_c,tmax_c\n"
        "S2,Tower,9.6,47.2,450,2026-05-01,4.5,15\n"
        "S1,Mill,9.5,47.1,,2026-05-02,-1.5,12.25\n"
        "S1,Mill,9.5,47.1,,2026-05-01,3,3\n");
    CHECK(batch.refused.empty());
    CHECK(batch.gaps.empty());
    REQUIRE(batch.stations.size() == 2);
    const auto& mill = batch.stations[0];
    CHECK(mill.station.code == "S1");
    CHECK(mill.station.name == "Mill");
    CHECK(mill.place_known);
    CHECK(mill.station.place == LonLat{Longitude{9.5}, Latitude{47.1}});
    CHECK_FALSE(mill.station.height);
    REQUIRE(mill.days.size() == 2);
    CHECK(mill.days[0].day == day("2026-05-01"));
    CHECK(mill.days[1].minimum == Celsius{-1.5});
    CHECK(mill.days[1].maximum == Celsius{12.25});
    CHECK(batch.stations[1].station.height->value() == 450);
}

TEST_CASE("Weather, FahrenheitIsConvertedByTheNameOfTheColumn")
{
    const auto batch = read("station,date,tmin_f,tmax_f\nS,2026-05-01,32,212.0\n");
    // boiling water is no weather
    REQUIRE(batch.refused.size() == 1);
    const auto fine = read("station,date,tmin_f,tmax_f\nS,2026-05-01,-40,77\n");
    REQUIRE(fine.stations.at(0).days.size() == 1);
    CHECK(fine.stations[0].days[0].minimum.value() == Approx(-40));
    CHECK(fine.stations[0].days[0].maximum.value() == Approx(25));
    const auto feet = read("station,height_ft,date,tmin_c,tmax_c\nS,1000,2026-05-01,1,2\n");
    CHECK(feet.stations.at(0).station.height->value() == Approx(304.8));
}

TEST_CASE("Weather, AUnitIsNamedOrTheFileIsRefused")
{
    const std::string text = "station,date,tmin,tmax\nS,2026-05-01,41,77\n";
    const auto error = failure(text);
    CHECK_THAT(error.message, Contains("'tmin' names no unit") && Contains("tmin_f"));
    WeatherOptions options;
    options.unit = temperature_unit("F");
    CHECK(read(text, options).stations.at(0).days.at(0).maximum.value() == Approx(25));
    options.unit = temperature_unit("tenths_c");
    CHECK(read(text, options).stations.at(0).days.at(0).maximum.value() == Approx(7.7));
    options.unit = TemperatureUnit::Celsius;
    CHECK(read(text, options).refused.size() == 1);  // 77 C
    CHECK_FALSE(temperature_unit("kelvin"));
    options.unit = TemperatureUnit::Fahrenheit;
    CHECK_THAT(failure("station,date,tmin_c,tmax_c\nS,2026-05-01,1,2\n", options).message,
               Contains("another unit"));
    CHECK_THAT(failure("station,date,tmin_c,tmin_f,tmax_c\nS,2026-05-01,1,2,3\n").message,
               Contains("keep one"));
}

TEST_CASE("Weather, MinimumAboveMaximumIsRefusedByLine")
{
    const auto batch = read(
        "station,date,tmin_c,tmax_c\n"
        "S,2026-05-01,5,15\n"
        "S,2026-05-02,41,15\n"
        "S,2026-05-03,5,15\n");
    REQUIRE(batch.refused.size() == 1);
    CHECK(batch.refused[0].row == 3);
    CHECK_THAT(batch.refused[0].reason, Contains("minimum 41 C is above maximum 15 C"));
    CHECK_THAT(batch.refused[0].way_out, Contains("wrong unit"));
    // What was refused is missing, and said to be.
    CHECK(batch.gaps == std::vector{WeatherGap{"S", day("2026-05-02"), day("2026-05-02")}});
    CHECK(batch.stations.at(0).days.size() == 2);
}

TEST_CASE("Weather, AbsurdValuesAreRefused")
{
    const auto batch = read(
        "station,date,tmin_c,tmax_c\n"
        "S,2026-05-01,-90.1,15\nS,2026-05-02,5,60.1\nS,2026-05-03,nan,15\n"
        "S,2026-05-04,-90,60\nS,2026-02-29,1,2\nS,,1,2\n,2026-05-05,1,2\n");
    CHECK(batch.stations.at(0).days.size() == 1);
    REQUIRE(batch.refused.size() == 6);
    const std::vector<std::string> reasons{"outside -90 to 60", "outside",  "not a number",
                                           "not a date",        "is empty", "is empty"};
    for (std::size_t i = 0; i < reasons.size(); ++i) {
        CHECK_THAT(batch.refused[i].text(), Contains(reasons[i]));
    }
    CHECK(batch.refused[5].column == "station");
}

TEST_CASE("Weather, GapsAreNamedAndNeverFilled")
{
    const auto batch = read(
        "station,date,tmin_c,tmax_c\n"
        "A,2024-02-27,1,2\nA,2024-02-28,1,2\nA,2024-03-01,1,2\n"
        "A,2024-03-05,,2\nA,2024-03-06,1,2\n"
        "B,2024-02-27,1,2\n");
    CHECK(batch.gaps == std::vector{WeatherGap{"A", day("2024-02-29"), day("2024-02-29")},
                                    WeatherGap{"A", day("2024-03-02"), day("2024-03-05")}});
    CHECK(batch.stations.at(0).days.size() == 4);
    REQUIRE_FALSE(batch.notes.empty());
    CHECK_THAT(batch.notes[0], Contains("1 days have only a minimum or only a maximum"));
}

TEST_CASE("Weather, ADayThatStandsTwiceIsReported")
{
    const auto batch = read(
        "station,date,tmin_c,tmax_c\n"
        "S,2026-05-01,5,15\nS,2026-05-01,5,15\nS,2026-05-01,5,16\n");
    REQUIRE(batch.stations.at(0).days.size() == 1);
    CHECK(batch.stations[0].days[0].maximum == Celsius{15});
    REQUIRE(batch.refused.size() == 1);
    CHECK_THAT(batch.refused[0].text(),
               Contains("row 4") && Contains("16 C here") && Contains("15 C on line 2"));
    CHECK_THAT(batch.notes.at(0), Contains("3 readings stand twice"));
}

TEST_CASE("Weather, AFileOfOneStationMayLeaveItsNameToTheOption")
{
    const std::string text = "date,tmin_c,tmax_c\n2026-05-01,1,2\n";
    CHECK_THAT(failure(text).message, Contains("no column station"));
    WeatherOptions options;
    options.station = "mill";
    options.place = LonLat{Longitude{9.5}, Latitude{47.1}};
    options.height = Metres{450};
    const auto batch = read(text, options);
    CHECK(batch.stations.at(0).station.code == "mill");
    CHECK(batch.stations[0].place_known);
    CHECK(batch.stations[0].station.place.lat.value() == 47.1);
    CHECK(batch.stations[0].station.height->value() == 450);
    CHECK(
        failure("station,date,tmin_c,tmax_c\nA,2026-05-01,1,2\nB,2026-05-01,1,2\n", options).code ==
        ErrorCode::BadUsage);
}

TEST_CASE("Weather, ReadsTheFixedWidthArchive")
{
    const std::string code = "ZZ000000001";
    const auto batch =
        read(fixed_line(code, "202602", "TMAX",
                        {"  100  S", " -250  S", "  120  S", "-9999   ", "  130 IS", "  140H S"}) +
             fixed_line(code, "202602", "TMIN",
                        {"  -15  S", " -300  S", "  130  S", "    0  S", "   10  S", "   20  S"}) +
             fixed_line(code, "202602", "PRCP", {"    0T S"}));
    CHECK_THAT(batch.format, Contains("fixed width"));
    REQUIRE(batch.stations.size() == 1);
    CHECK(batch.stations[0].station.code == code);
    CHECK_FALSE(batch.stations[0].place_known);
    CHECK_THAT(fmt::format("{}", fmt::join(batch.notes, "|")),
               Contains("does not say where station ZZ000000001 is"));
    const auto& days = batch.stations[0].days;
    REQUIRE(days.size() == 3);
    CHECK(days[0].minimum == Celsius{-1.5});
    CHECK(days[0].maximum == Celsius{10});
    CHECK(days[1].minimum == Celsius{-30});
    CHECK(days[1].maximum == Celsius{-25});
    CHECK(days[2].day == day("2026-02-06"));
    CHECK(batch.gaps == std::vector{WeatherGap{code, day("2026-02-03"), day("2026-02-05")}});
    REQUIRE(batch.refused.size() == 2);
    CHECK_THAT(batch.refused[0].text(),
               Contains("row 1, column VALUE5") && Contains("quality flag I"));
    CHECK_THAT(batch.refused[1].text(), Contains("minimum 13 C is above maximum 12 C"));
}

TEST_CASE("Weather, AFixedWidthFileMayBeDamaged")
{
    const std::string code = "ZZ000000001";
    // 30 February; a word for a number; a line of something else; a line cut short.
    std::vector<std::string> days(30, "-9999   ");
    days[29] = "  100  S";
    const auto batch =
        read(fixed_line(code, "202602", "TMAX", days) +
             fixed_line(code, "202602", "TMIN", {"  abc  S"}) + "<html>sorry</html>\n" +
             fixed_line(code, "202603", "TMIN", {"   10  S"}).substr(0, 26) + "\n" +
             fixed_line(code, "202603", "TMAX", {"   20  S"}));
    REQUIRE(batch.refused.size() == 3);
    CHECK_THAT(batch.refused[0].text(), Contains("row 1, column VALUE30: 202602 has no day 30"));
    CHECK_THAT(batch.refused[1].text(), Contains("row 2, column VALUE1: 'abc'"));
    CHECK_THAT(batch.refused[2].text(), Contains("row 3: does not begin with"));
    REQUIRE(batch.stations.at(0).days.size() == 1);
    CHECK(batch.stations[0].days[0].minimum == Celsius{1});
    WeatherOptions fahrenheit;
    fahrenheit.unit = TemperatureUnit::Fahrenheit;
    CHECK_THAT(failure(fixed_line(code, "202602", "TMIN", {}), fahrenheit).message,
               Contains("tenths of a degree"));
}

TEST_CASE("Weather, ReadsTheArchiveWithAnElementALine")
{
    const std::string rows =
        "ZZ000000001,20260501,TMAX,150,,,S,0700\n"
        "ZZ000000001,20260501,TMIN,-22,,,S,0700\n"
        "ZZ000000001,20260501,PRCP,0,T,,S,\n"
        "ZZ000000001,20260502,TMAX,150,,G,S,\n"
        "ZZ000000001,20260502,TMIN,10,,,S\n"
        "ZZ000000001,20260532,TMIN,10,,,S,\n"
        "ZZ000000001,20260503,TMIN,x,,,S,\n";
    for (const auto& head : {std::string{}, std::string{"ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,"
                                                        "S_FLAG,OBS_TIME\n"}}) {
        const auto batch = read(head + rows);
        CHECK_THAT(batch.format, Contains("an element a line"));
        REQUIRE(batch.stations.at(0).days.size() == 1);
        CHECK(batch.stations[0].days[0].minimum == Celsius{-2.2});
        CHECK(batch.stations[0].days[0].maximum == Celsius{15});
        REQUIRE(batch.refused.size() == 3);
        CHECK_THAT(batch.refused[0].reason, Contains("quality flag G"));
        CHECK_THAT(batch.refused[1].reason, Contains("not a date"));
        CHECK_THAT(batch.refused[2].reason, Contains("not a number"));
    }
}

TEST_CASE("Weather, ReadsTheArchiveWithADayALine")
{
    const std::string text =
        "\"STATION\",\"DATE\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"NAME\",\"PRCP\","
        "\"PRCP_ATTRIBUTES\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n"
        "\"ZZ000000001\",\"2026-05-01\",\"47.1\",\"9.5\",\"450.2\",\"MILL, ZZ\",\"    0\",\"T,,S\","
        "\"  150\",\",,S\",\"  -22\",\",,S\"\n"
        "\"ZZ000000001\",\"2026-05-02\",\"47.1\",\"9.5\",\"450.2\",\"MILL, ZZ\",\"    0\",\",,S\","
        "\"  150\",\"H,I,S,2400\",\"   10\",\",,S\"\n"
        "\"ZZ000000001\",\"2026-05-03\",\"47.1\",\"9.5\",\"-999.9\",\"MILL, ZZ\",\"\",\"\",\"\","
        "\"\",\"\",\"\"\n";
    CHECK_THAT(failure(text).message, Contains("'TMIN' names no unit"));
    WeatherOptions options;
    options.unit = TemperatureUnit::TenthsOfCelsius;
    const auto batch = read(text, options);
    const auto& series = batch.stations.at(0);
    CHECK(series.station.name == "MILL, ZZ");
    CHECK(series.station.place == LonLat{Longitude{9.5}, Latitude{47.1}});
    CHECK(series.station.height->value() == 450.2);
    REQUIRE(series.days.size() == 1);
    CHECK(series.days[0].minimum == Celsius{-2.2});
    REQUIRE(batch.refused.size() == 1);
    CHECK_THAT(batch.refused[0].text(), Contains("column TMAX") && Contains("quality flag I"));
}

TEST_CASE("Weather, TheArchivesListSaysWhereAStationIs")
{
    const Scratch scratch;
    const std::string code = "ZZ000000001";
    WeatherOptions options;
    // Columns 1-11, 13-20, 22-30, 32-37, 39-40, 42-71.
    options.station_list = scratch.file(
        "stations.txt", "YY000000001  10.0000   20.0000    1.0    OTHER\n" +
                            fmt::format("{} {:8.4f} {:9.4f} {:6.1f} {:2} {:30}\n", code, -41.1234,
                                        -171.4321, 12.5, "", "HARBOUR"));
    const auto file = scratch.file("x.dly", fixed_line(code, "202602", "TMAX", {"  100  S"}) +
                                                fixed_line(code, "202602", "TMIN", {"   50  S"}));
    const auto batch = read_weather(file, options);
    REQUIRE(batch.stations.size() == 1);
    CHECK(batch.stations[0].place_known);
    CHECK(batch.stations[0].station.place == LonLat{Longitude{-171.4321}, Latitude{-41.1234}});
    CHECK(batch.stations[0].station.height->value() == 12.5);
    CHECK(batch.stations[0].station.name == "HARBOUR");
}

TEST_CASE("Weather, ReadsPackedText")
{
    const Scratch scratch;
    const auto packed = scratch.path("w.csv.gz");
    const std::string text = "station,date,tmin_c,tmax_c\nS,2026-05-01,1,2\n";
    auto* out = VSIFOpenL(("/vsigzip/" + packed.string()).c_str(), "wb");
    REQUIRE(out != nullptr);
    VSIFWriteL(text.data(), 1, text.size(), out);
    VSIFCloseL(out);
    CHECK(read_weather(packed).stations.at(0).days.size() == 1);
    const auto bad = scratch.file("bad.csv.gz", "not packed at all");
    CHECK(failure_of([&] { return read_weather(bad); }).code == ErrorCode::InvalidInput);
}

TEST_CASE("Weather, AFileOfSomethingElseSaysWhatIsMissing")
{
    CHECK_THAT(failure("lon,lat,received\n1,2,2026-08-04\n").message, Contains("no column date"));
    CHECK_THAT(failure("station,date\nS,2026-08-04\n").message, Contains("no column tmin_c"));
    CHECK_THAT(failure("").message, Contains("is empty"));
    const Scratch scratch;
    CHECK(failure_of([&] { return read_weather(scratch.path("none.dly")); }).code ==
          ErrorCode::NotFound);
}
