#include "geocore/book/connection.hpp"

#include <fmt/format.h>

#include <cassert>

namespace nestround::book {

namespace {

constexpr int kPatienceMs = 5000;

/// What a broken constraint says, in our words where SQLite's are curt.
std::string rule_of(int result, std::string message)
{
    const auto after = [&](std::string_view head) -> std::optional<std::string> {
        if (message.starts_with(head)) {
            return message.substr(head.size());
        }
        return std::nullopt;
    };
    if (const auto rule = after("CHECK constraint failed: ")) {
        return *rule;
    }
    if (const auto columns = after("UNIQUE constraint failed: ")) {
        return fmt::format("a row with this {} is already there", *columns);
    }
    if (const auto column = after("NOT NULL constraint failed: ")) {
        return fmt::format("{} must be given", *column);
    }
    if (result == SQLITE_CONSTRAINT_FOREIGNKEY) {
        return "a row that it refers to, or that refers to it, stands in the way";
    }
    return message;
}

std::string uri_of(const std::filesystem::path& path, std::string_view query)
{
    std::string out = "file:";
    for (const char c : std::filesystem::absolute(path).string()) {
        if (c == '%' || c == '?' || c == '#') {
            out += fmt::format("%{:02X}", static_cast<unsigned char>(c));
        } else {
            out.push_back(c);
        }
    }
    out += query;
    return out;
}

}  // namespace

Connection::Connection(const std::filesystem::path& path, int flags) : path_{path}
{
    // A book in a folder where its reader may not write has no room for SQLite's lock files;
    // nobody can be writing it either, so it is read as it stands.
    const auto open = [&](const std::string& name) {
        int result = sqlite3_open_v2(name.c_str(), &handle_,
                                     flags | SQLITE_OPEN_URI | SQLITE_OPEN_NOMUTEX, nullptr);
        if (result == SQLITE_OK) {
            sqlite3_extended_result_codes(handle_, 1);
            result = sqlite3_exec(handle_, "SELECT count(*) FROM sqlite_master", nullptr, nullptr,
                                  nullptr);
        }
        return result;
    };
    int result = open(uri_of(path, ""));
    const int primary = result & 0xff;
    if ((flags & SQLITE_OPEN_READONLY) != 0 &&
        (primary == SQLITE_READONLY || primary == SQLITE_CANTOPEN)) {
        sqlite3_close_v2(handle_);
        result = open(uri_of(path, "?immutable=1"));
    }
    try {
        if (result != SQLITE_OK && (result & 0xff) != SQLITE_BUSY) {
            refuse(result);
        }
        set_up();  // a book that another program keeps locked is refused here
    } catch (...) {
        sqlite3_close_v2(handle_);
        throw;
    }
}

std::unique_ptr<Connection> Connection::in_memory()
{
    std::unique_ptr<Connection> out{new Connection};
    out->path_ = ":memory:";
    if (const int result = sqlite3_open(":memory:", &out->handle_); result != SQLITE_OK) {
        out->refuse(result);
    }
    out->set_up();
    return out;
}

void Connection::set_up()
{
    sqlite3_busy_timeout(handle_, kPatienceMs);
    register_geometry_functions(handle_);
    execute(
        "PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL; PRAGMA cache_size = -65536;"
        "PRAGMA journal_size_limit = 16777216;");
}

Connection::~Connection()
{
    for (const auto& [sql, statement] : statements_) {
        sqlite3_finalize(statement);
    }
    sqlite3_close_v2(handle_);
}

bool Connection::read_only() const { return sqlite3_db_readonly(handle_, "main") == 1; }

Query Connection::query(const std::string& sql)
{
    auto found = statements_.find(sql);
    // A statement in use further up must not be taken from under its user.
    assert(found == statements_.end() || sqlite3_stmt_busy(found->second) == 0);
    if (found == statements_.end()) {
        sqlite3_stmt* statement = nullptr;
        const int result =
            sqlite3_prepare_v3(handle_, sql.c_str(), static_cast<int>(sql.size()) + 1,
                               SQLITE_PREPARE_PERSISTENT, &statement, nullptr);
        if (result != SQLITE_OK) {
            refuse(result);
        }
        found = statements_.emplace(sql, statement).first;
    }
    return Query{*this, found->second};
}

void Connection::execute(const std::string& sql)
{
    if (const int result = sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr);
        result != SQLITE_OK) {
        refuse(result);
    }
}

std::string Connection::scalar(const std::string& sql)
{
    Query query = this->query(sql);
    return query.step() ? query.text() : std::string{};
}

void Connection::set_patience(std::chrono::milliseconds patience)
{
    sqlite3_busy_timeout(handle_, static_cast<int>(patience.count()));
}

void Connection::begin() { query("BEGIN IMMEDIATE").run(); }

void Connection::commit() { query("COMMIT").run(); }

void Connection::rollback() noexcept
{
    doing.clear();
    if (handle_ != nullptr && sqlite3_get_autocommit(handle_) == 0) {
        sqlite3_exec(handle_, "ROLLBACK", nullptr, nullptr, nullptr);
    }
}

void Connection::refuse(int result) const
{
    const std::string message = handle_ != nullptr ? sqlite3_errmsg(handle_) : "out of memory";
    const std::string file = path_.string();
    const std::string where = doing.empty() ? file : file + ", " + doing;
    switch (result & 0xff) {
        case SQLITE_CONSTRAINT:
            throw Failure{ErrorCode::RuleBroken, rule_of(result, message), where};
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            throw Failure{ErrorCode::BookFailed,
                          "another program is writing to the book; try again when it is done",
                          file};
        case SQLITE_FULL:
            throw Failure{ErrorCode::BookFailed,
                          "the disk is full; the book is as it was: make room and try again", file};
        case SQLITE_IOERR:
            throw Failure{ErrorCode::BookFailed,
                          fmt::format("the disk refused ({}, code {}); the book is as it was: look "
                                      "at the disk and try again",
                                      message, result),
                          file};
        case SQLITE_READONLY:
        case SQLITE_PERM:
            throw Failure{ErrorCode::BookFailed,
                          "the book may not be written; ask for permission or copy it elsewhere",
                          file};
        case SQLITE_CANTOPEN:
            throw Failure{ErrorCode::BookFailed,
                          "the file cannot be opened; look at its permissions and its folder's",
                          file};
        case SQLITE_NOTADB:
            throw Failure{
                ErrorCode::InvalidInput,
                "not a book: this is no GeoPackage; make one with 'nestround book create'", file};
        case SQLITE_CORRUPT:
            throw Failure{ErrorCode::BookFailed,
                          "the file is damaged; go back to a copy, or ask 'nestround book check' "
                          "what is wrong",
                          file};
        default:
            throw Failure{ErrorCode::BookFailed,
                          fmt::format("SQLite refused: {} (code {})", message, result), file};
    }
}

}  // namespace nestround::book
