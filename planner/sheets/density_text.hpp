/// \file density_text.hpp
/// \brief Where nests are dense, in words and as JSON.
///
/// Purpose:  the printed form of `nestround density`; never a client, an address or a nest's place,
///           only cells.
/// Units:    nests per square kilometre and season.
/// Range:    the densest cells first, so many as asked for.
/// Accuracy: two figures.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstddef>
#include <string>

#include "geocore/density/density_map.hpp"

namespace nestround::sheets {

/// What no map of calls can say; printed on each of them.
[[nodiscard]] std::string density_caution();
/// "2024", "2024 to 2026".
[[nodiscard]] std::string season_words(const density::DensityMap& map);
/// "0.23", "12", "1,400": two figures.
[[nodiscard]] std::string per_km2_words(double value);

[[nodiscard]] std::string density_text(const density::DensityMap& map, std::size_t cells);
[[nodiscard]] std::string density_json(const density::DensityMap& map);

}  // namespace nestround::sheets
