// The archive's own description of its daily files, field by field, against the reader. The columns
// below are copied from the description, not from the program.
//
// Source: Global Historical Climatology Network daily, readme.txt, section III ("VALUE1 22-26",
// ..., "SFLAG31 269-269") and section IV (list of stations); readme-by_station.txt for the form
// with one element a line. See docs/reference/weather-files.md for how they were read.
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "geocore/intake/weather.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

/// A line of blanks into which fields are put by the columns of the description.
class Line {
public:
    explicit Line(std::size_t width) : text_(width, ' ') {}

    Line& left(std::size_t first, std::size_t last, const std::string& value)
    {
        REQUIRE(value.size() <= last - first + 1);
        text_.replace(first - 1, value.size(), value);
        return *this;
    }
    Line& right(std::size_t first, std::size_t last, const std::string& value)
    {
        REQUIRE(value.size() <= last - first + 1);
        return left(last + 1 - value.size(), last, value);
    }
    [[nodiscard]] std::string text() const { return text_ + "\n"; }

private:
    std::string text_;
};

/// A month of one element; the value of day d is `value(d)`.
template <class Value>
std::string month(const std::string& element, Value value)
{
    Line line{269};
    line.left(1, 11, "ZZ000012345").left(12, 15, "2026").left(16, 17, "07").left(18, 21, element);
    // VALUE1 22-26 and VALUE2 30-34 to VALUE31 262-266: eight columns further each day.
    for (std::size_t day = 1; day <= 31; ++day) {
        const std::size_t first = 22 + (day - 1) * (30 - 22);
        line.right(first, first + 4, std::to_string(value(day)));
        line.left(first + 7, first + 7, "S");
    }
    return line.text();
}

std::filesystem::path write(const std::string& name, const std::string& text)
{
    const auto file =
        std::filesystem::temp_directory_path() / fmt::format("archive-{}-{}", getpid(), name);
    std::filesystem::remove(file);
    std::ofstream{file, std::ios::binary} << text;
    return file;
}

}  // namespace

TEST_CASE("Weather archive, EveryDayOfAFixedWidthLineStandsInItsColumns")
{
    REQUIRE(22 + 30 * (30 - 22) == 262);  // the description's own first and last
    const auto low = [](std::size_t day) { return static_cast<int>(day) * 7 - 150; };
    const auto high = [](std::size_t day) { return static_cast<int>(day) * 11 + 100; };
    const auto list = Line{85}
                          .left(1, 11, "ZZ000012345")
                          .right(13, 20, "-41.2086")
                          .right(22, 30, "-171.4321")
                          .right(32, 37, "-12.5")
                          .left(39, 40, "ZZ")
                          .left(42, 71, "A NAME OF THIRTY CHARACTERS AL")
                          .left(73, 75, "GSN")
                          .text();
    intake::WeatherOptions options;
    options.station_list = write("stations.txt", list);
    const auto file = write("x.dly", month("TMAX", high) + month("TMIN", low));
    const auto batch = intake::read_weather(file, options);
    CHECK(batch.refused.empty());
    CHECK(batch.gaps.empty());
    REQUIRE(batch.stations.size() == 1);
    const auto& [station, place_known, days, hours] = batch.stations[0];
    CHECK(hours.empty());
    CHECK(station.code == "ZZ000012345");
    CHECK(station.name == "A NAME OF THIRTY CHARACTERS AL");
    REQUIRE(place_known);
    CHECK(station.place == LonLat{Longitude{-171.4321}, Latitude{-41.2086}});
    CHECK(station.height == Metres{-12.5});
    REQUIRE(days.size() == 31);
    for (std::size_t day = 1; day <= 31; ++day) {
        CHECK(format_day(days[day - 1].day) == fmt::format("2026-07-{:02}", day));
        CHECK(days[day - 1].minimum.value() == Approx(low(day) / 10.0));
        CHECK(days[day - 1].maximum.value() == Approx(high(day) / 10.0));
    }
    std::filesystem::remove(file);
    std::filesystem::remove(*options.station_list);
}

TEST_CASE("Weather archive, EachQualityFlagIsTheThirdFieldOfItsDay")
{
    // MFLAG1 27-27, QFLAG1 28-28, SFLAG1 29-29: only the middle one throws a value out.
    const auto with_flag = [](std::size_t column) {
        auto line = month("TMAX", [](std::size_t) { return 200; });
        line[column - 1] = 'K';
        const auto file = write("flag.dly", line + month("TMIN", [](std::size_t) { return 100; }));
        const auto batch = intake::read_weather(file);
        std::filesystem::remove(file);
        return batch.refused.size();
    };
    CHECK(with_flag(27) == 0);
    CHECK(with_flag(28) == 1);
    CHECK(with_flag(29) == 0);
    CHECK(with_flag(268) == 1);  // QFLAG31
    CHECK(with_flag(269) == 0);  // SFLAG31
}

TEST_CASE("Weather archive, AnElementALineHasItsFieldsInOrder")
{
    // ID, YEAR/MONTH/DAY, ELEMENT, DATA VALUE, M-FLAG, Q-FLAG, S-FLAG, OBS-TIME; the description's
    // example of a date is 19860529 for 29 May 1986.
    const auto file = write("x.csv",
                            "ZZ000012345,19860529,TMAX,217,H,,S,0700\n"
                            "ZZ000012345,19860529,TMIN,-11,,,S,0700\n"
                            "ZZ000012345,19860530,TMAX,217,,X,S,0700\n");
    const auto batch = intake::read_weather(file);
    std::filesystem::remove(file);
    REQUIRE(batch.stations.size() == 1);
    REQUIRE(batch.stations[0].days.size() == 1);
    CHECK(format_day(batch.stations[0].days[0].day) == "1986-05-29");
    CHECK(batch.stations[0].days[0].maximum.value() == Approx(21.7));
    CHECK(batch.stations[0].days[0].minimum.value() == Approx(-1.1));
    CHECK(batch.refused.size() == 1);
}
