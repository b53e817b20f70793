// The invented county: what its README promises, read back from the files by other means.
#include <unistd.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "demo-region/county.hpp"
#include "demo-region/osm_file.hpp"
#include "demo-region/tables.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/roads/build_network.hpp"
#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/snapper.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/osm_map.hpp"

using namespace nestround;
using namespace nestround::osm_map;

namespace {

constexpr std::uint64_t kSeed = 20260804;

/// A folder of this process alone (tests run side by side), gone when the process ends.
class Folder {
public:
    Folder()
        : path_{std::filesystem::temp_directory_path() /
                ("nestround_demo_" + std::to_string(getpid()) + "_" + std::to_string(++made_))}
    {
        std::filesystem::create_directories(path_);
    }
    ~Folder()
    {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string path() const { return path_.string(); }

private:
    static inline int made_ = 0;
    std::filesystem::path path_;
};

std::string bytes(const std::string& path)
{
    std::ifstream in{path, std::ios::binary};
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

/// The county of the shipped seed, written once for all tests here.
std::string written()
{
    static const Folder folder;
    static const std::string path = [] {
        const std::string at = folder.path();
        const auto county = demo::build_county(kSeed);
        demo::write_osm(*county, at + "/county.osm.pbf");
        demo::write_tables(*county, at);
        return at;
    }();
    return path;
}

const MapFile& shipped()
{
    static const MapFile map = read_map(written() + "/county.osm.pbf");
    return map;
}

std::vector<std::vector<std::string>> rows(const std::string& text)
{
    std::vector<std::vector<std::string>> out;
    std::istringstream in{text};
    for (std::string line; std::getline(in, line);) {
        std::vector<std::string> fields{""};
        bool quoted = false;
        for (const char c : line) {
            if (c == '"') {
                quoted = !quoted;
            } else if (c == ',' && !quoted) {
                fields.emplace_back();
            } else {
                fields.back() += c;
            }
        }
        out.push_back(fields);
    }
    return out;
}

}  // namespace

TEST_CASE("Demo county, IsTheSameForTheSameSeed")
{
    const Folder folder;
    const std::string again = folder.path();
    const auto county = demo::build_county(kSeed);
    demo::write_osm(*county, again + "/county.osm.pbf");
    demo::write_tables(*county, again);
    for (const char* file : {"county.osm.pbf", "calls.csv", "past_calls.csv", "past_catches.csv",
                             "weather.csv", "crews.csv", "gear.csv", "settings.toml"}) {
        CAPTURE(file);
        CHECK(bytes(again + "/" + file).size() > 50);
        CHECK(bytes(again + "/" + file) == bytes(written() + "/" + file));
    }
    const auto other = demo::build_county(kSeed + 1);
    CHECK(demo::calls_csv(*other) != demo::calls_csv(*county));
    CHECK(other->network.nodes().size() != county->network.nodes().size());
}

TEST_CASE("Demo county, HasARealLoadOfRoads")
{
    const MapFile& map = shipped();
    std::map<std::int64_t, int> ends;
    for (const Segment& s : segments(map, [](const Way& way) { return way.is_road(); })) {
        ++ends[s.from];
        ++ends[s.to];
    }
    const auto junctions =
        std::count_if(ends.begin(), ends.end(), [](const auto& end) { return end.second != 2; });
    CHECK(ends.size() >= 50'000);
    CHECK(junctions >= 25'000);
    CHECK(junctions <= 60'000);

    std::map<std::string, int> classes;
    for (const Way& way : map.ways) {
        ++classes[way.tag("highway")];
    }
    for (const char* known : {"motorway", "motorway_link", "primary", "secondary", "tertiary",
                              "unclassified", "residential", "service", "track"}) {
        CAPTURE(known);
        CHECK(classes[known] > 0);
    }
    const auto ways_with = [&](const char* key, const char* value) {
        return std::count_if(map.ways.begin(), map.ways.end(),
                             [&](const Way& way) { return way.tag(key) == value; });
    };
    CHECK(ways_with("junction", "roundabout") >= 3);
    CHECK(ways_with("oneway", "-1") >= 3);
    CHECK(ways_with("route", "ferry") == 1);
    CHECK(ways_with("duration", "00:08") == 1);
}

TEST_CASE("Demo county, HangsTogether")
{
    const MapFile& map = shipped();
    std::map<std::int64_t, std::int64_t> parent;
    const auto find = [&](std::int64_t v) {
        while (parent[v] != v) {
            v = parent[v] = parent[parent[v]];
        }
        return v;
    };
    const auto all = segments(map, [](const Way& way) { return way.is_road(); });
    for (const Segment& s : all) {
        parent.emplace(s.from, s.from);
        parent.emplace(s.to, s.to);
    }
    for (const Segment& s : all) {
        parent[find(s.from)] = find(s.to);
    }
    std::map<std::int64_t, std::size_t> sizes;
    std::size_t largest = 0;
    for (const auto& [node, up] : std::map{parent}) {
        largest = std::max(largest, ++sizes[find(node)]);
    }
    CHECK(static_cast<double>(largest) > 0.95 * static_cast<double>(parent.size()));
}

TEST_CASE("Demo county, CrossesTheRiverOnBridgesAndTheFerryOnly")
{
    const MapFile& map = shipped();
    const auto river = segments(map, [](const Way& way) { return way.tag("waterway") == "river"; });
    REQUIRE(river.size() > 500);
    const auto roads = segments(map, [](const Way& way) { return way.tag("waterway").empty(); });
    std::set<const Way*> bridges;
    int ferries = 0;
    std::vector<std::string> wet;
    near_pairs(map, roads, river, [&](const Segment& road, const Segment& water) {
        if (!cross(map.nodes.at(road.from), map.nodes.at(road.to), map.nodes.at(water.from),
                   map.nodes.at(water.to))) {
            return;
        }
        if (road.way->tag("bridge") == "yes") {
            bridges.insert(road.way);
        } else if (road.way->tag("route") == "ferry") {
            ++ferries;
        } else {
            wet.push_back(road.way->tag("highway") + " " + road.way->tag("name"));
        }
    });
    CHECK(wet == std::vector<std::string>{});
    CHECK(ferries == 1);
    CHECK(bridges.size() >= 3);  // two of them carry the motorway
    CHECK(bridges.size() <= 12);
}

TEST_CASE("Demo county, RoadsOfOneLevelMeetInNodes")
{
    const MapFile& map = shipped();
    const auto ground = segments(map, [](const Way& way) {
        const std::string kind = way.tag("highway");
        return way.is_road() && way.tag("bridge").empty() && kind != "motorway";
    });
    int unnoded = 0;
    near_pairs(map, ground, ground, [&](const Segment& a, const Segment& b) {
        unnoded += &a < &b && cross(map.nodes.at(a.from), map.nodes.at(a.to), map.nodes.at(b.from),
                                    map.nodes.at(b.to))
                       ? 1
                       : 0;
    });
    CHECK(unnoded == 0);
}

TEST_CASE("Demo county, NamesNothingThatIsThere")
{
    const MapFile& map = shipped();
    REQUIRE(map.names.size() > 3000);
    std::vector<std::string> foreign;
    for (const std::string& name : map.names) {
        if (!demo::is_invented(name)) {
            foreign.push_back(name);
        }
    }
    const auto calls = rows(bytes(written() + "/calls.csv"));
    for (std::size_t i = 1; i < calls.size(); ++i) {
        REQUIRE(calls[i].size() == 23);
        const std::string& client = calls[i][19];
        if (client.empty() || !demo::is_invented(client)) {
            foreign.push_back(client);
        }
        CHECK(calls[i][20].rfind("555-01", 0) == 0);
    }
    CHECK(foreign == std::vector<std::string>{});
    for (const char* real : {"Springfield", "Main Street", "Paris", "Ba", ""}) {
        CAPTURE(real);
        CHECK((std::string_view{real}.empty() || !demo::is_invented(real)));
    }
}

TEST_CASE("Demo county, HasASeasonOfCallsAndThreeYearsOfWeather")
{
    const auto calls = rows(bytes(written() + "/calls.csv"));
    REQUIRE(calls.size() == 151);
    std::map<std::string, int> by_month;
    std::set<std::string> species;
    for (std::size_t i = 1; i < calls.size(); ++i) {
        ++by_month[calls[i][1].substr(0, 7)];
        species.insert(calls[i][6]);
    }
    CHECK(by_month.begin()->first == "2026-05");
    CHECK(by_month.rbegin()->first <= "2026-10");
    CHECK(by_month["2026-07"] + by_month["2026-08"] + by_month["2026-09"] > 100);
    CHECK(species.size() >= 7);
    CHECK(species.count("") == 1);

    const auto weather = rows(bytes(written() + "/weather.csv"));
    CHECK(weather.size() == 1 + 3 * (366 + 365 + 365));
    double july = 0;
    double january = 0;
    for (std::size_t i = 1; i < weather.size(); ++i) {
        const double low = std::stod(weather[i][6]);
        const double high = std::stod(weather[i][7]);
        REQUIRE(low <= high);
        REQUIRE(low > -40);
        REQUIRE(high < 45);
        const std::string month = weather[i][5].substr(5, 2);
        july += month == "07" ? (low + high) / 2 / (9 * 31) : 0;
        january += month == "01" ? (low + high) / 2 / (9 * 31) : 0;
    }
    CHECK(july > 18);
    CHECK(july < 27);
    CHECK(january < 3);
}

TEST_CASE("Demo county, LetsBothCrewsDriveToEveryCall")
{
    auto built = roads::build_network(intake::read_osm_roads(written() + "/county.osm.pbf"));
    REQUIRE(built);
    const auto network = std::make_shared<const roads::RoadNetwork>(std::move(built->network));
    const roads::Snapper snapper{network};
    const auto stops = [&](const std::string& file, std::size_t lon, std::size_t lat) {
        std::vector<roads::RoadStop> out;
        const auto table = rows(bytes(written() + "/" + file));
        for (std::size_t i = 1; i < table.size(); ++i) {
            const LonLat at{Longitude{std::stod(table[i][lon])},
                            Latitude{std::stod(table[i][lat])}};
            const auto stop = snapper.snap(at, table[i][0], Metres{100});
            CAPTURE(table[i][0]);
            CHECK(stop.has_value());
            if (stop) {
                out.push_back(*stop);
            }
        }
        return out;
    };
    const auto depots = stops("crews.csv", 1, 2);
    const auto calls = stops("calls.csv", 2, 3);
    REQUIRE(depots.size() == 2);
    REQUIRE(calls.size() == 150);
    const auto engine = roads::make_engine(network);
    const auto out = engine->matrix(depots, calls);
    const auto back = engine->matrix(calls, depots);
    CHECK(*std::max_element(out.duration_s.begin(), out.duration_s.end()) < 3 * 3600);
    CHECK(*std::max_element(back.duration_s.begin(), back.duration_s.end()) < 3 * 3600);
}
