#include "geocore/nature/station_weather.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

constexpr Day kFirst{std::chrono::year{2025} / 6 / 1};

Day day(int number) { return kFirst + std::chrono::days{number}; }

StationSeries series(const char* name, double kilometres, std::optional<double> height, double low,
                     double high, const std::vector<int>& days)
{
    StationSeries out{name, Metres{kilometres * 1000}, std::nullopt, {}};
    if (height) {
        out.height = Metres{*height};
    }
    for (const int number : days) {
        out.days.push_back({day(number), {Celsius{low}, Celsius{high}}});
    }
    return out;
}

StationRules rules() { return station_rules(standard_taxa()); }

}  // namespace

TEST_CASE("StationWeather, WeighsByDistance")
{
    const std::vector stations{series("near", 1, 100, 10, 20, {0}),
                               series("far", 3, 100, 14, 24, {0})};
    const auto weather = weather_at(Metres{100}, stations, day(0), day(0), rules());
    REQUIRE(weather.stations.size() == 2);
    // (1 + 1)^-2 against (3 + 1)^-2: 4 to 1.
    CHECK(weather.stations[0].weight == Approx(0.8));
    CHECK(weather.stations[1].weight == Approx(0.2));
    REQUIRE(weather.days.size() == 1);
    CHECK(weather.days[0].range.minimum.value() == Approx(10.8));
    CHECK(weather.days[0].range.maximum.value() == Approx(20.8));
}

TEST_CASE("StationWeather, BringsReadingsToTheHeightOfThePlace")
{
    const std::vector stations{series("valley", 5, 100, 10, 20, {0})};
    const auto weather = weather_at(Metres{1100}, stations, day(0), day(0), rules());
    CHECK(weather.days[0].range.minimum.value() == Approx(10 - rules().lapse_minimum));
    CHECK(weather.days[0].range.maximum.value() == Approx(20 - rules().lapse_maximum));
    CHECK(weather.stations[0].climb->value() == 1000);
    CHECK(weather.notes.empty());
    const auto unknown = weather_at(std::nullopt, stations, day(0), day(0), rules());
    CHECK(unknown.days[0].range.maximum.value() == 20);
    CHECK(unknown.notes.size() == 1);
}

TEST_CASE("StationWeather, NeverTurnsADayUpsideDown")
{
    const std::vector stations{series("valley", 5, 0, 10, 11, {0})};
    const auto weather = weather_at(Metres{3000}, stations, day(0), day(0), rules());
    CHECK(weather.days[0].range.minimum <= weather.days[0].range.maximum);
}

TEST_CASE("StationWeather, ADayThatOneLacksIsTheOthers")
{
    const std::vector stations{series("a", 1, 0, 10, 20, {0, 2}),
                               series("b", 1, 0, 12, 22, {0, 1})};
    const auto weather = weather_at(Metres{0}, stations, day(0), day(2), rules());
    REQUIRE(weather.days.size() == 3);
    CHECK(weather.days[0].range.minimum.value() == Approx(11));
    CHECK(weather.days[1].range.minimum.value() == Approx(12));
    CHECK(weather.days[2].range.minimum.value() == Approx(10));
    CHECK(weather.gaps.empty());
    CHECK(weather.stations[0].days == 2);
}

TEST_CASE("StationWeather, NoStationNearIsSaid")
{
    const std::vector stations{series("far", 500, 0, 10, 20, {0})};
    const auto weather = weather_at(Metres{0}, stations, day(0), day(0), rules());
    CHECK(weather.days.empty());
    REQUIRE(weather.notes.size() == 1);
    CHECK(weather.notes[0].find("no station within") != std::string::npos);
}

TEST_CASE("StationWeather, GapsStayUntilFillingIsAskedForAndAreMarked")
{
    std::vector<int> days{0, 1, 4, 5, 20};
    const std::vector stations{series("a", 1, 0, 10, 20, days)};
    const auto weather = weather_at(Metres{0}, stations, day(0), day(20), rules());
    CHECK(weather.days.size() == 5);
    REQUIRE(weather.gaps.size() == 2);
    CHECK(weather.gaps[0] == DayGap{day(2), day(3)});
    CHECK(weather.gaps[1] == DayGap{day(6), day(19)});

    // Without normals only the short gap can be filled, evenly from side to side.
    auto uneven = stations;
    uneven[0].days[2].range = {Celsius{13}, Celsius{26}};
    const auto gappy = weather_at(Metres{0}, uneven, day(0), day(20), rules());
    const auto whole = filled(gappy, {}, rules());
    REQUIRE(whole.days.size() == 7);
    CHECK(whole.days[2].origin == Origin::FilledBetween);
    CHECK(whole.days[2].range.minimum.value() == Approx(11));
    CHECK(whole.days[3].range.maximum.value() == Approx(24));
    CHECK(whole.days[1].origin == Origin::Measured);
    CHECK(whole.gaps == std::vector{DayGap{day(6), day(19)}});

    // With normals the long one too.
    std::vector<PlaceDay> past;
    for (int i = 0; i < 365; ++i) {
        past.push_back({day(i - 365), {Celsius{8}, Celsius{18}}, Origin::Measured});
    }
    const auto normal = filled(gappy, range_normals(past, 7), rules());
    CHECK(normal.days.size() == 21);
    CHECK(normal.gaps.empty());
    CHECK(normal.days[10].origin == Origin::FilledNormal);
    CHECK(normal.days[10].range.minimum.value() == Approx(8));
}
