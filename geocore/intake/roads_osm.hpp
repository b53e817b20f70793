/// \file roads_osm.hpp
/// \brief Roads from an OpenStreetMap extract.
///
/// Purpose:  the ways a truck may drive, their vertices by number, barriers, turn restrictions.
/// Units:    as raw_roads.hpp.
/// Range:    .osm.pbf, .osm, .osm.bz2, .osm.gz; the file is gone through twice, so that memory goes
///           with the roads and not with the file.
/// Accuracy: coordinates as in the file.
/// Errors:   Failure: NotFound, or InvalidInput when the file cannot be read to its end.
/// Source:   libosmium; meaning of tags in roads/osm_tags.hpp.
#pragma once

#include <string>

#include "geocore/intake/progress.hpp"
#include "geocore/roads/raw_roads.hpp"

namespace nestround::intake {

inline constexpr const char* kOsmAttribution =
    "© OpenStreetMap contributors, Open Database License 1.0";

/// Whether the name ends like an extract that this reader knows.
[[nodiscard]] bool is_osm_file(const std::string& path);

[[nodiscard]] roads::RawRoads read_osm_roads(const std::string& path,
                                             const Progress& progress = {});

}  // namespace nestround::intake
