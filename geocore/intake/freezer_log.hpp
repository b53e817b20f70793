/// \file freezer_log.hpp
/// \brief The temperatures that a freezer's logger wrote.
///
/// Purpose:  a table with columns time and temperature_c or temperature_f, whatever else it has.
/// Units:    degrees Celsius; instants in UTC.
/// Range:    -200 to 60 C. Times as 2026-08-04T06:30:00Z, or without an offset as
///           "2026-08-04 06:30" in the zone given.
/// Accuracy: as written.
/// Errors:   Failure when there is no such file or column; a row that cannot be read is refused.
/// Source:   own.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/intake/refused_row.hpp"
#include "geocore/units/units.hpp"

namespace nestround::intake {

struct FreezerReading {
    Instant at{};
    Celsius temperature{};
};

struct FreezerLog {
    std::vector<FreezerReading> readings;  ///< by time
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};

[[nodiscard]] FreezerLog read_freezer_log(const std::filesystem::path& file,
                                          const std::string& zone);

}  // namespace nestround::intake
