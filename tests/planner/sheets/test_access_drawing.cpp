#include "planner/sheets/access_drawing.hpp"

#include "planner/access/reach.hpp"
#include "planner/sheets/access_scene.hpp"
#include "planner/sheets/access_text.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

sheets::AccessPage page_of(double height, Structure structure, bool geared)
{
    Gear pole;
    pole.kind = GearKind::Pole;
    pole.length = Metres{8.5};
    Gear ladder;
    ladder.kind = GearKind::Ladder;
    ladder.length = metres_from_feet(32);
    Nest nest;
    nest.height = Metres{height};
    nest.ground.structure = structure;
    const std::vector<Gear> truck{pole, ladder};
    return {access::reach(nest, {}, geared ? std::span{truck} : std::span<const Gear>{}), nest,
            "mill", ""};
}

}  // namespace

TEST_CASE("AccessDrawing, IsTheSameTwiceAndDiffersByUnits")
{
    for (const auto& page :
         {page_of(3, Structure::Soffit, true), page_of(8.7, Structure::Gable, true),
          page_of(-0.2, Structure::Ground, true), page_of(40, Structure::Gable, true),
          page_of(4, Structure::Tree, true), page_of(4, Structure::Void, false)}) {
        const auto metric =
            sheets::access_drawing(page, sheets::MapFormat::Svg, sheets::UnitStyle::Metric);
        CHECK(metric ==
              sheets::access_drawing(page, sheets::MapFormat::Svg, sheets::UnitStyle::Metric));
        CHECK(metric !=
              sheets::access_drawing(page, sheets::MapFormat::Svg, sheets::UnitStyle::Us));
        CHECK(metric.find("</svg>") != std::string::npos);
    }
}

TEST_CASE("AccessDrawing, TheSceneHoldsNestLadderFootAndPerson")
{
    const auto page = page_of(8.7, Structure::Gable, true);
    sheets::SceneContent scene;
    scene.place = page.plan.place;
    scene.ladder = page.plan.ways.front().ladder;
    REQUIRE(scene.ladder);
    const auto extent = sheets::scene_extent(scene);
    CHECK(extent.high > 8.7 + 1);
    CHECK(extent.high > scene.ladder->stand_height.value() + 1.75);
    CHECK(extent.right > scene.ladder->foot_distance.value());
    CHECK(extent.low < 0);
}

TEST_CASE("AccessDrawing, MeasuresAreInTheUsersUnits")
{
    CHECK(sheets::measure(Metres{8.7}, sheets::UnitStyle::Metric) == "8.7 m");
    CHECK(sheets::measure(metres_from_feet(28.5), sheets::UnitStyle::Us) == "28 ft 6 in");
    CHECK(sheets::measure(metres_from_feet(3), sheets::UnitStyle::Us) == "3 ft");
    CHECK(sheets::measure(Metres{0.1}, sheets::UnitStyle::Us) == "4 in");
}

TEST_CASE("AccessText, ARefusalSaysSoAndNothingIsCalledSafe")
{
    const auto tower = sheets::access_text(page_of(40, Structure::Gable, true), {}, {});
    CHECK(tower.find("NOT WITH THIS GEAR") != std::string::npos);
    CHECK(tower.find("a lift") != std::string::npos);
    for (const double height : {0.0, 1.0, 3.0, 6.5, 8.7}) {
        const auto text = sheets::access_text(page_of(height, Structure::Wall, true), {}, {});
        CHECK(text.find("safe") == std::string::npos);
        CHECK(text.find("local codes") != std::string::npos);
    }
    const auto json = sheets::access_json(page_of(8.7, Structure::Gable, true));
    CHECK(json.find("\"working_length_m\"") != std::string::npos);
}
