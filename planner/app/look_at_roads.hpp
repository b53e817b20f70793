/// \file look_at_roads.hpp
/// \brief A road file looked through, with how long it took.
///
/// Purpose:  `nestround roads info`.
/// Units:    milliseconds and microseconds of the clock on the wall.
/// Range:    any road file.
/// Accuracy: times are of one run on this machine.
/// Errors:   Failure, as road_file.hpp.
/// Source:   own.
#pragma once

#include <cstddef>
#include <memory>
#include <string>

#include "geocore/roads/network.hpp"
#include "planner/app/build_roads.hpp"

namespace nestround::app {

struct RoadFacts {
    std::shared_ptr<const roads::RoadNetwork> network;
    PreparedRoads prepared;
    double opened_ms = 0;
    double checked_ms = 0;  ///< checksums and bounds of everything
    std::size_t queries = 0;
    double query_us = 0;  ///< a time between two junctions, mean; 0 without quick times
};

[[nodiscard]] RoadFacts look_at_roads(const std::string& path);

}  // namespace nestround::app
