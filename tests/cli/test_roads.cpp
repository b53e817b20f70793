// roads build, info, speeds, times and path as a stranger types them, with the wrong file, a
// damaged one and none at all.
#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

bool holds(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

void refuses(const Outcome& outcome, ErrorCode code, const std::vector<std::string>& words)
{
    CAPTURE(outcome.out, outcome.err);
    CHECK(outcome.code == static_cast<int>(code));
    for (const auto& word : words) {
        CAPTURE(word);
        CHECK(holds(outcome.err, word));
    }
}

/// Lines as GeoJSON; each is properties and coordinates.
std::string layer(const std::vector<std::pair<std::string, std::string>>& lines,
                  const std::string& crs = {})
{
    std::string out = R"({"type":"FeatureCollection",)";
    if (!crs.empty()) {
        out += R"("crs":{"type":"name","properties":{"name":")" + crs + R"("}},)";
    }
    out += R"("features":[)";
    for (const auto& [properties, coordinates] : lines) {
        out += (out.back() == '[' ? "" : ",");
        out += R"({"type":"Feature","properties":{)" + properties +
               R"(},"geometry":{"type":"LineString","coordinates":)" + coordinates + "}}";
    }
    return out + "]}";
}

/// The part of the small town whose ways and vertices `keep` wants, by their lines.
std::string part_of_town(const std::vector<std::string>& without)
{
    std::string out;
    std::istringstream lines{small_town_osm()};
    for (std::string line; std::getline(lines, line);) {
        const bool wanted = std::none_of(without.begin(), without.end(),
                                         [&](const auto& word) { return holds(line, word); });
        out += wanted ? line + "\n" : "";
    }
    return out;
}

struct Town {
    Town() { REQUIRE(run_program({"roads", "build", osm, "--to", roads}).code == 0); }
    Folder folder;
    std::string osm = folder.write("town.osm", small_town_osm());
    std::string roads = folder / "town.roads";
};

}  // namespace

TEST_CASE("RoadsBuild, TwoOverlappingExtractsGiveTheNetworkOfTheWhole")
{
    const Town town;
    // West lacks the two eastern columns of vertices, east the two western ones: every way from
    // west to east is cut in both.
    std::vector<std::string> west;
    std::vector<std::string> east;
    for (int row = 0; row < 5; ++row) {
        for (const int column : {3, 4}) {
            west.push_back("<node id='" + std::to_string(1 + row * 5 + column) + "'");
            east.push_back("<node id='" + std::to_string(1 + row * 5 + column - 3) + "'");
        }
    }
    for (const int line : {3, 4}) {
        west.push_back("<way id='" + std::to_string(201 + line) + "'");
        east.push_back("<way id='" + std::to_string(201 + line - 3) + "'");
    }
    const auto a = town.folder.write("west.osm", part_of_town(west));
    const auto b = town.folder.write("east.osm", part_of_town(east));
    const auto joined = town.folder / "joined.roads";
    const auto outcome = run_program({"roads", "build", a, b, "--to", joined, "--json"});
    CAPTURE(outcome.err, outcome.out);
    REQUIRE(outcome.code == 0);
    const auto report = nlohmann::json::parse(outcome.out);
    CHECK(report["junctions"] == 25);
    CHECK(report["stretches"] == 40);
    CHECK(report["files"].size() == 2);
    CHECK(report["files"][1]["file"] == "east.osm");
    CHECK(report["files"][1]["ways_known_before"] == 6);
    CHECK(report["left_out_or_mended"].empty());
    // The same times as from the whole, whichever comes first.
    const auto points = town.folder.write("points.csv",
                                          "name,lon,lat\na,-76.999,41.2\nb,-76.962,41.24\n"
                                          "c,-76.98,41.215\n");
    const auto times = [&](const std::string& roads) {
        const auto out = town.folder / "times.csv";
        REQUIRE(run_program({"roads", "times", roads, "--points", points, "--out", out}).code == 0);
        return bytes_of(out);
    };
    const auto expected = times(town.roads);
    CHECK(holds(expected, "a,b,"));
    CHECK(times(joined) == expected);
    REQUIRE(run_program({"roads", "build", b, a, "--to", joined}).code == 0);
    CHECK(times(joined) == expected);
    // One alone is told to be cut.
    const auto half = run_program({"roads", "build", a, "--to", town.folder / "half.roads"});
    CHECK(half.code == 0);
    CHECK(holds(half.out, "way cut where the extract ends: 5 (such as way 101)"));
}

