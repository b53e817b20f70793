#include "geocore/intake/roads_osm.hpp"

#include <algorithm>

#include "geocore/base/error.hpp"
#include "geocore/roads/build_network.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::test;

namespace {

// A one-way street against its drawing, a roundabout, a track behind a bollard, a footpath, a ferry
// with and one without a duration, a turn restriction, and a way that leaves the extract.
const char* const kExtract = R"(<?xml version="1.0" encoding="UTF-8"?>
<osm version="0.6">
 <node id="1" lat="47.10" lon="9.50"/>
 <node id="2" lat="47.10" lon="9.51"/>
 <node id="3" lat="47.11" lon="9.51"/>
 <node id="4" lat="47.11" lon="9.50"><tag k="barrier" v="bollard"/></node>
 <node id="5" lat="47.12" lon="9.50"/>
 <node id="6" lat="47.13" lon="9.50"><tag k="barrier" v="gate"/></node>
 <way id="10"><nd ref="1"/><nd ref="2"/>
  <tag k="highway" v="residential"/><tag k="oneway" v="-1"/><tag k="name" v="Low Street"/></way>
 <way id="11"><nd ref="2"/><nd ref="3"/><tag k="highway" v="tertiary"/></way>
 <way id="12"><nd ref="3"/><nd ref="1"/><tag k="highway" v="secondary"/></way>
 <way id="13"><nd ref="3"/><nd ref="4"/><nd ref="5"/><tag k="highway" v="track"/></way>
 <way id="14"><nd ref="1"/><nd ref="5"/><tag k="highway" v="footway"/></way>
 <way id="15"><nd ref="5"/><nd ref="1"/><tag k="route" v="ferry"/>
  <tag k="motor_vehicle" v="yes"/><tag k="duration" v="00:10"/></way>
 <way id="16"><nd ref="5"/><nd ref="2"/><tag k="route" v="ferry"/></way>
 <way id="17"><nd ref="5"/><nd ref="6"/><nd ref="99"/><tag k="highway" v="unclassified"/></way>
 <way id="18"><nd ref="1"/><nd ref="6"/><tag k="waterway" v="river"/></way>
 <relation id="20">
  <member type="way" ref="11" role="from"/><member type="node" ref="3" role="via"/>
  <member type="way" ref="12" role="to"/>
  <tag k="type" v="restriction"/><tag k="restriction" v="no_left_turn"/></relation>
</osm>
)";

std::size_t count_of(const std::vector<roads::LeftOut>& list, std::string_view words)
{
    std::size_t sum = 0;
    for (const auto& entry : list) {
        sum += entry.reason.find(words) != std::string::npos ? entry.count : 0;
    }
    return sum;
}

ErrorCode code_of(const std::string& path)
{
    try {
        (void)read_osm_roads(path);
    } catch (const Failure& failure) {
        CHECK(failure.error().where == path);
        return failure.error().code;
    }
    return ErrorCode::Internal;
}

}  // namespace

TEST_CASE("RoadsOsm, ReadsWaysVerticesBarriersAndRestrictions")
{
    const ScratchFolder folder;
    const auto raw = read_osm_roads(folder.write("small.osm", kExtract));
    CHECK(raw.source == "small.osm");
    CHECK(raw.attribution.find("OpenStreetMap") != std::string::npos);
    CHECK(raw.ways_seen == 8);
    CHECK(raw.ways.size() == 6);
    CHECK(count_of(raw.left_out, "not made for trucks") == 1);
    CHECK(count_of(raw.left_out, "ferry without a duration") == 1);
    REQUIRE(raw.restrictions.size() == 1);
    CHECK(raw.restrictions[0].from_way == 11);
    CHECK(raw.restrictions[0].via_node == 3);
    CHECK(raw.restrictions[0].to_way == 12);
    CHECK_FALSE(raw.restrictions[0].only);
    // Vertices of the roads alone; the bollard closes, the gate does not.
    CHECK(raw.nodes.size() == 6);
    const auto closed = std::count_if(raw.nodes.begin(), raw.nodes.end(),
                                      [](const roads::RawNode& n) { return n.closed; });
    CHECK(closed == 1);
    CHECK(raw.ways[0].road.name == "Low Street");
    CHECK_FALSE(raw.ways[0].road.forward_open);
    CHECK(raw.ways[0].road.backward_open);
}

TEST_CASE("RoadsOsm, TheExtractBecomesTheNetworkItDraws")
{
    const ScratchFolder folder;
    const auto raw = read_osm_roads(folder.write("small.osm", kExtract));
    const auto result = roads::build_network(raw);
    REQUIRE(result);
    // 1, 2, 3, the near side of the bollard, its far side, 5, 6.
    CHECK(result->network.node_count() == 7);
    CHECK(result->network.edge_count() == 7);
    CHECK(result->report.barriers == 1);
    CHECK(result->report.restrictions == 1);
    CHECK(count_of(result->report.left_out, "where the extract ends") == 1);
    std::size_t ferries = 0;
    for (const auto& edge : result->network.edges()) {
        if (edge.road_class == roads::RoadClass::Ferry) {
            ++ferries;
            CHECK(edge.forward_ms == 600'000);
        }
    }
    CHECK(ferries == 1);
}

TEST_CASE("RoadsOsm, WhatIsNotAWholeExtractIsAFailureThatNamesTheFile")
{
    const ScratchFolder folder;
    CHECK(code_of(folder.file("none.osm")) == ErrorCode::NotFound);
    const std::string whole = kExtract;
    CHECK(code_of(folder.write("cut.osm", whole.substr(0, whole.size() / 2))) ==
          ErrorCode::InvalidInput);
    CHECK(code_of(folder.write("words.osm", "not a map at all")) == ErrorCode::InvalidInput);
    CHECK(code_of(folder.write("words.osm.pbf", "not a map at all")) == ErrorCode::InvalidInput);
    CHECK(code_of(folder.write("words.osm.bz2", "not a map at all")) == ErrorCode::InvalidInput);
}

TEST_CASE("RoadsOsm, KnowsItsFilesByTheirEnding")
{
    CHECK(is_osm_file("a.osm.pbf"));
    CHECK(is_osm_file("a.osm"));
    CHECK(is_osm_file("a.osm.bz2"));
    CHECK_FALSE(is_osm_file("a.gpkg"));
    CHECK_FALSE(is_osm_file("osm"));
}

TEST_CASE("RoadsOsm, TellsItsProgress")
{
    const ScratchFolder folder;
    std::vector<std::string> steps;
    (void)read_osm_roads(folder.write("small.osm", kExtract),
                         [&](std::string_view step, double share) {
                             CHECK(share <= 1);
                             if (steps.empty() || steps.back() != step) {
                                 steps.emplace_back(step);
                             }
                         });
    CHECK(steps == std::vector<std::string>{"reading ways", "reading vertices"});
}
