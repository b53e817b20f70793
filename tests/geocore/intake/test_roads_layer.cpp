#include "geocore/intake/roads_layer.hpp"

#include <algorithm>

#include "geocore/base/error.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/roads/build_network.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::test;

namespace {

const char* const kLayer = R"({"type":"FeatureCollection","name":"streets","features":[
{"type":"Feature","properties":{"name":"Low Street","class":"residential","speed":"27","oneway":"-1"},
 "geometry":{"type":"LineString","coordinates":[[9.50,47.10],[9.51,47.10]]}},
{"type":"Feature","properties":{"class":"tertiary","speed":"67.5","oneway":"no"},
 "geometry":{"type":"LineString","coordinates":[[9.51,47.10],[9.51,47.11]]}},
{"type":"Feature","properties":{"class":"secondary","speed":null,"oneway":null},
 "geometry":{"type":"MultiLineString","coordinates":[[[9.51,47.11],[9.505,47.105],[9.50,47.10]]]}},
{"type":"Feature","properties":{"class":"boulevard","speed":"-3","oneway":"perhaps"},
 "geometry":{"type":"LineString","coordinates":[[9.51,47.11],[9.52,47.11]]}},
{"type":"Feature","properties":{"class":"track"},
 "geometry":{"type":"Point","coordinates":[9.51,47.11]}}
]})";

// The same three streets.
const char* const kExtract = R"(<osm version="0.6">
 <node id="1" lat="47.10" lon="9.50"/><node id="2" lat="47.10" lon="9.51"/>
 <node id="3" lat="47.11" lon="9.51"/><node id="4" lat="47.105" lon="9.505"/>
 <node id="5" lat="47.11" lon="9.52"/>
 <way id="1"><nd ref="1"/><nd ref="2"/><tag k="highway" v="residential"/>
  <tag k="name" v="Low Street"/><tag k="maxspeed" v="30"/><tag k="oneway" v="-1"/></way>
 <way id="2"><nd ref="2"/><nd ref="3"/><tag k="highway" v="tertiary"/>
  <tag k="maxspeed" v="75"/></way>
 <way id="3"><nd ref="3"/><nd ref="4"/><nd ref="1"/><tag k="highway" v="secondary"/></way>
 <way id="4"><nd ref="3"/><nd ref="5"/><tag k="highway" v="unclassified"/></way>
</osm>)";

const RoadColumns kColumns{"", "speed", "class", "oneway", "", ""};

Error error_of(const std::string& path, const RoadColumns& columns = {})
{
    try {
        (void)read_layer_roads(path, columns);
    } catch (const Failure& failure) {
        return failure.error();
    }
    return {ErrorCode::Internal, "nothing was refused", ""};
}

std::string with_crs(std::string_view line, std::string_view crs)
{
    return std::string{R"({"type":"FeatureCollection","crs":{"type":"name","properties":{"name":")"}
        .append(crs)
        .append(R"("}},"features":[{"type":"Feature","properties":{},"geometry":)"
                R"({"type":"LineString","coordinates":)")
        .append(line)
        .append("}}]}");
}

}  // namespace

TEST_CASE("RoadsLayer, TheSameStreetsGiveTheSameNetworkAsTheirExtract")
{
    const ScratchFolder folder;
    const auto layer = read_layer_roads(folder.write("streets.geojson", kLayer), kColumns);
    const auto extract = read_osm_roads(folder.write("streets.osm", kExtract));
    const auto from_layer = roads::build_network(layer);
    const auto from_extract = roads::build_network(extract);
    REQUIRE(from_layer);
    REQUIRE(from_extract);
    const auto& a = from_layer->network.data();
    const auto& b = from_extract->network.data();
    CHECK(a.nodes == b.nodes);
    CHECK(a.edges == b.edges);
    CHECK(a.points == b.points);
    CHECK(a.letters == b.letters);
}

TEST_CASE("RoadsLayer, WhatItCannotReadIsToldWithARow")
{
    const ScratchFolder folder;
    const auto raw = read_layer_roads(folder.write("streets.geojson", kLayer), kColumns);
    CHECK(raw.ways_seen == 5);
    CHECK(raw.ways.size() == 4);
    REQUIRE(raw.left_out.size() == 4);
    for (const char* words : {"class not known", "speed not above zero", "one-way not understood",
                              "something else than a line"}) {
        CAPTURE(words);
        CHECK(std::any_of(raw.left_out.begin(), raw.left_out.end(), [&](const auto& entry) {
            return entry.reason.find(words) != std::string::npos && entry.count == 1 &&
                   entry.example.starts_with("feature ");
        }));
    }
}

TEST_CASE("RoadsLayer, TakesOtherCoordinateSystemsToDegrees")
{
    const ScratchFolder folder;
    // UTM zone 32 north: 500 km east is the meridian 9 E.
    const auto path = folder.write("utm.geojson", with_crs("[[500000,5216000],[500000,5217000]]",
                                                           "urn:ogc:def:crs:EPSG::32632"));
    const auto raw = read_layer_roads(path, {});
    REQUIRE(raw.nodes.size() == 2);
    CHECK(raw.nodes[0].at.lon_e7 == 90'000'000);
    CHECK(raw.nodes[0].at.lat_e7 == Approx(47.1e7).margin(0.02e7));
    // A kilometre on the grid is 1.0004 km on the ground.
    const auto result = roads::build_network(raw);
    REQUIRE(result);
    CHECK(result->report.length.value() == Approx(1000 / 0.9996).margin(0.05));
}

