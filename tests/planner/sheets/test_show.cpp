#include "planner/sheets/show.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

Spread<Grams> grams_of(double low, double middle, double high)
{
    return {Grams{low}, Grams{middle}, Grams{high}};
}

double read_number(std::string text)
{
    std::erase(text, ',');
    return std::stod(text);
}

}  // namespace

TEST_CASE("Numbers, HaveCommasAndNoNeedlessDigits")
{
    CHECK(number(1873) == "1,873");
    CHECK(number(1234567) == "1,234,567");
    CHECK(number(999.6) == "1,000");
    CHECK(number(-12345) == "-12,345");
    CHECK(number(-0.2) == "0");
    CHECK(number(2.5, 0.1) == "2.5");
    CHECK(number(3.0, 0.1) == "3");
    CHECK(number(1234.56, 0.1) == "1,234.6");
    CHECK(number(873, 50) == "850");
    CHECK(number(std::nan("")) == "not known");
}

TEST_CASE("About, KeepsTwoFiguresOfALoneNumber")
{
    CHECK(about(1873) == "about 1,900");
    CHECK(about(42) == "about 42");
    CHECK(about(7.2) == "7");
    CHECK(about(0.2) == "none");
    CHECK(about(std::numeric_limits<double>::infinity()) == "not known");
}

TEST_CASE("About, ShowsAForecastToTwoFigures")
{
    CHECK(about({1104, 1873, 2950}, "workers") == "about 1,900 workers (1,100 to 3,000)");
    CHECK(about(grams_of(4.2, 17.8, 48.4)) == "about 18 g (4 to 48)");
    CHECK(about(grams_of(0, 0, 0)) == "none");
    CHECK(about(grams_of(0, 0.2, 0.4)) == "under 1 g");
    CHECK(about(grams_of(0, 1.2, 3)) == "about 1 g (0 to 3)");
    CHECK(bounds_of(grams_of(25, 42, 70)) == "25-70");
    CHECK(middle_of(grams_of(25, 42, 70)) == "42");
    CHECK(about(grams_of(1, std::nan(""), 3)) == "not known");
}

TEST_CASE("About, StaysWithinAFewPerCentOfTheForecast")
{
    Random random{2026};
    for (int k = 0; k < 5000; ++k) {
        const double value = std::exp(random.uniform(-2, 12));
        const std::string shown = middle_of(grams_of(0, value, value));
        INFO(value << " shown as " << shown);
        CHECK(std::abs(read_number(shown) - value) <= std::max(0.5, 0.05 * value) + 1e-9);
        // No more than two figures that are not zero.
        std::string figures = shown;
        std::erase(figures, ',');
        CHECK(figures.find_last_not_of('0') + 1 <= 2);
    }
}

TEST_CASE("Durations, AreHoursAndMinutes")
{
    using namespace std::chrono_literals;
    CHECK(duration(65min) == "1 h 05");
    CHECK(duration(45min) == "45 min");
    CHECK(duration(59min + 40s) == "1 h 00");
    CHECK(duration(29s) == "under 1 min");
    CHECK(duration(0s) == "none");
    CHECK(duration(-5s) == "none");
}

TEST_CASE("Distances, AreWhatADriverCanUse")
{
    CHECK(distance(Metres{448}, UnitStyle::Metric) == "450 m");
    CHECK(distance(Metres{4321}, UnitStyle::Metric) == "4.3 km");
    CHECK(distance(Metres{9960}, UnitStyle::Metric) == "10 km");
    CHECK(distance(Metres{14400}, UnitStyle::Metric) == "14 km");
    CHECK(distance(Metres{80}, UnitStyle::Us) == "250 ft");        // 262 ft
    CHECK(distance(Metres{4321}, UnitStyle::Us) == "2.7 mi");      // 2.685 mi
    CHECK(distance(Metres{160934.4}, UnitStyle::Us) == "100 mi");  // exactly
    CHECK(distance(Metres{std::nan("")}, UnitStyle::Us) == "not known");
}

TEST_CASE("Heights, SayWhereOneStands")
{
    CHECK(height(Metres{4.5}, UnitStyle::Metric) == "4.5 m up");
    CHECK(height(Metres{4.5}, UnitStyle::Us) == "15 ft up");
    CHECK(height(Metres{-0.3}, UnitStyle::Metric) == "0.3 m below the surface");
    CHECK(height(Metres{0}, UnitStyle::Metric) == "at ground level");
}

TEST_CASE("Clock, NamesTheNextDay")
{
    CHECK(clock(ClockTime::at(7, 5)) == "07:05");
    CHECK(clock(ClockTime::at(26, 10)) == "02:10 next day");
    CHECK(clock(ClockTime{seconds{86390}}) == "00:00 next day");
}

TEST_CASE("Nest, IsDescribedWithoutGuesses")
{
    Nest nest;
    CHECK(nest_words(nest, UnitStyle::Metric) == "kind of nest not known, height not known");
    nest.kind = NestKind::Aerial;
    nest.height = Metres{4.5};
    nest.width = Metres{0.3};
    CHECK(nest_words(nest, UnitStyle::Metric) == "hung free, 4.5 m up, 30 cm across");
    CHECK(nest_words(nest, UnitStyle::Us) == "hung free, 15 ft up, 12 in across");
}

TEST_CASE("Yield, SaysWhenLaboratoriesGetNothing")
{
    yield::NestOutlook outlook;
    CHECK(yield_words(outlook) == "nothing: no workers expected on this day");
    outlook.workers = {250, 420, 600};
    outlook.grams = grams_of(25, 42, 70);
    CHECK(yield_words(outlook) == "about 42 g (25 to 70) from about 420 workers (250 to 600)");
    outlook.venom = false;
    CHECK(yield_words(outlook).find("nothing for laboratories") == 0);
    CHECK(yield_words(outlook).find(" g ") == std::string::npos);
}
