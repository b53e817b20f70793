#include "planner/app/build_roads.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <utility>

#include "geocore/intake/road_file.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/merge_roads.hpp"

namespace nestround::app {
namespace {

using nlohmann::ordered_json;

void check(const RoadsToBuild& wish)
{
    if (wish.inputs.empty()) {
        throw Failure{ErrorCode::BadUsage, "names no file of roads"};
    }
    const auto& c = wish.columns;
    const bool asks_of_lines =
        wish.join.within.value() > 0 || wish.join.split ||
        !(c.layer.empty() && c.speed.empty() && c.road_class.empty() && c.one_way.empty() &&
          c.name.empty() && c.crs.empty() && c.level.empty());
    if (asks_of_lines && std::all_of(wish.inputs.begin(), wish.inputs.end(), intake::is_osm_file)) {
        throw Failure{ErrorCode::BadUsage,
                      "layer, columns, coordinate system and joining are fixed in an OpenStreetMap "
                      "extract; leave those options out",
                      wish.inputs.front()};
    }
    if (!(wish.join.within.value() >= 0 && wish.join.within <= roads::kMostJoin)) {
        throw Failure{ErrorCode::BadUsage, "--join-within takes 0 to 100 metres"};
    }
    std::error_code problem;
    for (std::size_t i = 0; i < wish.inputs.size(); ++i) {
        if (std::filesystem::equivalent(wish.inputs[i], wish.output, problem)) {
            throw Failure{ErrorCode::BadUsage, "is both an input and the output", wish.inputs[i]};
        }
        for (std::size_t k = 0; k < i; ++k) {
            if (std::filesystem::equivalent(wish.inputs[i], wish.inputs[k], problem)) {
                throw Failure{ErrorCode::BadUsage, "is named twice", wish.inputs[i]};
            }
        }
    }
}

roads::RawRoads read_all(const RoadsToBuild& wish, const intake::Progress& progress)
{
    std::vector<roads::RawRoads> parts;
    for (const auto& input : wish.inputs) {
        parts.push_back(intake::is_osm_file(input)
                            ? intake::read_osm_roads(input, progress)
                            : intake::read_layer_roads(input, wish.columns, progress));
    }
    if (progress) {
        progress("joining roads", -1);
    }
    auto raw = roads::merge_roads(std::move(parts));
    roads::join_lines(raw, wish.join);
    return raw;
}

/// The network as it is when it cannot be prepared.
roads::RoadNetwork with_hierarchy(roads::RoadNetwork network, const intake::Progress& progress)
{
    roads::ContractOptions options;
    options.workers = intake::worker_threads();
    options.progress = [&](double share) {
        if (progress) {
            progress("preparing quick times", share);
        }
        return true;
    };
    auto hierarchy = roads::contract_graph(network.graph(), options);
    return hierarchy ? value_or_throw(network.with_hierarchy(std::move(*hierarchy)))
                     : std::move(network);
}

}  // namespace

PreparedRoads prepared_of(const roads::RoadNetwork& network)
{
    PreparedRoads facts;
    facts.prepared = network.has_hierarchy();
    if (facts.prepared) {
        const auto& hierarchy = network.hierarchy();
        facts.core = hierarchy.core;
        facts.shortcuts = static_cast<std::size_t>(
            std::count_if(hierarchy.via.begin(), hierarchy.via.end(),
                          [](std::uint32_t via) { return (via & roads::kGraphArc) == 0; }));
    }
    return facts;
}

std::string json_of(const roads::BuildReport& report, const PreparedRoads& prepared,
                    const std::string& output)
{
    const auto rows = [](const std::vector<roads::LeftOut>& list) {
        auto out = ordered_json::array();
        for (const auto& entry : list) {
            out.push_back(
                {{"reason", entry.reason}, {"count", entry.count}, {"example", entry.example}});
        }
        return out;
    };
    const auto metres = [](Metres length) { return std::llround(length.value()); };
    ordered_json all{{"written", output},
                     {"ways_seen", report.ways_seen},
                     {"ways_used", report.ways_used},
                     {"junctions", report.nodes},
                     {"stretches", report.edges},
                     {"directions", report.arcs},
                     {"length_m", metres(report.length)},
                     {"barriers", report.barriers},
                     {"turn_restrictions",
                      {{"read", report.restrictions}, {"applied", report.restrictions_applied}}},
                     {"quick_times",
                      {{"prepared", prepared.prepared},
                       {"shortcuts", prepared.shortcuts},
                       {"core", prepared.core}}}};
    auto parts = ordered_json::array();
    for (const auto& part : report.largest_dropped) {
        parts.push_back({{"stretches", part.edges},
                         {"length_m", metres(part.length)},
                         {"lon", part.somewhere.lon.value()},
                         {"lat", part.somewhere.lat.value()}});
    }
    all["cut_off"] = {{"parts", report.parts_dropped},
                      {"stretches", report.edges_dropped},
                      {"length_m", metres(report.length_dropped)},
                      {"largest", std::move(parts)}};
    all["left_out_or_mended"] = rows(report.left_out);
    auto files = ordered_json::array();
    for (const auto& source : report.sources) {
        files.push_back({{"file", source.name},
                         {"ways_seen", source.ways_seen},
                         {"ways_taken", source.ways_taken},
                         {"ways_known_before", source.ways_known},
                         {"ways_made_longer", source.ways_joined},
                         {"left_out_or_mended", rows(source.left_out)}});
    }
    all["files"] = std::move(files);
    return all.dump(2) + '\n';
}

roads::BuildReport build_roads(const RoadsToBuild& wish, const intake::Progress& progress,
                               PreparedRoads* prepared)
{
    check(wish);
    auto raw = read_all(wish, progress);
    if (wish.attribution) {
        raw.attribution = *wish.attribution;
    }
    auto built = value_or_throw(roads::build_network(raw));
    const auto network = with_hierarchy(std::move(built.network), progress);
    if (prepared != nullptr) {
        *prepared = prepared_of(network);
    }
    if (progress) {
        progress("writing", -1);
    }
    intake::save_roads(wish.output, network);
    return std::move(built.report);
}

}  // namespace nestround::app
