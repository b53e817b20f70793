#include "planner/sheets/map.hpp"

#include <set>

#include "geocore/base/error.hpp"
#include "planner/sheets/map_frame.hpp"
#include "planner/sheets/map_marks.hpp"
#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/png.hpp"
#include "tests/support/sample_day.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

const testing::SampleWeb& web()
{
    static const testing::SampleWeb kWeb;
    return kWeb;
}

/// Pixels of that colour, or nearly, within `reach` pixels.
int pixels_near(const testing::Picture& picture, double x, double y, int reach, Colour colour)
{
    int count = 0;
    for (int dy = -reach; dy <= reach; ++dy) {
        for (int dx = -reach; dx <= reach; ++dx) {
            const int px = static_cast<int>(x) + dx;
            const int py = static_cast<int>(y) + dy;
            if (px < 0 || py < 0 || px >= static_cast<int>(picture.width) ||
                py >= static_cast<int>(picture.height)) {
                continue;
            }
            const std::uint32_t rgb =
                picture.at(static_cast<unsigned>(px), static_cast<unsigned>(py));
            int apart = 0;
            for (const unsigned shift : {0U, 8U, 16U}) {
                apart += std::abs(static_cast<int>((rgb >> shift) & 255U) -
                                  static_cast<int>((colour.rgb >> shift) & 255U));
            }
            count += apart < 12 ? 1 : 0;
        }
    }
    return count;
}

}  // namespace

TEST_CASE("Map, IsAPageWithTheDayOnIt")
{
    const day::DayPlan plan = testing::sample_day(web());
    MapOptions options;
    options.dots_per_inch = 100;
    const testing::Picture picture =
        testing::read_png(draw_morning_map(plan, web().roads(), options));
    // 297 mm and 210 mm at 100 dots an inch.
    CHECK(picture.width == 1169);
    CHECK(picture.height == 827);
    std::set<std::uint32_t> colours;
    for (unsigned y = 0; y < picture.height; y += 3) {
        for (unsigned x = 0; x < picture.width; x += 3) {
            colours.insert(picture.at(x, y));
        }
    }
    CHECK(colours.size() > 50);
    CHECK(picture.at(2, 2) == 0xffffff);

    const double dots = 100 / 25.4;
    const MapFrame frame{map_window(plan, options), page_layout(options).map};
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        const Colour own = crew_colour(c);
        const Colour other = crew_colour(1 - c);
        for (const day::PlannedStop& stop : plan.crews[c].stops) {
            INFO(stop.call.sheet.site.label);
            const PagePoint at = frame.at(stop.call.sheet.site.place);
            CHECK(pixels_near(picture, at.x * dots, at.y * dots, 12, own) > 30);
            CHECK(pixels_near(picture, at.x * dots, at.y * dots, 12, other) == 0);
        }
        // The tour's line: half way along the first leg.
        const PageLine leg = frame.line(plan.crews[c].stops[0].drive_line);
        const PagePoint middle = headings(leg, length_of(leg) / 2, 1e9).at(0).at;
        CHECK(pixels_near(picture, middle.x * dots, middle.y * dots, 8, own) > 10);
    }
}

TEST_CASE("Map, IsTheSameEveryTime")
{
    const day::DayPlan plan = testing::sample_day(web());
    MapOptions options;
    options.dots_per_inch = 72;
    CHECK(draw_morning_map(plan, web().roads(), options) ==
          draw_morning_map(plan, web().roads(), options));
    options.format = MapFormat::Svg;
    const std::string once = draw_morning_map(plan, web().roads(), options);
    CHECK(once == draw_morning_map(plan, web().roads(), options));
}

TEST_CASE("Map, IsWellFormedSvgWithoutPrivateWords")
{
    const testing::ScratchFolder folder;
    MapOptions options;
    options.format = MapFormat::Svg;
    day::DayPlan plan = testing::sample_day(web());
    plan.crews[0].stops[0].call.sheet.site.label = "a <b> & \xff \"c\"";
    const std::string svg = draw_morning_map(plan, web().roads(), options);
    write_file(folder.file("day.svg"), svg);
    const testing::Said said =
        testing::run_shell("xmllint --noout --nonet " + folder.file("day.svg"));
    INFO(said.words);
    CHECK(said.code == 0);
    CHECK(svg.find("<svg") != std::string::npos);
    CHECK(svg.find("Quillfeather") == std::string::npos);
    CHECK(svg.size() > 100000);
}

TEST_CASE("Map, ShowsAnEmptyDayAndManyCrews")
{
    day::DayPlan plan = testing::sample_day(web());
    MapOptions options;
    options.dots_per_inch = 50;
    SECTION("no crew, no call")
    {
        plan.crews.clear();
        plan.left_out.clear();
    }
    SECTION("a crew that stays, a place that is none")
    {
        plan.crews[0].stops.clear();
        plan.crews[1].stops[0].call.sheet.site.place = {Longitude{NAN}, Latitude{0}};
    }
    SECTION("seven crews with more stops than the panel holds")
    {
        for (int k = 0; k < 5; ++k) {
            plan.crews.push_back(plan.crews[0]);
        }
    }
    const testing::Picture picture =
        testing::read_png(draw_morning_map(plan, web().roads(), options));
    CHECK(picture.width == 585);
    // Its frame and title stand in any case.
    const PageBox map = page_layout(options).map;
    CHECK(pixels_near(picture, (map.right() + 12) * 50 / 25.4, (map.y + 4) * 50 / 25.4, 10, kInk) >
          5);
}

TEST_CASE("Map, RefusesAPageOutOfReach")
{
    const day::DayPlan plan = testing::sample_day(web());
    MapOptions options;
    options.dots_per_inch = 5000;
    CHECK_THROWS_AS(draw_morning_map(plan, {}, options), Failure);
    options = {};
    options.width_mm = NAN;
    CHECK_THROWS_AS(draw_morning_map(plan, {}, options), Failure);
}

TEST_CASE("Marks, TellWaspsAndStagesApart")
{
    yield::NestOutlook outlook;
    outlook.taxon_name = "Dolichovespula maculata";
    outlook.stage = "raising queens and males";
    CHECK(shape_of(outlook) == Shape::Drop);
    CHECK(filling_of(outlook) == Filling::Full);
    outlook.stage = "raising queens and males, the first of them out";
    CHECK(filling_of(outlook) == Filling::Full);
    outlook.taxon_name = "Vespula maculifrons";
    outlook.stage = "build-up";
    CHECK(shape_of(outlook) == Shape::Disc);
    CHECK(filling_of(outlook) == Filling::Empty);
    outlook.taxon_name = "unknown social wasp";
    outlook.stage = "decline";
    CHECK(shape_of(outlook) == Shape::Diamond);
    CHECK(filling_of(outlook) == Filling::Broken);
}
