#include "planner/sheets/morning_geojson.hpp"

#include <nlohmann/json.hpp>

#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sample_day.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;
using nlohmann::json;

namespace {

day::DayPlan plan_of_test()
{
    const testing::SampleWeb web;
    return testing::sample_day(web);
}

LonLat place(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }

}  // namespace

TEST_CASE("MorningGeojson, HoldsStopsLegsAndDepots")
{
    const day::DayPlan plan = plan_of_test();
    const json out = json::parse(morning_geojson(plan));
    CHECK(out["type"] == "FeatureCollection");
    CHECK_FALSE(out.contains("crs"));  // RFC 7946 did away with it
    // 9 stops, a leg to each, a leg home and a depot a crew.
    CHECK(out["features"].size() == 9 + 9 + 2 + 2);
    for (const json& feature : out["features"]) {
        const std::string kind = feature["properties"]["feature"];
        CHECK(feature["geometry"]["type"] == (kind == "leg" ? "LineString" : "Point"));
    }
    const day::PlannedStop& stop = plan.crews[0].stops[0];
    const json& leg = out["features"][1];
    REQUIRE(leg["id"] == "leg-A1");
    CHECK(leg["geometry"]["coordinates"].size() == stop.drive_line.size());
    CHECK(leg["geometry"]["coordinates"][0][0].get<double>() ==
          Approx(stop.drive_line[0].lon.value()).margin(6e-8));
    CHECK(leg["geometry"]["coordinates"][0][1].get<double>() ==
          Approx(stop.drive_line[0].lat.value()).margin(6e-8));
}

TEST_CASE("MorningGeojson, HoldsNothingPrivate")
{
    const std::string text = morning_geojson(plan_of_test());
    CHECK(text.find("Quillfeather") == std::string::npos);
    CHECK(text.find("Ottoline") == std::string::npos);
    CHECK(text.find("allergic") == std::string::npos);
    CHECK(text.find("waiting a week") == std::string::npos);
}

TEST_CASE("MorningGeojson, CutsLinesAtThe180thMeridian")
{
    day::DayPlan plan = plan_of_test();
    plan.crews.resize(1);
    plan.crews[0].stops.resize(1);
    // Half way between 179.9 and -179.9 lies the meridian, half way between the latitudes.
    plan.crews[0].stops[0].drive_line = {place(179.9, 10), place(-179.9, 10.2)};
    const json out = json::parse(morning_geojson(plan));
    const json& geometry = out["features"][1]["geometry"];
    CHECK(geometry["type"] == "MultiLineString");
    CHECK(geometry["coordinates"] ==
          json::parse("[[[179.9,10.0],[180.0,10.1]],[[-180.0,10.1],[-179.9,10.2]]]"));
}

TEST_CASE("MorningGeojson, ALegWithoutLineHasNoGeometry")
{
    day::DayPlan plan = plan_of_test();
    plan.crews[0].stops[0].drive_line.clear();
    const json out = json::parse(morning_geojson(plan));
    CHECK(out["features"][1]["geometry"].is_null());
    CHECK(out["features"][1]["properties"]["drive_s"] == plan.crews[0].stops[0].drive.count());
}

TEST_CASE("MorningGeojson, OpensInGdalWithoutAWarning")
{
    const testing::ScratchFolder folder;
    day::DayPlan plan = plan_of_test();
    plan.crews[0].stops[0].call.sheet.site.label = "quote \" \\ and \xff";
    plan.crews[1].stops[0].drive_line.clear();
    plan.crews[1].home = ClockTime::at(25, 10);
    write_file(folder.file("day.geojson"), morning_geojson(plan));
    const testing::Said said = testing::run_shell("ogrinfo -al " + folder.file("day.geojson"));
    INFO(said.words.substr(0, 2000));
    CHECK(said.code == 0);
    CHECK(said.words.find("Warning") == std::string::npos);
    CHECK(said.words.find("ERROR") == std::string::npos);
    CHECK(said.words.find("Feature Count: 22") != std::string::npos);
    CHECK(said.words.find("driver `GeoJSON' successful") != std::string::npos);
}
