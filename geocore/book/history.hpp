/// \file history.hpp
/// \brief The versions that each row had before. Private.
///
/// Purpose:  a merge must tell what a row said when two books were still one. Triggers keep it, so
///           that a GIS that edits the file keeps it too.
/// Units:    a version is text: "name value name value ...", values as SQLite's quote() has them.
/// Range:    every table with a UUID, except the deeds of persons, which belong to one book. The
///           bytes of a photo never change and are not kept again.
/// Promise:  written in the transaction of the change itself.
/// Errors:   Failure as Connection's.
/// Source:   own.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/book/connection.hpp"
#include "geocore/records/row_merge.hpp"

namespace nestround::book {

inline constexpr int kHistorySchema = 8;

/// Makes the triggers anew for the columns that the tables have now; nothing in an older schema.
void remember_versions(Connection& connection);

/// Tables whose past is kept, those that others refer to first.
[[nodiscard]] std::vector<std::string> tables_with_past();
/// The columns that say something: neither keys, nor instants of writing, nor the bytes of a photo.
[[nodiscard]] std::vector<std::string> telling_columns(Connection& connection,
                                                       std::string_view table);
/// An expression that gives a version as text; `row` is the name of a row in it: "OLD", "x".
[[nodiscard]] std::string version_text(std::string_view row, std::span<const std::string> columns);

/// The past versions of a row, in the book itself ("main") or an attached one.
[[nodiscard]] std::vector<RowVersion> past_of(Connection& connection, std::string_view database,
                                              std::string_view table, const std::string& id);
/// Keeps a version as past unless it is there; whether it was new.
bool keep_version(Connection& connection, std::string_view table, const std::string& id,
                  const RowVersion& version, std::span<const std::string> columns);

}  // namespace nestround::book
