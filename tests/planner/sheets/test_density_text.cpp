#include "planner/sheets/density_text.hpp"

#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"
#include "tests/support/density_sample.hpp"

using namespace nestround;
using Catch::Contains;

TEST_CASE("DensityText_SaysHowMuchWasSearchedAndThatCallsAreNoSurvey")
{
    const auto text = sheets::density_text(testing::density_sample(), 5);
    CHECK_THAT(text, Contains("Nests of Vespula made, 2025 to 2026"));
    CHECK_THAT(text, Contains("12 nests on 100 km2 searched: 0.060 a km2 and season"));
    CHECK_THAT(text, Contains("20 nests of all kinds became known there, 3 of them without"));
    CHECK_THAT(text, Contains("2 more lie outside that land"));
    CHECK_THAT(text, Contains("Calls are not a survey"));
    CHECK_THAT(text, !Contains("doubled calls"));
}

TEST_CASE("DensityText_PointsOutWhatNoForestHas")
{
    auto map = testing::density_sample();
    map.cells.front().nests = 3204;
    map.cells.front().per_km2 = {700, 801, 900};
    CHECK_THAT(sheets::density_text(map, 1), Contains("doubled calls?"));
    CHECK_THAT(sheets::density_text(map, 0), !Contains("Densest"));
}

TEST_CASE("DensityText_TwoFigures")
{
    CHECK(sheets::per_km2_words(0) == "0");
    CHECK(sheets::per_km2_words(0.0667) == "0.067");
    CHECK(sheets::per_km2_words(0.3) == "0.30");
    CHECK(sheets::per_km2_words(4.04) == "4.0");
    CHECK(sheets::per_km2_words(38.4) == "38");
    CHECK(sheets::per_km2_words(1234) == "1,200");
    CHECK(sheets::per_km2_words(std::nan("")) == "not known");
}

TEST_CASE("DensityText_JsonHoldsEveryCellAndNoPlaceOfANest")
{
    const auto map = testing::density_sample();
    const auto json = nlohmann::json::parse(sheets::density_json(map));
    REQUIRE(json["cells"].size() == map.cells.size());
    int nests = 0;
    for (const auto& cell : json["cells"]) {
        nests += cell["nests"].get<int>();
        CHECK(cell["per_km2"]["low"] <= cell["per_km2"]["high"]);
    }
    CHECK(nests == 12);
    CHECK(json["seasons"].size() == 2);
    CHECK(json["smoothing_chosen"] == "named");
}