TEST_CASE("RoadsBuild, AnExtractAndALayerBesideItMeet")
{
    const Town town;
    const auto lane = town.folder.write(
        "lane.geojson", layer({{R"("kmh":"30","name":"New Lane")", "[[-76.96,41.2],[-76.95,41.2]]"},
                               {R"("kmh":"30")", "[[-76.95001,41.20001],[-76.94,41.2]]"}}));
    const auto roads = town.folder / "both.roads";
    const auto exact = run_program(
        {"roads", "build", town.osm, lane, "--speed-column", "kmh", "--to", roads, "--json"});
    REQUIRE(exact.code == 0);
    CHECK(nlohmann::json::parse(exact.out)["junctions"] == 26);
    CHECK(nlohmann::json::parse(exact.out)["cut_off"]["parts"] == 1);
    const auto near = run_program({"roads", "build", town.osm, lane, "--speed-column", "kmh",
                                   "--join-within", "2", "--to", roads});
    REQUIRE(near.code == 0);
    CHECK(holds(near.out, "kept: 27 junctions"));
    CHECK(holds(near.out, "line's end joined to the end of another line: 1 (such as near "));
    CHECK(holds(near.out, "lane.geojson: 2 ways seen, 2 taken"));
}

TEST_CASE("RoadsBuild, RefusesByNameWhatItCannotUse")
{
    const Town town;
    const auto& folder = town.folder;
    const auto out = folder / "new.roads";
    const auto build = [&](std::vector<std::string> words) {
        words.insert(words.begin(), {"roads", "build"});
        words.insert(words.end(), {"--to", out});
        return run_program(words);
    };
    refuses(build({folder / "none.osm.pbf"}), ErrorCode::NotFound,
            {"none.osm.pbf", "no such file"});
    refuses(build({town.osm, folder / "none.gpkg"}), ErrorCode::NotFound, {"none.gpkg"});
    refuses(build({folder.write("letter.osm.pbf", "Dear crew")}), ErrorCode::InvalidInput,
            {"letter.osm.pbf", "not a whole OpenStreetMap extract"});
    refuses(build({folder.write("letter.gpkg", "Dear crew")}), ErrorCode::InvalidInput,
            {"letter.gpkg"});
    refuses(build({folder.write("empty.osm", "<osm version='0.6'></osm>")}),
            ErrorCode::InvalidInput, {"empty.osm", "no road"});
    const auto osm = small_town_osm();
    refuses(build({folder.write("half.osm", osm.substr(0, osm.size() / 2))}),
            ErrorCode::InvalidInput, {"half.osm", "not a whole"});
    refuses(build({town.osm, town.osm}), ErrorCode::BadUsage, {"town.osm", "named twice"});
    refuses(build({town.osm, "--speed-column", "kmh"}), ErrorCode::BadUsage, {"town.osm"});
    refuses(build({town.osm, "--split"}), ErrorCode::BadUsage, {"town.osm"});
    refuses(build({town.osm, "--join-within", "-1"}), ErrorCode::BadUsage, {"--join-within"});
    const auto metres = layer({{"", "[[500000,5216000],[500000,5217000]]"}});
    refuses(build({folder.write("metres.geojson", metres)}), ErrorCode::InvalidInput,
            {"metres.geojson", "not on Earth", "coordinate system"});
    const auto degrees = layer({{"", "[[9.5,47.1],[9.6,47.1]]"}}, "urn:ogc:def:crs:EPSG::32632");
    refuses(build({folder.write("degrees.geojson", degrees)}), ErrorCode::InvalidInput,
            {"degrees.geojson", "look like degrees", "32N"});
    refuses(build({folder.write("no.csv", "WKT,a\n\"LINESTRING (9.5 47.1,9.6 47.1)\",1\n")}),
            ErrorCode::InvalidInput, {"no.csv", "--crs EPSG:4326"});
    CHECK_FALSE(std::filesystem::exists(out));
    // The former file stays.
    const auto before = bytes_of(town.roads);
    refuses(run_program({"roads", "build", folder / "empty.osm", "--to", town.roads}),
            ErrorCode::InvalidInput, {"empty.osm"});
    CHECK(bytes_of(town.roads) == before);
}

