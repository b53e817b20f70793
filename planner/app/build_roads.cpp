#include "planner/app/build_roads.hpp"

#include <filesystem>

#include "geocore/intake/road_file.hpp"
#include "geocore/intake/roads_osm.hpp"

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

}  // namespace

roads::BuildReport build_roads(const RoadsToBuild& wish, const intake::Progress& progress)
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
    if (progress) {
        progress("writing", -1);
    }
    intake::save_roads(wish.output, built.network);
    return std::move(built.report);
}

}  // namespace nestround::app
