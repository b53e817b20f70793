/// \file crews.hpp
/// \brief Crews and their gear from text tables.
///
/// Purpose:  the columns crew,lon,lat,shift,people,note and
///           crew,kind,label,length_m,load_rating_kg,mass_kg,count,note become records.
/// Units:    lengths _m, _cm, _ft, _in; masses _kg, _g, _lb. Shift as 07:00-16:00.
/// Range:    1 to 20 people; gear up to 30 m and 500 kg.
/// Accuracy: as entered.
/// Errors:   Failure for the file as a whole; a RefusedRow for a row.
/// Source:   docs/reference/settings.md.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

#include "geocore/intake/refused_row.hpp"
#include "geocore/records/crew.hpp"

namespace nestround::intake {

struct CrewBatch {
    std::vector<Crew> crews;  ///< keys are nil
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};

struct GearRow {
    std::size_t row = 0;
    std::string crew;  ///< name; empty: in the store
    Gear gear;         ///< key and crew are nil
};

struct GearBatch {
    std::vector<GearRow> rows;
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};

[[nodiscard]] CrewBatch read_crews(const std::filesystem::path& file);
[[nodiscard]] GearBatch read_gear(const std::filesystem::path& file);

/// Puts each piece on its crew's truck; gives back the rows of no such crew (and of the store).
[[nodiscard]] std::vector<GearRow> load_trucks(std::vector<Crew>& crews, const GearBatch& gear);

}  // namespace nestround::intake