TEST_CASE("RoadsBuild, TellsSpeedsThatAreNone")
{
    const Folder folder;
    const auto file =
        folder.write("slow.geojson", layer({{R"("kmh":"-40")", "[[9.5,47.1],[9.51,47.1]]"},
                                            {R"("kmh":"0")", "[[9.51,47.1],[9.52,47.1]]"},
                                            {R"("kmh":"50")", "[[9.52,47.1],[9.53,47.1]]"}}));
    const auto outcome = run_program(
        {"roads", "build", file, "--speed-column", "kmh", "--to", folder / "slow.roads", "--json"});
    REQUIRE(outcome.code == 0);
    const auto rows = nlohmann::json::parse(outcome.out)["left_out_or_mended"];
    REQUIRE(rows.size() == 1);
    CHECK(rows[0]["reason"] == "speed not above zero or not a speed, class's own taken");
    CHECK(rows[0]["count"] == 2);
    CHECK(rows[0]["example"] == "feature 0");
}

TEST_CASE("RoadsTimes, AStopOnTheFarBankIsToldByName")
{
    const Town town;
    // North of the town a river, and beyond it a road of its own.
    const auto bank = town.folder.write(
        "bank.geojson", layer({{R"("name":"Far Bank")", "[[-77.0,41.243],[-76.97,41.243]]"}}));
    const auto roads = town.folder / "river.roads";
    const auto built = run_program({"roads", "build", town.osm, bank, "--to", roads});
    REQUIRE(built.code == 0);
    CHECK(holds(built.out, "dropped, cut off from the kept part: 1 stretches in 1 parts, 2.5 km"));
    const auto points = town.folder.write(
        "points.csv", "name,lon,lat\ntown hall,-76.99,41.2201\nold mill,-76.985,41.2429\n");
    const auto outcome = run_program(
        {"roads", "times", roads, "--points", points, "--out", town.folder / "times.csv"});
    CAPTURE(outcome.err);
    CHECK(outcome.code == 0);
    CHECK(holds(outcome.err,
                "old mill: the nearest road, 11 m away at -76.98500,41.24300, is cut "
                "off from all others (2.5 km of road); the next best is taken, 322 m"));
    CHECK_FALSE(holds(outcome.err, "town hall"));
    const auto path =
        run_program({"roads", "path", roads, "--from", "-76.99,41.22", "--to", "-76.985,41.2429"});
    CHECK(path.code == 0);
    CHECK(holds(path.err, "end: the nearest road, 11 m away"));
    const auto too_far = run_program({"roads", "path", roads, "--from", "-76.99,41.22", "--to",
                                      "-76.985,41.2429", "--limit", "100"});
    refuses(too_far, ErrorCode::InvalidInput,
            {"end", "0.3 km", "a road 11 m away is cut off from all others"});
}

TEST_CASE("RoadsInfo, TellsWhatIsInTheFile")
{
    const Town town;
    const auto info = run_program({"roads", "info", town.roads});
    CHECK(info.code == 0);
    for (const char* words : {"25 junctions, 40 stretches", "built from town.osm", "residential",
                              "tertiary", "OpenStreetMap contributors", "quick times: "}) {
        CAPTURE(words);
        CHECK(holds(info.out, words));
    }
    refuses(run_program({"roads", "info", town.folder / "none.roads"}), ErrorCode::NotFound,
            {"none.roads"});
    refuses(run_program({"roads", "info", town.osm}), ErrorCode::InvalidInput, {"town.osm"});
    refuses(run_program({"roads", "info", town.folder.write("empty.roads", "")}),
            ErrorCode::InvalidInput, {"empty.roads"});
}

