#include "geocore/nature/climate_normals.hpp"

#include <cmath>
#include <numbers>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

constexpr Day kFirst{std::chrono::year{2000} / 1 / 1};

double wave(Day day)
{
    return 15 - 12 * std::cos(2 * std::numbers::pi * (day_of_year(day) - 20) / 365.25);
}

/// Years of days that hang together, about a yearly wave.
std::vector<DatedValue> years_of(Random& random, int years, double deviation, double persistence,
                                 double of_year = 0)
{
    std::vector<DatedValue> out;
    double state = 0;
    double whole = 0;
    for (Day day = kFirst; day < Day{std::chrono::year{2000 + years} / 1 / 1};
         day += std::chrono::days{1}) {
        if (day_of_year(day) == 1) {
            whole = random.normal(0, of_year);
        }
        state = persistence * state +
                std::sqrt(1 - persistence * persistence) * random.normal(0, deviation);
        out.push_back({day, wave(day) + state + whole});
    }
    return out;
}

}  // namespace

TEST_CASE("ClimateNormals, FindTheWaveTheSpreadAndThePersistence")
{
    Random random{5};
    const auto values = years_of(random, 40, 3, 0.7);
    const auto normals = DayNormals::make(values, 7);
    for (int at = 0; at < 365; at += 30) {
        const Day day = Day{std::chrono::year{2001} / 1 / 1} + std::chrono::days{at};
        const auto normal = normals.on(day);
        REQUIRE(normal.has_value());
        CAPTURE(at);
        CHECK(normal->mean == Approx(wave(day)).margin(0.8));
        CHECK(normal->deviation == Approx(3).margin(0.6));
        CHECK(normal->years >= 40);
    }
    CHECK(normals.persistence() == Approx(0.7).margin(0.04));
}

TEST_CASE("ClimateNormals, ADayThatNothingLiesNearHasNone")
{
    std::vector<DatedValue> june;
    for (int i = 0; i < 30; ++i) {
        june.push_back({Day{std::chrono::year{2025} / 6 / 1} + std::chrono::days{i}, 5});
    }
    const auto normals = DayNormals::make(june, 7);
    CHECK(normals.on(Day{std::chrono::year{2026} / 6 / 15}).has_value());
    CHECK_FALSE(normals.on(Day{std::chrono::year{2026} / 9 / 15}).has_value());
    CHECK_FALSE(tail_of(normals, Day{std::chrono::year{2026} / 6 / 15},
                        Day{std::chrono::year{2026} / 9 / 15}, 0)
                    .has_value());
    CHECK_FALSE(tail_of(normals, Day{std::chrono::year{2026} / 6 / 15},
                        Day{std::chrono::year{2026} / 6 / 14}, 0)
                    .has_value());
}

TEST_CASE("ClimateNormals, LeapDayCountsAsTheDayBefore")
{
    std::vector<DatedValue> values;
    for (Day day{std::chrono::year{2023} / 1 / 1}; day < Day{std::chrono::year{2024} / 1 / 1};
         day += std::chrono::days{1}) {
        values.push_back({day, static_cast<double>(day_of_year(day))});
    }
    const auto normals = DayNormals::make(values, 0);
    CHECK(normals.on(Day{std::chrono::year{2024} / 2 / 29})->mean == 59);
    CHECK(normals.on(Day{std::chrono::year{2024} / 3 / 1})->mean == 60);
    CHECK(normals.on(Day{std::chrono::year{2024} / 12 / 31})->mean == 365);
}

TEST_CASE("ClimateNormals, EightTailsInTenLieWithinTheSpread")
{
    // Twelve years each time: eleven to learn from, the sum of 90 days of the twelfth to find.
    Random random{6};
    int inside = 0;
    int below = 0;
    constexpr int kTrials = 400;
    for (int trial = 0; trial < kTrials; ++trial) {
        const auto values = years_of(random, 12, 3, 0.7, 0.9);
        const Day last{std::chrono::year{2011} / 1 / 1};
        std::vector<DatedValue> past;
        double sum = 0;
        const Day from{std::chrono::year{2011} / 5 / 1};
        for (const auto& one : values) {
            if (one.day < last) {
                past.push_back(one);
            }
            sum += one.day >= from && one.day < from + std::chrono::days{90} ? one.value : 0;
        }
        const auto tail =
            tail_of(DayNormals::make(past, 7), from, from + std::chrono::days{89}, 0.9);
        REQUIRE(tail.has_value());
        inside += sum >= tail->sum.low && sum <= tail->sum.high ? 1 : 0;
        below += sum < tail->sum.middle ? 1 : 0;
    }
    CHECK(inside >= kTrials * 0.74);
    CHECK(inside <= kTrials * 0.92);
    CHECK(below >= kTrials * 0.42);
    CHECK(below <= kTrials * 0.58);
}

TEST_CASE("ClimateNormals, ALongerTailIsWiderAndFewerYearsToo")
{
    Random random{7};
    const auto values = years_of(random, 10, 3, 0.7);
    const auto many = DayNormals::make(values, 7);
    const Day from{std::chrono::year{2015} / 6 / 1};
    const auto width = [&](const DayNormals& normals, int days) {
        const auto tail = tail_of(normals, from, from + std::chrono::days{days - 1}, 0.9);
        return tail->sum.high - tail->sum.low;
    };
    CHECK(width(many, 60) > width(many, 10));
    CHECK(width(many, 10) > 0);
    auto one_year = values;
    one_year.resize(366);
    CHECK(width(DayNormals::make(one_year, 7), 60) > width(many, 60));
}
