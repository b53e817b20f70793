/// \file addresses_osm.hpp
/// \brief House numbers, street names and settlements of an OpenStreetMap extract.
///
/// Purpose:  what the place finder is made of, from the file that the roads come from.
/// Units:    as place/address_list.hpp.
/// Range:    numbers on nodes, ways and relations, addr:interpolation ways, associatedStreet and
///           street relations, named highways, nodes with place=*; the file is gone through three
///           times.
/// Accuracy: a building's point is the middle of its box, as uncertain as half its diagonal more.
/// Errors:   Failure: NotFound, or InvalidInput when the file cannot be read to its end.
/// Source:   libosmium; tags as the OpenStreetMap wiki describes them.
#pragma once

#include <string>

#include "geocore/intake/progress.hpp"
#include "geocore/place/address_list.hpp"

namespace nestround::intake {

[[nodiscard]] place::RawAddresses read_osm_addresses(const std::string& path,
                                                     const Progress& progress = {});

}  // namespace nestround::intake
