// Making a book, opening one, and bringing an older one up to date.
#include <fmt/format.h>

#include <cassert>
#include <system_error>

#include "geocore/book/history.hpp"
#include "geocore/book/schema.hpp"

namespace nestround::book {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view kApplicationId = "1196444487";  // "GPKG" as a number
constexpr std::string_view kUserVersion = "10300";         // GeoPackage 1.3

[[noreturn]] void refuse_foreign(const fs::path& path)
{
    throw Failure{ErrorCode::WrongVersion,
                  "a GeoPackage of another program, not a book; make a book with 'nestround book "
                  "create', then take its rows in with 'nestround call import'",
                  path.string()};
}

/// The schema version of a book that is truly ours.
int version_of(Connection& connection)
{
    if (connection.scalar("PRAGMA application_id") != kApplicationId) {
        throw Failure{ErrorCode::InvalidInput,
                      "not a book: a database, but no GeoPackage; make one with 'nestround book "
                      "create'",
                      connection.path().string()};
    }
    if (connection.scalar("SELECT count(*) FROM sqlite_master WHERE name = 'app_meta'") != "1" ||
        connection.scalar("PRAGMA user_version") != kUserVersion ||
        connection.scalar("SELECT value FROM app_meta WHERE key = 'format'") != "nestround book") {
        refuse_foreign(connection.path());
    }
    const std::string version =
        connection.scalar("SELECT value FROM app_meta WHERE key = 'schema_version'");
    if (version.empty() || version.size() > 6 ||
        version.find_first_not_of("0123456789") != std::string::npos) {
        refuse_foreign(connection.path());
    }
    return std::stoi(version);
}

[[noreturn]] void refuse_newer(const fs::path& path, int found, int known)
{
    throw Failure{
        ErrorCode::WrongVersion,
        fmt::format("the book was made by a newer program (schema {}, this one knows {}); "
                    "install the newer nestround",
                    found, known),
        path.string()};
}

/// SQLite answers with the mode it is in; any other than WAL would lose readers during a write.
void write_ahead(Connection& connection)
{
    if (const auto mode = connection.scalar("PRAGMA journal_mode = WAL"); mode != "wal") {
        throw Failure{ErrorCode::BookFailed,
                      fmt::format("the folder does not allow SQLite's write-ahead log (it answers "
                                  "'{}'); keep the book on a local disk",
                                  mode),
                      connection.path().string()};
    }
}

/// A free name beside the book: "book.schema-1.gpkg", "book.schema-1-2.gpkg", ...
fs::path copy_name(const fs::path& book, int version)
{
    for (int attempt = 1;; ++attempt) {
        fs::path name = book;
        name.replace_filename(fmt::format("{}.schema-{}{}{}", book.stem().string(), version,
                                          attempt == 1 ? "" : fmt::format("-{}", attempt),
                                          book.extension().string()));
        if (!fs::exists(name)) {
            return name;
        }
    }
}

/// The reader sees the last committed state while our transaction holds writers off.
fs::path copy_beside(const Connection& connection, int version)
{
    const fs::path name = copy_name(connection.path(), version);
    try {
        Connection source{connection.path(), SQLITE_OPEN_READONLY};
        copy_book(source, name);
    } catch (const Failure& failure) {
        remove_with_companions(name);
        throw Failure{ErrorCode::BookFailed,
                      fmt::format("cannot copy the book to {} before bringing it up to date ({}); "
                                  "the book is as it was: make room and try again",
                                  name.string(), failure.error().message),
                      connection.path().string()};
    }
    return name;
}

}  // namespace

void remove_with_companions(const fs::path& path)
{
    for (const auto* tail : {"", "-wal", "-shm", "-journal"}) {
        std::error_code ignored;
        fs::remove(path.string() + tail, ignored);
    }
}

// Opening the file in any other way would drop the locks that SQLite holds on it.
void copy_book(Connection& source, const fs::path& target)
{
    Connection copy{target, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE};
    sqlite3_backup* backup = sqlite3_backup_init(copy.handle(), "main", source.handle(), "main");
    int result = backup == nullptr ? sqlite3_errcode(copy.handle()) : SQLITE_OK;
    if (backup != nullptr) {
        result = sqlite3_backup_step(backup, -1);
        sqlite3_backup_finish(backup);
    }
    if (result != SQLITE_DONE) {
        throw Failure{ErrorCode::BookFailed, sqlite3_errstr(result), target.string()};
    }
}

