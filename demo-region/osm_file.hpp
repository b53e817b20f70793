/// \file osm_file.hpp
/// \brief The county's roads, river and places as an OpenStreetMap file.
///
/// Purpose:  what `nestround roads build` reads.
/// Units:    degrees, WGS 84; speeds as tagged there ("45 mph").
/// Range:    ids count up from 1; nothing of it is in OpenStreetMap.
/// Promise:  the same county gives the same bytes.
/// Errors:   throws Failure (OutputFailed) when the file cannot be written.
/// Source:   tags as the OpenStreetMap wiki describes highway, oneway, maxspeed, barrier, route.
#pragma once

#include <string>

#include "demo-region/county.hpp"

namespace nestround::demo {

struct FileCounts {
    std::size_t nodes = 0;      ///< of roads
    std::size_t junctions = 0;  ///< nodes where other than two pieces of road meet
    std::size_t ways = 0;
    double kilometres = 0;
    int bridges = 0;
};

/// Writes `path` (.osm.pbf).
FileCounts write_osm(const County& county, const std::string& path);

}  // namespace nestround::demo
