#include "geocore/nature/season_heat.hpp"

#include <cmath>
#include <numbers>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

/// Days of a plain yearly wave; `warmer` is added in `year`'s season, `frost` is its first frost by
/// day of the season (0: never), in other seasons it is on day 290.
std::vector<PlaceDay> history(Latitude latitude, int year, double warmer, double frost, Day until)
{
    std::vector<PlaceDay> days;
    for (Day day{std::chrono::year{2022} / 1 / 1}; day <= until; day += std::chrono::days{1}) {
        const int season = season_of(day, latitude);
        const double at = season_day(day, latitude, season);
        const double mean = 12 - 8 * std::cos(2 * std::numbers::pi * (at - 20) / 365.25) +
                            (season == year ? warmer : 0);
        double low = std::max(0.5, mean - 5);
        const double first = season == year ? frost : 290;
        if (first > 0 && at >= first) {
            low = -1;
        }
        days.push_back({day, {Celsius{low}, Celsius{std::max(low, mean + 5)}}, Origin::Measured});
    }
    return days;
}

const Latitude kNorth{41};
const Latitude kSouth{-41};
constexpr Day kLate{std::chrono::year{2025} / 12 / 31};

}  // namespace

TEST_CASE("SeasonHeat, IsOffUnlessAskedFor")
{
    const auto shift =
        season_shift(standard_taxa(), {}, history(kNorth, 2025, 3, 300, kLate), kNorth, 2025);
    CHECK(shift.start == Spread<double>{});
    CHECK(shift.end == Spread<double>{});
    CHECK(shift.words.empty());
    CHECK_FALSE(HeatSettings{}.any());
}

TEST_CASE("SeasonHeat, AWarmSpringIsEarlierByAnAssumptionThatSaysSo")
{
    const auto& table = standard_taxa();
    for (const auto latitude : {kNorth, kSouth}) {
        const auto until = latitude == kNorth ? kLate : Day{std::chrono::year{2025} / 6 / 29};
        const auto shift = season_shift(table, {true, false},
                                        history(latitude, 2025, 2, 290, until), latitude, 2025);
        CAPTURE(latitude.value());
        CHECK(shift.start.middle == Approx(-6).margin(0.2));
        CHECK(shift.start.low < shift.start.middle);
        CHECK(shift.start.high == Approx(0).margin(1e-9));
        CHECK(shift.end == Spread<double>{});
        REQUIRE(shift.words.size() == 1);
        CHECK(shift.words[0].find("warmer") != std::string::npos);
        CHECK(shift.words[0].find("assumption") != std::string::npos);
    }
    const auto cold =
        season_shift(table, {true, false}, history(kNorth, 2025, -2, 290, kLate), kNorth, 2025);
    CHECK(cold.start.middle == Approx(6).margin(0.2));
    CHECK(cold.start.low <= cold.start.middle);
    // No season is moved by more than the table allows.
    const auto hot =
        season_shift(table, {true, false}, history(kNorth, 2025, 30, 290, kLate), kNorth, 2025);
    CHECK(hot.start.low == -table.figure("all", "heat.shift_most")->middle());
}

TEST_CASE("SeasonHeat, AnEarlyFrostEndsTheSeasonEarlier")
{
    const auto& table = standard_taxa();
    const auto by = [&](double frost, Day until) {
        return season_shift(table, {false, true}, history(kNorth, 2025, 0, frost, until), kNorth,
                            2025);
    };
    CHECK(by(270, kLate).end.middle == Approx(-6).margin(0.1));
    CHECK(by(310, kLate).end.middle == Approx(6).margin(0.1));
    // Not yet frozen, and past the usual day: later by at least that much.
    const auto still = by(0, Day{std::chrono::year{2025} / 11 / 6});  // day 310
    CHECK(still.end.middle == Approx(6).margin(0.1));
    CHECK(still.words[0].find("not yet") != std::string::npos);
    const auto summer = by(290, Day{std::chrono::year{2025} / 7 / 1});
    CHECK(summer.end == Spread<double>{});
    CHECK(summer.words[0].find("too early") != std::string::npos);
}

TEST_CASE("SeasonHeat, WithoutOtherYearsNothingMoves")
{
    std::vector<PlaceDay> year;
    for (const auto& day : history(kNorth, 2025, 4, 270, kLate)) {
        if (day.day >= Day{std::chrono::year{2025} / 1 / 1}) {
            year.push_back(day);
        }
    }
    const auto shift = season_shift(standard_taxa(), {true, true}, year, kNorth, 2025);
    CHECK(shift.start == Spread<double>{});
    CHECK(shift.end == Spread<double>{});
    CHECK(shift.words.size() == 2);
}

TEST_CASE("SeasonHeat, ShiftGoesEvenlyFromStartToEnd")
{
    SeasonShift shift;
    shift.start.middle = -6;
    shift.end.middle = 4;
    CHECK(shift.on(50, 100, 300) == -6);
    CHECK(shift.on(200, 100, 300) == Approx(-1));
    CHECK(shift.on(400, 100, 300) == 4);
}

// Published limits: flights at about 0 to 40 C (V. germanica, V. vulgaris, V. crabro; Austria); V.
// vulgaris did not leave the nest at 2 C.
TEST_CASE("SeasonHeat, FlightByThePublishedLimits")
{
    const auto& table = standard_taxa();
    const DayRange summer{Celsius{14}, Celsius{27}};
    for (const auto* taxon : {"VGER", "VVUL", "VCRA", "DMAC", "PFUS", ""}) {
        CHECK(flight_share(table, taxon, summer) == 1);
        CHECK(flight_share(table, taxon, {Celsius{-12}, Celsius{-3}}) == 0);
        CHECK(flight_share(table, taxon, {Celsius{41}, Celsius{46}}) == 0);
    }
    CHECK(flight_share(table, "VGER", {Celsius{-5}, Celsius{5}}) == Approx(0.5));
    CHECK(flight_share(table, "VGER", {Celsius{0.5}, Celsius{1.9}}) == 1);
    CHECK(flight_share(table, "VVUL", {Celsius{0.5}, Celsius{1.9}}) == 0);
}
