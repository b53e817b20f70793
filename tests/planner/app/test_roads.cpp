// build_roads and road_times: from a file of streets to times and a line.
#include <nlohmann/json.hpp>

#include "geocore/intake/road_file.hpp"
#include "planner/app/build_roads.hpp"
#include "planner/app/road_times.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using namespace nestround::app;
using nestround::test::ScratchFolder;

namespace {

// One street of 0.01 degree of latitude, 1,111.9 m at 47 N, driven at 40 km/h.
const char* const kStreet = R"({"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"kmh":40},
 "geometry":{"type":"LineString","coordinates":[[9.5,47.10],[9.5,47.11]]}}]})";

std::string built_street(const ScratchFolder& folder)
{
    RoadsToBuild wish;
    wish.inputs = {folder.write("street.geojson", kStreet)};
    wish.output = folder.file("street.roads");
    wish.columns.speed = "kmh";
    wish.attribution = "County of Nowhere";
    const auto report = build_roads(wish);
    CHECK(report.edges == 1);
    return wish.output;
}

}  // namespace

TEST_CASE("BuildRoads, TheFileHoldsTheStreetAndItsAttribution")
{
    const ScratchFolder folder;
    const auto network = intake::load_roads(built_street(folder));
    CHECK(network->edge_count() == 1);
    CHECK(network->attribution() == "County of Nowhere");
    CHECK(network->source() == "street.geojson");
}

TEST_CASE("BuildRoads, InputWithoutRoadsLeavesTheFormerFileAsItWas")
{
    const ScratchFolder folder;
    const auto path = built_street(folder);
    const auto before = folder.read("street.roads");
    RoadsToBuild wish;
    wish.inputs = {folder.write("river.osm", R"(<osm version="0.6"><node id="1" lat="1" lon="1"/>
        <node id="2" lat="1" lon="2"/><way id="1"><nd ref="1"/><nd ref="2"/>
        <tag k="waterway" v="river"/></way></osm>)")};
    wish.output = path;
    try {
        build_roads(wish);
        FAIL("a network without roads was written");
    } catch (const Failure& failure) {
        CHECK(failure.error().code == ErrorCode::InvalidInput);
        CHECK(failure.error().text().find("river.osm") != std::string::npos);
        CHECK(failure.error().text().find("no road") != std::string::npos);
    }
    CHECK(folder.read("street.roads") == before);
}

TEST_CASE("BuildRoads, ColumnsOfAnExtractAndTheSameFileTwiceAreBadUsage")
{
    const ScratchFolder folder;
    const auto code_of = [](const RoadsToBuild& wish) {
        try {
            build_roads(wish);
        } catch (const Failure& failure) {
            return failure.error().code;
        }
        return ErrorCode::Internal;
    };
    RoadsToBuild wish;
    wish.inputs = {folder.write("a.osm", "<osm version=\"0.6\"></osm>")};
    wish.output = folder.file("a.roads");
    wish.columns.speed = "kmh";
    CHECK(code_of(wish) == ErrorCode::BadUsage);
    wish.columns.speed.clear();
    wish.output = wish.inputs.front();
    CHECK(code_of(wish) == ErrorCode::BadUsage);
}

TEST_CASE("RoadTimes, AllPairsWithTheUnreachedOneNamed")
{
    const ScratchFolder folder;
    const auto roads = built_street(folder);
    const auto points =
        folder.write("p.csv", "name,lon,lat\nSouth,9.5,47.10\nNorth,9.5,47.11\n\"Sea, far\",0,0\n");
    const auto table = road_times(roads, points);
    REQUIRE(table.unreached.size() == 1);
    CHECK(table.unreached[0].where == "Sea, far");
    // 1,111.88 m at 40 km/h are 100.07 s.
    CHECK(table.matrix.seconds_between(0, 1) == 100);
    CHECK(table.matrix.metres_between(1, 0) == 1112);
    CHECK(table.matrix.seconds_between(0, 2) == roads::kUnreachable);

    write_times(table, folder.file("t.csv"));
    const auto csv = folder.read("t.csv");
    CHECK(csv.starts_with("from,to,seconds,metres\nSouth,South,0,0\nSouth,North,100,1112\n"));
    CHECK(csv.find("South,\"Sea, far\",,\n") != std::string::npos);

    write_times(table, folder.file("t.json"));
    const auto json = nlohmann::json::parse(folder.read("t.json"));
    REQUIRE(json["times"].size() == 9);
    CHECK(json["attribution"] == "County of Nowhere");
    CHECK(json["times"][1]["seconds"] == 100);
    CHECK(json["times"][2]["seconds"].is_null());
}

TEST_CASE("RoadTimes, NoPlaceNearARoadIsInfeasible")
{
    const ScratchFolder folder;
    const auto roads = built_street(folder);
    const auto points = folder.write("p.csv", "name,lon,lat\nSea,0,0\n");
    try {
        (void)road_times(roads, points);
        FAIL("times of nothing");
    } catch (const Failure& failure) {
        CHECK(failure.error().code == ErrorCode::Infeasible);
        CHECK(failure.error().message.find("Sea") != std::string::npos);
    }
}

TEST_CASE("RoadPath, GivesTheLineBetweenTheStops")
{
    const ScratchFolder folder;
    const auto roads = built_street(folder);
    const auto answer = road_path(roads, {Longitude{9.501}, Latitude{47.1025}},
                                  {Longitude{9.499}, Latitude{47.1075}});
    CHECK(answer.route.duration.count() == 50);
    CHECK(answer.route.length.value() == 556);
    write_path(answer, folder.file("way.geojson"));
    const auto json = nlohmann::json::parse(folder.read("way.geojson"));
    const auto& feature = json["features"][0];
    CHECK(feature["properties"]["seconds"] == 50);
    CHECK(feature["properties"]["attribution"] == "County of Nowhere");
    CHECK(feature["geometry"]["type"] == "LineString");
    CHECK(feature["geometry"]["coordinates"] ==
          nlohmann::json::parse("[[9.5,47.1025],[9.5,47.1075]]"));
}

TEST_CASE("RoadTimes, AnAnswerThatCannotBeWrittenIsAFailure")
{
    const ScratchFolder folder;
    const auto roads = built_street(folder);
    const auto table = road_times(roads, folder.write("p.csv", "name,lon,lat\nSouth,9.5,47.1\n"));
    CHECK_THROWS_AS(write_times(table, folder.file("no/such/t.csv")), Failure);
}
