/// \file road_times.hpp
/// \brief Times and lengths between places, and the line of one route, from a road file.
///
/// Purpose:  `nestround roads times` and `nestround roads path`.
/// Units:    whole seconds and metres.
/// Range:    a place too far from any road is kept in the answer without times, and named.
/// Accuracy: as travel.hpp.
/// Errors:   Failure: what reading the files throws; Infeasible when no place lies near a road;
///           OutputFailed when the answer cannot be written, and then the former file is as it was.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/roads_points.hpp"
#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/snapper.hpp"
#include "geocore/roads/suited_roads.hpp"
#include "geocore/roads/travel.hpp"
#include "planner/tour/detour.hpp"

namespace nestround::app {

struct TravelOptions {
    roads::EngineOptions engine;
    roads::Drive drive;  ///< truck, hour, turns and traffic
    Metres snap_limit = roads::kSnapLimit;
};

struct TimesTable {
    std::vector<intake::NamedPlace> places;
    std::vector<std::optional<roads::RoadStop>> stops;  ///< nothing: no road near
    std::vector<Error> unreached;                       ///< each names its place
    roads::TravelMatrix matrix;                         ///< places by places
    std::string attribution;
    std::vector<std::string> notes;  ///< what truck and hour change, stops not on the nearest road
};

[[nodiscard]] TimesTable road_times(const std::string& roads_path, const std::string& points_path,
                                    const TravelOptions& options = {});

/// One row a pair: from,to,seconds,metres; CSV, or JSON when the name ends in .json. What has no
/// way is empty, or null.
void write_times(const TimesTable& table, const std::string& path);

struct PathAnswer {
    roads::RoadStop from;
    roads::RoadStop to;
    roads::Route route;
    std::string attribution;
    std::vector<std::string> notes;
};

[[nodiscard]] PathAnswer road_path(const std::string& roads_path, LonLat from, LonLat to,
                                   const TravelOptions& options = {});

/// GeoJSON (RFC 7946): one feature, the line driven.
void write_path(const PathAnswer& answer, const std::string& path);

struct DetourAnswer {
    std::vector<intake::NamedPlace> places;  ///< the tour
    std::vector<tour::Detour> ways;          ///< the cheapest first
    std::vector<std::string> notes;
};

/// What a stop at `added`, named `name` in messages, costs the tour at each place where it may
/// come. InvalidInput when a stop lies near no road or the tour has less than two.
[[nodiscard]] DetourAnswer road_detours(const std::string& roads_path, const std::string& tour_path,
                                        LonLat added, const std::string& name,
                                        const TravelOptions& options = {});

}  // namespace nestround::app