std::optional<fs::path> bring_up_to_date(Connection& connection,
                                         std::span<const Migration> migrations)
{
    assert(!migrations.empty());
    const int latest = migrations.back().number;
    connection.begin();
    try {
        // Read again under the lock: another process may have been quicker.
        const bool has_schema =
            connection.scalar("SELECT count(*) FROM sqlite_master WHERE name = 'app_meta'") == "1";
        const int version = has_schema ? version_of(connection) : 0;
        if (version >= latest) {
            connection.rollback();
            if (version > latest) {
                refuse_newer(connection.path(), version, latest);
            }
            connection.schema_version = version;
            return std::nullopt;
        }
        std::optional<fs::path> copy;
        if (version > 0) {
            copy = copy_beside(connection, version);
        }
        // Tables may be rebuilt in any order; what they name is looked at when the whole is done.
        connection.execute("PRAGMA defer_foreign_keys = ON");
        for (const auto& migration : migrations) {
            if (migration.number > version) {
                connection.execute(migration.sql);
                if (migration.then) {
                    migration.then(connection);
                }
            }
        }
        remember_versions(connection);
        connection.query("UPDATE app_meta SET value = ?1 WHERE key = 'schema_version'")
            .bind(std::to_string(latest))
            .run();
        connection.commit();
        connection.schema_version = latest;
        return copy;
    } catch (...) {
        connection.rollback();
        throw;
    }
}

std::unique_ptr<Connection> open_book(const fs::path& path, bool read_only,
                                      std::span<const Migration> migrations)
{
    std::error_code ignored;
    if (!fs::exists(path, ignored)) {
        throw Failure{ErrorCode::NotFound,
                      "no such book; make one with 'nestround book create', or mend the name",
                      path.string()};
    }
    if (!fs::is_regular_file(path, ignored)) {
        throw Failure{ErrorCode::InvalidInput, "not a book: this is no file", path.string()};
    }
    auto connection = std::make_unique<Connection>(
        path, read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE);
    const int version = version_of(*connection);
    const int latest = migrations.back().number;
    if (version > latest) {
        refuse_newer(path, version, latest);
    }
    connection->schema_version = version;
    if (read_only) {
        if (version < latest) {
            throw Failure{ErrorCode::WrongVersion,
                          fmt::format("the book has the older schema {}; bring it to {} with "
                                      "'nestround book update'",
                                      version, latest),
                          path.string()};
        }
        return connection;
    }
    if (connection->read_only()) {
        throw Failure{ErrorCode::BookFailed,
                      "the book may not be written; ask for permission or copy it elsewhere",
                      path.string()};
    }
    write_ahead(*connection);
    if (version < latest) {
        bring_up_to_date(*connection, migrations);
    }
    return connection;
}

void create_book_file(const fs::path& path, Instant now, std::span<const Migration> migrations)
{
    if (path.extension() != ".gpkg") {
        throw Failure{ErrorCode::InvalidInput,
                      "a book's name ends in .gpkg, so that every GIS knows what it is",
                      path.string()};
    }
    const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path{"."};
    std::error_code problem;
    if (!fs::is_directory(folder, problem)) {
        throw Failure{ErrorCode::NotFound, "no such folder; make it first", folder.string()};
    }
    const auto refuse_overwriting = [&] {
        throw Failure{ErrorCode::BookFailed,
                      "there is something of that name already, and it is never overwritten; "
                      "choose another name",
                      path.string()};
    };
    if (fs::exists(fs::symlink_status(path, problem))) {
        refuse_overwriting();
    }
    // Made under another name and moved when whole, so that a crash leaves no half a book.
    const fs::path draft = path.string() + ".making";
    remove_with_companions(draft);
    try {
        {
            Connection connection{draft, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE};
            connection.execute(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {};",
                                           kApplicationId, kUserVersion));
            bring_up_to_date(connection, migrations);
            connection.query("UPDATE gpkg_contents SET last_change = ?1").bind(now).run();
            write_ahead(connection);
        }
        // A hard link, unlike a rename, refuses to replace a file that came up meanwhile.
        fs::create_hard_link(draft, path, problem);
        if (problem == std::errc::file_exists) {
            refuse_overwriting();
        }
        if (problem) {
            fs::rename(draft, path, problem);  // a disk without hard links
            if (problem) {
                throw Failure{ErrorCode::BookFailed,
                              "cannot be made here (" + problem.message() + ")", path.string()};
            }
        }
        remove_with_companions(draft);
    } catch (const Failure& failure) {
        remove_with_companions(draft);
        // The person knows nothing of the other name.
        std::string message = failure.error().message;
        throw Failure{failure.error().code, message, path.string()};
    }
}

}  // namespace nestround::book
