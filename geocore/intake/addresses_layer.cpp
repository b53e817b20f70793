#include "geocore/intake/addresses_layer.hpp"

#include <filesystem>

#include "geocore/base/error.hpp"
#include "geocore/intake/fields.hpp"
#include "geocore/intake/layer_grid.hpp"

namespace nestround::intake {
namespace {

const Vocabulary& address_vocabulary()
{
    static const Vocabulary words{{"housenumber", "street", "city", "postcode"},
                                  {},
                                  {},
                                  {{"number", "housenumber"},
                                   {"house_no", "housenumber"},
                                   {"house_number", "housenumber"},
                                   {"addr_num", "housenumber"},
                                   {"addr:housenumber", "housenumber"},
                                   {"hausnummer", "housenumber"},
                                   {"street_name", "street"},
                                   {"streetname", "street"},
                                   {"addr:street", "street"},
                                   {"strasse", "street"},
                                   {"town", "city"},
                                   {"place", "city"},
                                   {"municipality", "city"},
                                   {"addr:city", "city"},
                                   {"ort", "city"},
                                   {"zip", "postcode"},
                                   {"zipcode", "postcode"},
                                   {"zip_code", "postcode"},
                                   {"addr:postcode", "postcode"},
                                   {"plz", "postcode"}}};
    return words;
}

}  // namespace

place::RawAddresses read_layer_addresses(const std::string& path, const AddressColumns& columns)
{
    const auto grid = read_layer_grid(path, columns.layer, columns.crs);
    const Columns found{grid, address_vocabulary(), columns.names};
    found.require({"housenumber", "street"});
    place::RawAddresses raw;
    raw.source = std::filesystem::path{path}.filename().string();
    for (const auto& row : grid.rows) {
        if (!row.point || !is_on_earth(*row.point)) {
            continue;
        }
        const RowReader reader{found, row};
        place::RawHouse house;
        house.at = *row.point;
        house.number = reader.text("housenumber");
        house.street = reader.text("street");
        house.city = reader.text("city");
        house.postcode = reader.text("postcode");
        raw.houses.push_back(std::move(house));
    }
    return raw;
}

}  // namespace nestround::intake
