#include "planner/sheets/season_curve.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("SeasonCurve, EveryWaspOfTheTableCanBeDrawnNorthAndSouth")
{
    const auto& table = nature::standard_taxa();
    for (const char* code : {"DMAC", "VCRA", "PDOM"}) {
        const auto* taxon = table.recognise(code);
        REQUIRE(taxon != nullptr);
        const auto north =
            sheets::season_curve(table, *taxon, Latitude{41}, 2026, sheets::MapFormat::Svg);
        const auto south =
            sheets::season_curve(table, *taxon, Latitude{-41}, 2026, sheets::MapFormat::Svg);
        CHECK(north.find("<svg") != std::string::npos);
        CHECK(north.find("nan") == std::string::npos);
        CHECK(north != south);
    }
}
