#include "planner/app/build_roads.hpp"

#include <algorithm>
#include <filesystem>
#include <utility>

#include "geocore/intake/road_file.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "geocore/roads/contract_graph.hpp"

namespace nestround::app {
namespace {

void check(const RoadsToBuild& wish)
{
    const auto& c = wish.columns;
    const bool names_columns = !(c.layer.empty() && c.speed.empty() && c.road_class.empty() &&
                                 c.one_way.empty() && c.name.empty() && c.crs.empty());
    if (names_columns && intake::is_osm_file(wish.input)) {
        throw Failure{ErrorCode::BadUsage,
                      "layer, columns and coordinate system are fixed in an OpenStreetMap extract; "
                      "leave those options out",
                      wish.input};
    }
    std::error_code problem;
    if (std::filesystem::equivalent(wish.input, wish.output, problem)) {
        throw Failure{ErrorCode::BadUsage, "is both the input and the output", wish.input};
    }
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

roads::BuildReport build_roads(const RoadsToBuild& wish, const intake::Progress& progress,
                               PreparedRoads* prepared)
{
    check(wish);
    const bool is_osm = intake::is_osm_file(wish.input);
    auto raw = is_osm ? intake::read_osm_roads(wish.input, progress)
                      : intake::read_layer_roads(wish.input, wish.columns, progress);
    if (wish.attribution) {
        raw.attribution = *wish.attribution;
    }
    if (progress) {
        progress("joining roads", -1);
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
