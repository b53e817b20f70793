#include "planner/sheets/backtest_sheet.hpp"

#include "tests/support/catch.hpp"
#include "tests/support/png.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

/// Ten forecasts of 10 to 40 g, `below` of them caught at 5 g and the others at 20 g.
std::vector<BacktestPoint> points(int below)
{
    std::vector<BacktestPoint> out;
    for (int i = 0; i < 10; ++i) {
        out.push_back({{10, 25, 40}, i < below ? 5.0 : 20.0});
    }
    return out;
}

int red_pixels(const std::vector<BacktestPoint>& points)
{
    const auto picture = testing::read_png(backtest_picture(points, "", MapFormat::Png));
    int red = 0;
    for (unsigned y = 0; y < picture.height; ++y) {
        for (unsigned x = 0; x < picture.width; ++x) {
            const auto rgb = picture.at(x, y);
            const auto r = static_cast<int>(rgb >> 16U);
            const auto g = static_cast<int>(rgb >> 8U & 255U);
            red += r > 140 && g < 80 ? 1 : 0;
        }
    }
    return red;
}

}  // namespace

TEST_CASE("BacktestPicture, TellsTheSharesBelowEachLimit")
{
    const auto three = shares_below(points(3));
    CHECK(three.low == Approx(0.3));
    CHECK(three.middle == Approx(1));
    CHECK(three.high == Approx(1));
    // On the limit itself is not below it.
    CHECK(shares_below({{{10, 25, 40}, 10}, {{10, 25, 40}, 25}}).low == 0);
    CHECK(shares_below({{{10, 25, 40}, 10}, {{10, 25, 40}, 25}}).middle == Approx(0.5));
    CHECK(shares_below({{{10, 25, 40}, 41}}).high == 0);
}

TEST_CASE("BacktestPicture, CatchesOutsideTheIntervalAreRed")
{
    const auto none = red_pixels(points(0));
    const auto one = red_pixels(points(1));
    CHECK(none == 0);
    CHECK(one > 20);
    CHECK(backtest_picture(points(3), "x", MapFormat::Svg) ==
          backtest_picture(points(3), "x", MapFormat::Svg));
}

TEST_CASE("BacktestPicture, CanBeDrawnWithoutCatches")
{
    CHECK(backtest_picture({}, "none", MapFormat::Svg).find("<svg") != std::string::npos);
    CHECK(backtest_picture({{{0, 0, 0}, 0}}, "one of nothing", MapFormat::Png).substr(1, 3) ==
          "PNG");
}
