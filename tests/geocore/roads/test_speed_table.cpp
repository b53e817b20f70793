#include "geocore/roads/speed_table.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::roads;

namespace {
double limit(const char* text)
{
    const auto speed = parse_speed_limit(text);
    REQUIRE(speed);
    REQUIRE(*speed);
    return **speed;
}
bool says_nothing(const char* text)
{
    const auto speed = parse_speed_limit(text);
    REQUIRE(speed);
    return !*speed;
}
}  // namespace

TEST_CASE("SpeedTable, ReadsLimitsWithUnits")
{
    CHECK(limit("50") == 50);
    CHECK(limit("50 km/h") == 50);
    CHECK(limit("50kmh") == 50);
    CHECK(limit("30 mph") == Approx(30 * 1.609344));
    CHECK(limit("30mph") == Approx(30 * 1.609344));
    CHECK(limit("10 knots") == Approx(18.52));
    CHECK(limit("7.5") == 7.5);
}

TEST_CASE("SpeedTable, ReadsWordsAndCountryCodes")
{
    CHECK(limit("none") >= kTopSpeed);
    CHECK(limit("walk") == kWalkingSpeed);
    CHECK(limit("DE:walk") == kWalkingSpeed);
    CHECK(limit("DE:living_street") == kWalkingSpeed);
    CHECK(limit("DE:rural") == 100);
    CHECK(limit("CH:urban") == 50);
    CHECK(limit("GB:nsl_single") == Approx(60 * 1.609344));
    CHECK(limit("DE:zone:30") == 30);
    CHECK(limit("DE:zone30") == 30);
}

TEST_CASE("SpeedTable, OfAListTheLowestCounts")
{
    CHECK(limit("50;30") == 30);
    CHECK(limit("30; 50") == 30);
    CHECK(limit("50|70|signals") == 50);
    CHECK(limit("40 mph; 50") == 50);
}

TEST_CASE("SpeedTable, WordsWithoutANumberSayNothing")
{
    for (const char* text : {"signals", "variable", "unknown", "", ";", "XX:rural", "50 leagues"}) {
        CAPTURE(text);
        CHECK(says_nothing(text));
    }
}

TEST_CASE("SpeedTable, RefusesLimitsThatAreNotAboveZero")
{
    for (const char* text : {"0", "-30", "-5 mph", "50;-1", "nan", "inf"}) {
        CAPTURE(text);
        const auto speed = parse_speed_limit(text);
        REQUIRE_FALSE(speed);
        CHECK(speed.error().code == ErrorCode::InvalidInput);
        CHECK(speed.error().message.find("above zero") != std::string::npos);
    }
}

TEST_CASE("SpeedTable, EveryRowStandsWhereItsClassIsAndIsMarked")
{
    REQUIRE(class_speeds().size() == kRoadClasses);
    for (std::size_t i = 0; i < kRoadClasses; ++i) {
        const auto& row = class_speeds()[i];
        CAPTURE(i);
        CHECK(row.road_class == static_cast<RoadClass>(i));
        CHECK(road_class(text(row.road_class)) == row.road_class);
        CHECK(row.usual_kmh > 0);
        CHECK(row.usual_kmh <= row.top_kmh);
        CHECK(row.top_kmh <= kTopSpeed);
        CHECK_FALSE(row.source.empty());
    }
    for (const auto& row : surface_speeds()) {
        CAPTURE(row.name);
        CHECK(row.kmh >= 1);
        CHECK(row.kmh <= kTopSpeed);
        CHECK_FALSE(row.source.empty());
        CHECK(surface_speed(row.name) == row.kmh);
    }
    CHECK_FALSE(surface_speed(""));
    CHECK_FALSE(road_class("footway"));
}
