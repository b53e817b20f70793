/// \file own_taxa.hpp
/// \brief The taxa table with rows of the user's own: species added, figures replaced.
///
/// Purpose:  what a crew measures or reads beats what is compiled in, without a new program.
/// Units:    a parameter keeps the unit that it has in the table.
/// Range:    rows for a subject and parameter that the table holds take the place of all its rows
///           for them; others are added. A file "sources.csv" adds sources or replaces citations.
/// Accuracy: as the marks of the rows.
/// Errors:   InvalidInput naming file, line, column and the way out: what parse_figures refuses; a
///           parameter that nothing reads; another unit than the table's; a share outside 0 to 1; a
///           negative count; the same figure in two files; a taxon that lacks what a forecast
///           needs; shares of a trait that add up to more than 1.
/// Source:   own; docs/reference/taxa.md.
#pragma once

#include <span>

#include "geocore/base/text_file.hpp"
#include "geocore/nature/taxa_table.hpp"

namespace nestround::nature {

/// What a taxon must have, itself or from its groups, to be forecast.
[[nodiscard]] std::span<const std::string_view> needed_parameters();

/// `base` with the rows of `files` added or put in the place of its own.
[[nodiscard]] Result<TaxaTable> with_own_rows(const TaxaTable& base,
                                              std::span<const TextFile> files);

}  // namespace nestround::nature
