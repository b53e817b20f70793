#include "planner/sheets/rule_curves.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("RuleCurves, EachRuleIsDrawnAndFollowsTheTable")
{
    const auto& table = nature::standard_taxa();
    const auto picture = sheets::rule_curves(table, sheets::MapFormat::Svg);
    CHECK(picture.find("<svg") != std::string::npos);
    CHECK(picture.find("nan") == std::string::npos);
    CHECK(picture == sheets::rule_curves(table, sheets::MapFormat::Svg));
    // Eight charts: a page of two columns and four rows is taller than it is wide.
    const auto width = picture.find("width=\"");
    const auto height = picture.find("height=\"");
    REQUIRE(width != std::string::npos);
    REQUIRE(height != std::string::npos);
    CHECK(std::stod(picture.substr(height + 8)) > std::stod(picture.substr(width + 7)));
}