TEST_CASE("RoadsLayer, RefusesByNameWhatItCannotUse")
{
    const ScratchFolder folder;
    CHECK(error_of(folder.file("none.gpkg")).code == ErrorCode::NotFound);
    CHECK(error_of(folder.write("words.gpkg", "not a layer")).code == ErrorCode::InvalidInput);

    const auto streets = folder.write("streets.geojson", kLayer);
    const auto no_column = error_of(streets, {"", "pace", "", "", "", ""});
    CHECK(no_column.code == ErrorCode::InvalidInput);
    CHECK(no_column.message.find("'pace'") != std::string::npos);
    CHECK(no_column.message.find("oneway") != std::string::npos);
    const auto no_layer = error_of(streets, {"lanes", "", "", "", "", ""});
    CHECK(no_layer.code == ErrorCode::NotFound);
    CHECK(no_layer.message.find("streets") != std::string::npos);

    // Metres that claim to be degrees.
    const auto wrong =
        error_of(folder.write("wrong.geojson", with_crs("[[500000,5216000],[500000,5217000]]",
                                                        "urn:ogc:def:crs:OGC:1.3:CRS84")));
    CHECK(wrong.code == ErrorCode::InvalidInput);
    CHECK(wrong.message.find("not on Earth") != std::string::npos);

    const auto points = error_of(
        folder.write("points.geojson",
                     R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{},)"
                     R"("geometry":{"type":"Point","coordinates":[9,47]}}]})"));
    CHECK(points.message.find("no lines") != std::string::npos);
}

TEST_CASE("RoadsLayer, ALayerWithoutCoordinateSystemAsksForOne")
{
    const ScratchFolder folder;
    const auto path =
        folder.write("lines.csv", "WKT,name\n\"LINESTRING (9.5 47.1,9.6 47.1)\",Long Lane\n");
    const auto asked = error_of(path);
    CHECK(asked.code == ErrorCode::InvalidInput);
    CHECK(asked.message.find("--crs") != std::string::npos);
    RoadColumns columns;
    columns.crs = "EPSG:4326";
    const auto raw = read_layer_roads(path, columns);
    REQUIRE(raw.nodes.size() == 2);
    CHECK(raw.nodes[0].at.lon_e7 == 95'000'000);
    CHECK(raw.nodes[0].at.lat_e7 == 471'000'000);
    columns.crs = "nonsense";
    CHECK(error_of(path, columns).code == ErrorCode::BadUsage);
}

TEST_CASE("RoadsLayer, DegreesThatCallThemselvesMetresAreRefusedByName")
{
    const ScratchFolder folder;
    const auto path = folder.write(
        "streets.geojson", with_crs("[[9.5,47.1],[9.6,47.1]]", "urn:ogc:def:crs:EPSG::32632"));
    const auto error = error_of(path);
    CHECK(error.code == ErrorCode::InvalidInput);
    CHECK(error.message.find("look like degrees") != std::string::npos);
    CHECK(error.message.find("UTM zone 32N") != std::string::npos);
    // And metres that call themselves degrees.
    const auto metres =
        error_of(folder.write("metres.geojson", with_crs("[[500000,5216000],[500000,5217000]]",
                                                         "urn:ogc:def:crs:OGC:1.3:CRS84")));
    CHECK(metres.code == ErrorCode::InvalidInput);
    CHECK(metres.message.find("not on Earth") != std::string::npos);
}

TEST_CASE("RoadsLayer, ReadsLevelsAndKeepsTheirVerticesApart")
{
    const ScratchFolder folder;
    std::string text = R"({"type":"FeatureCollection","features":[)";
    const std::vector<std::string> levels{"0", "1", "yes", "-1.00", "no", "", "high"};
    for (std::size_t i = 0; i < levels.size(); ++i) {
        text += (i == 0 ? "" : ",") +
                (R"({"type":"Feature","properties":{"z":")" + levels[i] +
                 R"("},"geometry":{"type":"LineString","coordinates":[[9.5,47.1],[9.6,47.)" +
                 std::to_string(2 + i) + "]]}}");
    }
    RoadColumns columns;
    columns.level = "z";
    const auto raw = read_layer_roads(folder.write("z.geojson", text + "]}"), columns);
    REQUIRE(raw.ways.size() == levels.size());
    const std::vector<int> expected{0, 1, 1, -1, 0, 0, 0};
    for (std::size_t i = 0; i < expected.size(); ++i) {
        CAPTURE(levels[i]);
        CHECK(raw.ways[i].level == expected[i]);
        CHECK(raw.ways[i].drawn);
        CHECK((raw.ways[i].nodes.front() == raw.ways[0].nodes.front()) == (expected[i] == 0));
    }
    CHECK(std::any_of(raw.left_out.begin(), raw.left_out.end(), [](const auto& entry) {
        return entry.reason.find("level not understood") != std::string::npos && entry.count == 1;
    }));
}
