/// \file calls.hpp
/// \brief A list of call-outs from a file: text table, GeoJSON, GeoPackage, shapefile, any layer
/// that GDAL reads.
///
/// Purpose:  rows become records that have no keys yet; what cannot be understood is refused by row
///           with its reason, never guessed. Nothing is written to the book here.
/// Units:    lengths as the column's suffix says: _m, _cm, _ft, _in. Coordinates in any system the
///           layer names; columns lon and lat are degrees on WGS 84.
/// Range:    height -2 to 60 m, width and length up to 5 m; what is rare but possible is flagged.
/// Accuracy: coordinates are transformed by PROJ to better than a metre.
/// Errors:   Failure for the file as a whole (missing, empty, foreign, without a needed column; it
///           names the columns found); a RefusedRow for a row. Read a file before the book is
///           opened: a reader that closes the book's own file would drop its locks.
/// Source:   columns: docs/reference/call-columns.md.
#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/intake/refused_row.hpp"
#include "geocore/records/call.hpp"

namespace nestround::intake {

/// The code of a taxon from its code or scientific name; nothing when there is none such.
using TaxonLookup = std::function<std::optional<std::string>(std::string_view)>;

/// The place of an address, for rows that tell no coordinates.
struct AddressPlace {
    LonLat at{};
    std::optional<Metres> uncertainty;
    std::string note;  ///< how it was found
};
using AddressLookup = std::function<Result<AddressPlace>(const std::string&)>;

struct CallMapping {
    /// Our name of a column -> the file's, for columns the file names differently:
    /// {"height_ft", "Hoehe"}. The unit is the one that our name ends in.
    std::map<std::string, std::string> columns;
    std::string layer;            ///< of a file with several; empty: its only one
    std::string crs;              ///< for files that name none: "EPSG:32632"
    std::optional<Day> received;  ///< for rows that do not say, usually today
    TaxonLookup taxon;            ///< without one, species are taken as written
    AddressLookup address;        ///< without one, every row needs coordinates
};

/// The mapping in settings such as calls.columns.species = "wasp", calls.layer and calls.crs.
[[nodiscard]] CallMapping call_mapping(const std::map<std::string, std::string>& settings);

struct CallRow {
    std::size_t row = 0;
    CallSheet sheet;  ///< keys are nil; call.source_key is set
    std::optional<Client> client;
    std::vector<std::string> flags;  ///< taken, but worth a second look
};

struct CallBatch {
    std::string file;  ///< its name, for messages
    std::vector<CallRow> rows;
    std::vector<RefusedRow> refused;  ///< one a row: its first fault
    std::vector<std::string> notes;   ///< on the file as a whole
};

/// A row's source_key is its key column, else a digest of place (to 5 decimals), received and
/// species: the same in a renamed or converted copy. A second row with the same one is refused.
[[nodiscard]] CallBatch read_calls(const std::filesystem::path& file, const CallMapping& mapping);

}  // namespace nestround::intake
