/// \file taxa_text.hpp
/// \brief What the table knows of the wasps, for people and for programs.
///
/// Purpose:  every figure of a taxon by subject matter, its own and those of its groups, each with
///           its condition, source and mark.
/// Units:    each row's own; dates are month-day of a northern year.
/// Range:    any subject of the table: a taxon or a group.
/// Accuracy: as in the table.
/// Errors:   none.
/// Source:   own; keys of the JSON in docs/reference/taxa.md.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geocore/nature/taxa_table.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::sheets {

/// A heading and the figures that stand below it.
struct TaxaSection {
    std::string title;
    std::vector<const Figure*> figures;
};

/// What holds for `subject`: its own rows, then those of its groups that it does not replace.
[[nodiscard]] std::vector<TaxaSection> taxa_sections(const nature::TaxaTable& table,
                                                     std::string_view subject);
/// "1000 / 2000 / 3000 wasps", "08-18 / 08-28 / 09-15 at 34.5 deg", or words.
[[nodiscard]] std::string figure_text(const Figure& row);

[[nodiscard]] std::string taxa_list_text(const nature::TaxaTable& table,
                                         const TextOptions& options);
[[nodiscard]] std::string taxa_text(const nature::TaxaTable& table, std::string_view subject,
                                    const TextOptions& options);
[[nodiscard]] std::string taxa_list_json(const nature::TaxaTable& table);
[[nodiscard]] std::string taxa_json(const nature::TaxaTable& table, std::string_view subject);

}  // namespace nestround::sheets