TEST_CASE("RoadsInfo, RefusesEveryCutAndChangedFile")
{
    const Town town;
    const auto whole = bytes_of(town.roads);
    for (const double share : {0.05, 0.3, 0.6, 0.999}) {
        const auto size = static_cast<std::size_t>(static_cast<double>(whole.size()) * share);
        refuses(
            run_program({"roads", "info", town.folder.write("cut.roads", whole.substr(0, size))}),
            ErrorCode::InvalidInput, {"cut.roads"});
        auto changed = whole;
        changed[size] = static_cast<char>(changed[size] ^ 0x10);
        // A bit in the padding between two parts changes nothing and may pass.
        const auto outcome =
            run_program({"roads", "info", town.folder.write("bit.roads", changed)});
        CAPTURE(share, outcome.err);
        CHECK((outcome.code == 0 || (outcome.code == static_cast<int>(ErrorCode::InvalidInput) &&
                                     holds(outcome.err, "bit.roads"))));
    }
}

TEST_CASE("RoadsPath, GivesAWayAndSaysWhyNot")
{
    const Town town;
    const auto file = town.folder / "way.geojson";
    const auto way = run_program({"roads", "path", town.roads, "--from", "-76.995,41.2", "--to",
                                  "-76.96,41.235", "--out", file});
    CHECK(way.code == 0);
    CHECK(holds(way.out, "0 m from the start to the road"));
    const auto line = nlohmann::json::parse(bytes_of(file));
    CHECK(line["features"][0]["geometry"]["type"] == "LineString");
    CHECK(line["features"][0]["properties"]["metres"] > 5000);
    const auto ask = [&](const std::string& from) {
        return run_program({"roads", "path", town.roads, "--from", from, "--to", "-76.96,41.235"});
    };
    refuses(ask("here"), ErrorCode::BadUsage, {"'here'", "LON,LAT"});
    refuses(ask("-76.9,141"), ErrorCode::BadUsage, {"not on Earth"});
    refuses(ask("-76.5,41.2"), ErrorCode::InvalidInput, {"start", "km from the nearest road"});
}

TEST_CASE("RoadsTimes, SaysWhatIsWrongWithThePlaces")
{
    const Town town;
    const auto ask = [&](const std::string& points) {
        return run_program(
            {"roads", "times", town.roads, "--points", points, "--out", town.folder / "times.csv"});
    };
    refuses(ask(town.folder / "none.csv"), ErrorCode::NotFound, {"none.csv"});
    refuses(ask(town.folder.write("bare.csv", "a,b\n1,2\n")), ErrorCode::InvalidInput,
            {"bare.csv", "name,lon,lat"});
    refuses(ask(town.folder.write("sea.csv", "name,lon,lat\nbuoy,-70,38\n")), ErrorCode::Infeasible,
            {"sea.csv", "buoy"});
    CHECK_FALSE(std::filesystem::exists(town.folder / "times.csv"));
    const auto some = ask(town.folder.write("some.csv", "name,lon,lat\nbuoy,-70,38\nb,-77,41.2\n"));
    CHECK(some.code == 0);
    CHECK(holds(some.out, "1 of 2 places reached"));
    CHECK(holds(some.err, "buoy"));
}

TEST_CASE("RoadsSpeeds, TheManualPrintsTheSameTable")
{
    const auto speeds = run_program({"roads", "speeds"});
    REQUIRE(speeds.code == 0);
    CHECK(holds(speeds.out, "motorway "));
    const auto page = bytes_of(NESTROUND_SOURCE_DIR "/docs/roads-and-times.md");
    const std::string begin = "<!-- roads speeds -->\n```\n";
    const auto at = page.find(begin);
    REQUIRE(at != std::string::npos);
    const auto first = at + begin.size();
    INFO("put the output of `nestround roads speeds` into docs/roads-and-times.md");
    CHECK(page.substr(first, page.find("```", first) - first) == speeds.out);
}
