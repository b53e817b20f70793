#include "planner/sheets/density_picture.hpp"

#include <map>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/density_sample.hpp"
#include "tests/support/png.hpp"

using namespace nestround;
using namespace nestround::sheets;
using Catch::Contains;

namespace {

std::string svg(bool each_season)
{
    MapOptions options;
    options.format = MapFormat::Svg;
    return draw_density(testing::density_sample(),
                        {"Made county", "Invented", "2026-08-04", each_season}, {}, options);
}

}  // namespace

TEST_CASE("DensityPicture_ClassesAreRoundNumbersThatHoldTheMost")
{
    CHECK(class_bounds(0.9) == std::vector{0.05, 0.1, 0.2, 0.5, 1.0});
    CHECK(class_bounds(1.0) == std::vector{0.05, 0.1, 0.2, 0.5, 1.0});
    CHECK(class_bounds(45) == std::vector<double>{2, 5, 10, 20, 50});
    CHECK(class_bounds(0).back() == 1);
    CHECK(class_bounds(1200).back() == 2000);
}

TEST_CASE("DensityPicture_InksFallInLightness")
{
    // As a photocopier sees them; each stands unmixed in the legend of the picture.
    const auto picture = testing::read_png(draw_density(testing::density_sample(), {}, {}));
    std::map<std::uint32_t, int> pixels;
    for (unsigned y = 0; y < picture.height; ++y) {
        for (unsigned x = picture.width * 7 / 10; x < picture.width; ++x) {
            ++pixels[picture.at(x, y)];
        }
    }
    double former = 255;
    for (const std::uint32_t ink : {0xf6dfaeU, 0xe9b872U, 0xcb8546U, 0x97502cU, 0x552414U}) {
        CHECK(pixels[ink] > 300);
        const double grey =
            0.299 * (ink >> 16U) + 0.587 * (ink >> 8U & 255U) + 0.114 * (ink & 255U);
        CHECK(grey < former - 28);
        former = grey;
    }
}

TEST_CASE("DensityPicture_TheSameTwice")
{
    CHECK(svg(false) == svg(false));
    CHECK(svg(true) == svg(true));
    CHECK(svg(true) != svg(false));
}

TEST_CASE("DensityPicture_TooManySeasonsAreRefused")
{
    auto map = testing::density_sample();
    while (map.seasons.size() < 13) {
        map.seasons.push_back(map.seasons.front());
    }
    CHECK_THROWS_WITH(draw_density(map, {"", "", "", true}, {}), Contains("12 seasons at most"));
}
