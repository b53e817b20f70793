/// \file schema.hpp
/// \brief The schema as numbered steps, and how an older book is brought up to date. Private.
///
/// Purpose:  one list of migrations makes a new book and mends an old one, so that the two cannot
///           differ. The SQL stands in schema/*.sql; what every table repeats is made here.
/// Units:    none.
/// Range:    forwards only, by number, without gaps.
/// Promise:  one transaction; the book is copied to a file beside it first; if anything fails it is
///           as it was.
/// Errors:   WrongVersion for a book newer than the list; BookFailed.
/// Source:   own; R-tree triggers word for word from OGC 12-128r17 (1.3) annex F.3.
#pragma once

#include <array>
#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/book/connection.hpp"

namespace nestround::book {

struct Migration {
    int number = 0;   ///< the schema version that it leads to
    std::string sql;  ///< a script, run inside a transaction
    /// What SQL cannot do, after the script and in the same transaction; may be empty.
    std::function<void(Connection&)> then = {};
};

/// All migrations of this program, from nothing to today's schema.
[[nodiscard]] std::span<const Migration> standard_migrations();

/// A row of `child` names a row of `parent` by its id.
struct Relation {
    std::string_view child;
    std::string_view column;
    std::string_view parent;
    int since = 1;  ///< the schema that it came with
};
[[nodiscard]] std::span<const Relation> relations();

/// Tables whose rows have a UUID named id, those that others refer to before those that refer.
[[nodiscard]] std::vector<std::string> tables_with_key();

/// Tables with a geometry column named geom, all of them points.
inline constexpr std::array<std::string_view, 4> kFeatureTables{"site", "crew", "weather_station",
                                                                "partner_nest"};

/// Applies what is missing. A book that has rows is copied first; gives that copy's name.
std::optional<std::filesystem::path> bring_up_to_date(Connection& connection,
                                                      std::span<const Migration> migrations);

/// Opens a book for the given list of migrations (the tests pass lists of their own).
[[nodiscard]] std::unique_ptr<Connection> open_book(const std::filesystem::path& path,
                                                    bool read_only,
                                                    std::span<const Migration> migrations);
/// Makes an empty book in a new file.
void create_book_file(const std::filesystem::path& path, Instant now,
                      std::span<const Migration> migrations);

/// Copies a book as it stands at this moment into a new file, page by page through SQLite, which
/// keeps its locks. Whoever asks removes what came of it when this throws.
void copy_book(Connection& source, const std::filesystem::path& target);
/// A file and what SQLite keeps beside it.
void remove_with_companions(const std::filesystem::path& path);

/// The columns of a table, in order.
[[nodiscard]] std::vector<std::string> columns_of(Connection& connection, std::string_view table);

}  // namespace nestround::book
