/// \file darwin_archive.hpp
/// \brief The occurrences of a Darwin Core archive as a table.
///
/// Purpose:  columns are named by meta.xml, not by their heading; other parts of the archive are
///           not read.
/// Units:    none; cells are text.
/// Range:    archives with occurrences as their core or as an extension.
/// Accuracy: not applicable.
/// Errors:   Failure{InvalidInput} naming the archive: no whole XML, no occurrences, a file that
///           is elsewhere.
/// Source:   Darwin Core text guide (TDWG, 2009 and later).
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "geocore/intake/foreign_file.hpp"
#include "geocore/intake/grid.hpp"

namespace nestround::intake {

/// What meta.xml says of the file of occurrences.
struct ArchiveTable {
    std::string location;
    char separator = ',';
    char quote = '\0';  ///< none
    int heading_lines = 0;
    std::vector<std::pair<int, std::string>> columns;  ///< place and last part of the term
    std::vector<std::pair<std::string, std::string>> constants;
};

[[nodiscard]] ArchiveTable read_archive_meta(std::string_view xml, const std::string& shown);
/// The lines as `meta` has them; constants are columns too.
[[nodiscard]] Grid archive_grid(std::string_view text, const ArchiveTable& meta,
                                const std::string& shown);
[[nodiscard]] Grid read_darwin_archive(const ForeignFile& archive);

}  // namespace nestround::intake
