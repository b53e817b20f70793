/// \file open_words.hpp
/// \brief What stands in a connection's name: NESTROUND:book.gpkg?on=2026-08-04&roads=county.roads
///
/// Purpose:  one reading of the name, shared by the driver's look and its opening.
/// Units:    none.
/// Range:    keys: on, roads, taxa, species, season, cell_km2; values may be percent-encoded. A '?'
///           before words that are no keys belongs to the file's name.
/// Accuracy: not applicable.
/// Errors:   InvalidInput naming the word and the words that are known.
/// Source:   own; percent-encoding of RFC 3986.
#pragma once

#include <string>
#include <string_view>

#include "geocore/base/error.hpp"
#include "planner/app/live_view.hpp"

namespace nestround::driver {

inline constexpr std::string_view kPrefix = "NESTROUND:";

[[nodiscard]] bool has_prefix(std::string_view name);
/// Whether the driver knows the key.
[[nodiscard]] bool is_word(std::string_view key);
[[nodiscard]] Result<app::LiveWishes> read_name(std::string_view name);
/// One key with its value, as in the name or among GDAL's open options; without regard to case.
[[nodiscard]] Result<bool> set_word(app::LiveWishes& wishes, std::string_view key,
                                    const std::string& value);

}  // namespace nestround::driver
