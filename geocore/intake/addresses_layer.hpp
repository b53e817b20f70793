/// \file addresses_layer.hpp
/// \brief Addresses from any point layer that GDAL reads.
///
/// Purpose:  a county's own list of addresses instead of, or beside, an OpenStreetMap extract.
/// Units:    any coordinate system that PROJ knows.
/// Range:    columns housenumber, street, city and postcode, by name or as mapped; usual other
/// names
///           are guessed (number, house_no, addr_num, street_name, town, zip, ...).
/// Accuracy: that of the layer.
/// Errors:   Failure: NotFound, InvalidInput when no column of numbers or streets is found; it
/// lists
///           the columns there are. Rows without a point are counted.
/// Source:   own; GDAL.
#pragma once

#include <map>
#include <string>

#include "geocore/place/address_list.hpp"

namespace nestround::intake {

struct AddressColumns {
    std::string layer;
    std::string crs;
    std::map<std::string, std::string> names;  ///< "housenumber" -> the file's
};

[[nodiscard]] place::RawAddresses read_layer_addresses(const std::string& path,
                                                       const AddressColumns& columns = {});

}  // namespace nestround::intake
