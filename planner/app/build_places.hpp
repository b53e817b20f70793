/// \file build_places.hpp
/// \brief Use case: extracts and layers of addresses into one file of places.
///
/// Purpose:  reads each source, joins them, writes the file.
/// Units:    none.
/// Range:    any number of sources; OpenStreetMap extracts by their names, all else as layers.
/// Accuracy: as the sources.
/// Errors:   Failure; the former file is then as it was.
/// Source:   own.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "geocore/intake/addresses_layer.hpp"
#include "geocore/intake/progress.hpp"

namespace nestround::app {

struct PlacesToBuild {
    std::vector<std::string> inputs;
    std::string output;
    intake::AddressColumns columns;  ///< for layers
    std::string attribution;         ///< added to that of the sources
};

struct PlacesReport {
    std::size_t settlements = 0;
    std::size_t streets = 0;
    std::size_t houses = 0;
    std::size_t filled_in = 0;
    std::size_t left_out = 0;
    std::size_t doubles = 0;                                 ///< the same in several files
    std::vector<std::pair<std::string, std::size_t>> files;  ///< houses, streets, ... read of each
};

[[nodiscard]] PlacesReport build_places(const PlacesToBuild& wish,
                                        const intake::Progress& progress = {});

}  // namespace nestround::app
