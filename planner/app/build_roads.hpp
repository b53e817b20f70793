/// \file build_roads.hpp
/// \brief From somebody's road data to a road file.
///
/// Purpose:  `nestround roads build`.
/// Units:    as the readers say.
/// Range:    OpenStreetMap extracts by their endings, anything else through GDAL; several files
///           become one network, see roads/merge_roads.hpp.
/// Accuracy: as build_network.hpp.
/// Errors:   Failure; the road file is then as it was.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/intake/progress.hpp"
#include "geocore/intake/roads_layer.hpp"
#include "geocore/roads/build_network.hpp"
#include "geocore/roads/join_lines.hpp"

namespace nestround::app {

struct RoadsToBuild {
    std::vector<std::string> inputs;
    std::string output;
    intake::RoadColumns columns;             ///< of each layer
    roads::JoinOptions join;                 ///< where its lines meet
    std::optional<std::string> attribution;  ///< else the source's own, if it is known
};

struct PreparedRoads {
    std::size_t shortcuts = 0;  ///< arcs of the hierarchy that stand for several
    std::size_t core = 0;       ///< states left out of it
    bool prepared = false;      ///< without, times are found by plain search
};

[[nodiscard]] PreparedRoads prepared_of(const roads::RoadNetwork& network);

/// The report as JSON, for other programs.
[[nodiscard]] std::string json_of(const roads::BuildReport& report, const PreparedRoads& prepared,
                                  const std::string& output);

/// Reads, builds, prepares quick times and saves.
roads::BuildReport build_roads(const RoadsToBuild& wish, const intake::Progress& progress = {},
                               PreparedRoads* prepared = nullptr);

}  // namespace nestround::app
