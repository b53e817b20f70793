/// \file grid.hpp
/// \brief A table of text cells, from a text file or from a layer; what all readers start from.
///
/// Purpose:  the readers of calls, crews and weather see no difference between file formats.
/// Units:    none; cells are text.
/// Range:    cells up to 64 KiB, 2000 columns.
/// Accuracy: numbers of a layer are written so that reading them gives the same number.
/// Errors:   damaged rows are in `refused`, the others in `rows`.
/// Source:   RFC 4180, read leniently: comma, semicolon, tab or bar between cells, any line ends.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/refused_row.hpp"
#include "geocore/units/units.hpp"

namespace nestround::intake {

struct GridRow {
    std::size_t number = 0;
    std::vector<std::string> cells;
    std::optional<LonLat> point;  ///< of a layer's feature, WGS 84
    std::string point_fault;      ///< why there is none
};

struct Grid {
    std::string file;  ///< for messages
    std::vector<std::string> header;
    std::vector<GridRow> rows;
    bool has_points = false;     ///< a layer with geometry
    bool decimal_comma = false;  ///< "9,52" may be a number
    std::size_t name_limit = 0;  ///< names of columns are cut to this; 0: they are not
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};

enum class Header { Yes, No };

/// The text of a file with cells in lines. Fails only when there is no header.
[[nodiscard]] Result<Grid> parse_text_grid(std::string_view text, const std::string& file,
                                           Header header = Header::Yes);
[[nodiscard]] Grid read_text_grid(const std::filesystem::path& file);

}  // namespace nestround::intake
