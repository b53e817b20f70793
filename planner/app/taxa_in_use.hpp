/// \file taxa_in_use.hpp
/// \brief The taxa table that the settings or the command line ask for.
///
/// Purpose:  every job reads the same figures of wasps: those compiled in, or with the user's own.
/// Units:    as the table's.
/// Range:    an empty folder name is the compiled-in table; a relative one in the settings lies
///           beside the book.
/// Accuracy: not applicable.
/// Errors:   Failure of the folder's reading, see geocore/intake/taxa_folder.hpp.
/// Source:   own.
#pragma once

#include <filesystem>
#include <memory>

#include "geocore/book/book.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "planner/app/preferences.hpp"

namespace nestround::app {

using Taxa = std::shared_ptr<const nature::TaxaTable>;

[[nodiscard]] Taxa taxa_in_use(const std::filesystem::path& folder);
[[nodiscard]] Taxa taxa_in_use(const book::Book& book, const Preferences& preferences);

}  // namespace nestround::app
