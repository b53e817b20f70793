/// \file road_file.hpp
/// \brief A road network on disk.
///
/// Purpose:  built once, opened in every run; a file that is not whole is refused, never followed.
/// Units:    as network.hpp; all numbers little-endian.
/// Range:    version 3. A header, a table of sections (kind, size of an entry, offset, count,
///           checksum) and the arrays of NetworkView as they stand, each at a multiple of 8 bytes.
///           The file is mapped, not read: opening takes the same time whatever its size. It must
///           not be written over while it is open; `save_roads` puts a new file in its place. The
///           same network gives the same bytes.
/// Accuracy: exact.
/// Errors:   Failure: NotFound when there is no such file; InvalidInput when it is no road file or
///           is damaged; WrongVersion when an older or newer program made it; OutputFailed when it
///           cannot be written, and then the former file is as it was. Every message names the
///           file. Header, table and texts are looked at when it is opened; roads, graph and
///           hierarchy, checksum and bounds, when the network is first asked for them.
/// Source:   own.
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <string>

#include "geocore/roads/network.hpp"

namespace nestround::intake {

void save_roads(const std::string& path, const roads::RoadNetwork& network);

[[nodiscard]] std::shared_ptr<const roads::RoadNetwork> load_roads(const std::string& path);

/// The same without a file; `name` is what messages call it.
[[nodiscard]] std::string encode_roads(const roads::RoadNetwork& network);
/// Looks at all parts at once.
[[nodiscard]] roads::RoadNetwork decode_roads(std::span<const char> bytes, const std::string& name);

}  // namespace nestround::intake
