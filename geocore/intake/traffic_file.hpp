/// \file traffic_file.hpp
/// \brief Reads a table of traffic by hour: days, from, to, class, factor.
///
/// Purpose:  the user's own rush hours; see roads/traffic_table.hpp.
/// Units:    factors on driving time; clock times HH:MM.
/// Range:    columns `from`, `to`, `factor` are needed; `days` (as Mo-Fr) and `class` (as primary)
///           may be empty for all; `source` and `mark` are for the reader.
/// Accuracy: as entered.
/// Errors:   Failure{InvalidInput} naming file and row for the first row that cannot be read: half
/// a
///           table would be taken for a whole one.
/// Source:   own.
#pragma once

#include <filesystem>

#include "geocore/roads/traffic_table.hpp"

namespace nestround::intake {

[[nodiscard]] roads::TrafficTable read_traffic(const std::filesystem::path& file);

}  // namespace nestround::intake
