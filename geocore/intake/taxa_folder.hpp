/// \file taxa_folder.hpp
/// \brief A folder of the user's own figures of wasps, read onto the table that is compiled in.
///
/// Purpose:  a crew adds a species or replaces a figure with an editor, without a new program.
/// Units:    as the table's.
/// Range:    every file of the folder that ends in .csv, in the order of their names; the folders
///           in it are not read.
/// Accuracy: as the marks of the rows.
/// Errors:   Failure: NotFound for no such folder, InvalidInput for a folder without a .csv file
///           and for what with_own_rows refuses, naming file, line and column.
/// Source:   docs/reference/taxa.md.
#pragma once

#include <filesystem>

#include "geocore/nature/taxa_table.hpp"

namespace nestround::intake {

[[nodiscard]] nature::TaxaTable read_taxa_folder(const std::filesystem::path& folder);

}  // namespace nestround::intake
