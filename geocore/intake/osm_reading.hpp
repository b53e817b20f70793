/// \file osm_reading.hpp
/// \brief One pass over an OpenStreetMap extract.
///
/// Purpose:  roads and addresses read the same files in several passes each.
/// Units:    the share of the file that is read, 0 to 1.
/// Range:    any file that libosmium opens.
/// Accuracy: not applicable.
/// Errors:   what libosmium throws; the callers turn it into a Failure that names the file.
/// Source:   own.
#pragma once

#include <algorithm>
#include <osmium/io/any_input.hpp>
#include <osmium/visitor.hpp>
#include <string>
#include <string_view>

#include "geocore/intake/progress.hpp"

namespace nestround::intake {

template <class Handler>
void read_all(const std::string& path, osmium::osm_entity_bits::type kinds, Handler& handler,
              std::string_view step, const Progress& progress)
{
    osmium::io::Reader reader{osmium::io::File{path}, kinds};
    const auto size = static_cast<double>(std::max<std::size_t>(reader.file_size(), 1));
    while (const auto buffer = reader.read()) {
        osmium::apply(buffer, handler);
        if (progress) {
            progress(step, std::min(1.0, static_cast<double>(reader.offset()) / size));
        }
    }
    reader.close();
}

}  // namespace nestround::intake
