/// \file catches.hpp
/// \brief A list of what visits brought home, from a text table.
///
/// Purpose:  rows become a visit and its catch, without keys; what cannot be understood is refused
///           by row with its reason. Nothing is written to the book here.
/// Units:    mass as the column's suffix says: _g, _kg, _lb; a day alone is its first moment, UTC.
/// Range:    up to 20 kg and 100,000 wasps a catch (assumptions: wide enough for a colony that
///           wintered); each row has a count or a mass.
/// Accuracy: as entered.
/// Errors:   Failure for the file as a whole; a RefusedRow for a row.
/// Source:   columns: docs/reference/catch-columns.md.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "geocore/intake/calls.hpp"
#include "geocore/records/harvest.hpp"

namespace nestround::intake {

struct CatchRow {
    std::size_t row = 0;
    std::string call;   ///< the call's key in the list it came from
    std::string crew;   ///< its name; may be empty
    Visit visit;        ///< keys are nil
    CatchRecord taken;  ///< likewise
};

struct CatchBatch {
    std::string file;
    std::vector<CatchRow> rows;
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};

[[nodiscard]] CatchBatch read_catches(const std::filesystem::path& file, const TaxonLookup& taxon);

}  // namespace nestround::intake
