#include "planner/sheets/chart.hpp"

#include <cmath>
#include <limits>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/png.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

std::vector<std::string> words(const std::vector<ChartTick>& ticks)
{
    std::vector<std::string> result;
    for (const auto& tick : ticks) {
        result.push_back(tick.words);
    }
    return result;
}

}  // namespace

TEST_CASE("Chart, TicksAreRoundNumbersWithinTheAxis")
{
    using Words = std::vector<std::string>;
    CHECK(words(round_ticks(0, 100, 5)) == Words{"0", "20", "40", "60", "80", "100"});
    CHECK(words(round_ticks(0, 1, 4)) == Words{"0.00", "0.25", "0.50", "0.75", "1.00"});
    CHECK(words(round_ticks(-10, 10, 4)) == Words{"-10", "-5", "0", "5", "10"});
    CHECK(words(round_ticks(0, 10, 4)) == Words{"0.0", "2.5", "5.0", "7.5", "10.0"});
    CHECK(round_ticks(5, 5, 4).empty());
    for (const double most : {0.3, 1.0, 7.7, 99.0, 101.0, 12345.0}) {
        CHECK(axis_end(most) >= most);
        CHECK(axis_end(most) <= 1.6 * most);
    }
    CHECK(axis_end(0) == 1);
}

TEST_CASE("Chart, DaysAreMarkedByWeekOrByMonth")
{
    const Day first = parse_day("2026-08-04").value();  // a Tuesday
    const auto weeks = day_ticks(first, 28);
    REQUIRE(weeks.size() == 4);
    CHECK(weeks[0].words == "10 Aug");
    CHECK(weeks[0].at == 6);
    const auto months = day_ticks(first, 120);
    REQUIRE(months.size() == 4);
    CHECK(months[0].words == "Sep");
    CHECK(months[0].at == 28);
}

TEST_CASE("Chart, IsDrawnWhateverTheNumbersAre")
{
    Chart chart;
    chart.title = "Growth & <doubt>";
    chart.x_high = 2;
    chart.y_high = 10;
    const double nan = std::numeric_limits<double>::quiet_NaN();
    chart.bands.push_back({{0, 1, 2}, {1, nan, 3}, {4, 5, nan}, {0x1f5f8b, 0.2}});
    chart.lines.push_back({{0, 1, 2}, {2, nan, 4}, {kChartBlue, 0.5, {}}, "middle", false});
    chart.lines.push_back({{0, 1}, {3, 20}, {kChartRed, 0.5, {}}, "seen", true});
    chart.marks.push_back({1, 5, "here", kChartInk});
    const std::string svg = draw_charts("Heading", {chart, Chart{}}, 2, MapFormat::Svg);
    CHECK(svg.find("<svg") != std::string::npos);
    CHECK(svg.find("nan") == std::string::npos);
    CHECK(svg == draw_charts("Heading", {chart, Chart{}}, 2, MapFormat::Svg));
    CHECK(svg != draw_charts("Heading", {Chart{}, Chart{}}, 2, MapFormat::Svg));
    const std::string png = draw_charts("Heading", {chart}, 1, MapFormat::Png);
    CHECK(png.substr(1, 3) == "PNG");
}

TEST_CASE("Chart, APictureIsNamedByItsEnding")
{
    CHECK(picture_format("a.svg") == MapFormat::Svg);
    CHECK(picture_format("b/c.png") == MapFormat::Png);
    CHECK_THROWS_AS(picture_format("a.jpg"), Failure);
}
