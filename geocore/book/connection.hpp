/// \file connection.hpp
/// \brief One SQLite connection to a book, its statements and its errors. Private to this room.
///
/// Purpose:  the only place that speaks to SQLite's C API: opens, prepares, binds, steps, and turns
///           a refusal into one line that names the file.
/// Units:    none.
/// Range:    one thread at a time; statements are kept and used again.
/// Promise:  a value that SQLite cannot hold (NaN, infinity) is refused, never written as NULL.
/// Errors:   Failure as book.hpp lists them.
/// Source:   SQLite C interface.
#pragma once

#include <sqlite3.h>

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "geocore/base/calendar.hpp"
#include "geocore/base/identifier.hpp"
#include "geocore/records/row_merge.hpp"
#include "geocore/units/units.hpp"

namespace nestround::book {

class Connection;

/// Text that is empty when unknown: NULL in the file.
struct Words {
    std::string_view text;
};

/// A prepared statement in use: bind in order, step, read in order. Gives itself back when it dies.
class Query {
public:
    Query(Connection& connection, sqlite3_stmt* statement);
    Query(const Query&) = delete;
    Query& operator=(const Query&) = delete;
    ~Query();

    Query& bind(std::nullptr_t);
    Query& bind(std::string_view text);
    Query& bind(const char* text) { return bind(std::string_view{text}); }
    Query& bind(const std::string& text) { return bind(std::string_view{text}); }
    Query& bind(Words words);
    Query& bind(std::int64_t value);
    Query& bind(int value) { return bind(static_cast<std::int64_t>(value)); }
    Query& bind(bool value) { return bind(static_cast<std::int64_t>(value ? 1 : 0)); }
    Query& bind(double value);
    Query& bind(LonLat place);
    Query& bind_bytes(std::span<const std::uint8_t> bytes);
    Query& bind_any(const FieldValue& value);
    Query& bind(Day day) { return bind(format_day(day)); }
    Query& bind(Instant instant) { return bind(format_instant(instant)); }
    Query& bind(ClockTime time) { return bind(format_clock(time)); }
    template <class Unit>
    Query& bind(Quantity<Unit> value)
    {
        return bind(value.value());
    }
    template <class Difference>
    Query& bind(Point<Difference> value)
    {
        return bind(value.value());
    }
    template <class Tag>
    Query& bind(const Id<Tag>& id)
    {
        return bind(id.text());
    }
    template <class Value>
    Query& bind(const std::optional<Value>& value)
    {
        return value ? bind(*value) : bind(nullptr);
    }

    /// The next row, or false at the end.
    bool step();
    /// Runs a statement that gives no rows.
    void run();
    /// Binds anew from the first place; what was bound stays until overwritten.
    void again();

    // Reading, each call the next column. A value that is not of the form expected is RuleBroken.
    [[nodiscard]] bool next_is_null() const;
    [[nodiscard]] std::string text();  ///< NULL reads as empty
    [[nodiscard]] std::string_view view();
    [[nodiscard]] std::int64_t integer();
    [[nodiscard]] double real();
    [[nodiscard]] bool flag() { return integer() != 0; }
    [[nodiscard]] std::span<const std::uint8_t> blob();
    [[nodiscard]] LonLat place();
    [[nodiscard]] Day day();
    [[nodiscard]] Instant instant();
    [[nodiscard]] ClockTime clock();
    [[nodiscard]] FieldValue any();  ///< whatever it is
    void skip() { ++column_; }

    [[nodiscard]] std::optional<double> maybe_real();
    [[nodiscard]] std::optional<int> maybe_integer();
    [[nodiscard]] std::optional<std::int64_t> maybe_whole();
    [[nodiscard]] std::optional<Day> maybe_day();
    [[nodiscard]] std::optional<Instant> maybe_instant();
    template <class Unit>
    [[nodiscard]] std::optional<Quantity<Unit>> maybe()
    {
        const auto value = maybe_real();
        return value ? std::optional{Quantity<Unit>{*value}} : std::nullopt;
    }
    template <class Key>
    [[nodiscard]] Key key()
    {
        return Key{uuid()};
    }
    template <class Key>
    [[nodiscard]] std::optional<Key> maybe_key()
    {
        if (next_is_null()) {
            skip();
            return std::nullopt;
        }
        return key<Key>();
    }
    /// A word that `parse` knows, as call_state or nest_kind.
    template <class Parse>
    [[nodiscard]] auto word(Parse parse)
    {
        const std::string_view text = view();
        const auto value = parse(text);
        if (!value) {
            damaged(text, "is not a word this column may hold");
        }
        return *value;
    }

    /// The whole row, a line a column: name, a space, value; the name alone when there is no value.
    /// Numbers in the shortest form that reads back the same; backslash and line ends are escaped.
    void append_row(std::string& text);
    /// The same with the form of each value before it, one of n, i, r, t, b (hexadecimal), so that
    /// it can be written back exactly.
    void append_typed_row(std::string& text);

    /// Throws RuleBroken about the column just read.
    [[noreturn]] void damaged(std::string_view found, std::string_view complaint) const;

private:
    [[nodiscard]] Uuid uuid();
    void bound(int result);

    Connection& connection_;
    sqlite3_stmt* statement_;
    int parameter_ = 0;
    int column_ = 0;
};

class Connection {
public:
    /// `flags` are SQLITE_OPEN_...; registers the ST_ functions and sets the pragmas that a
    /// connection needs and that do not touch the file.
    Connection(const std::filesystem::path& path, int flags);
    /// An empty database in memory, for comparing schemas.
    static std::unique_ptr<Connection> in_memory();
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;
    ~Connection();

    [[nodiscard]] sqlite3* handle() const { return handle_; }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    [[nodiscard]] bool read_only() const;

    /// A statement, prepared once and kept.
    [[nodiscard]] Query query(const std::string& sql);
    /// Runs a script of statements.
    void execute(const std::string& sql);
    /// The first column of the first row; empty when there is none.
    [[nodiscard]] std::string scalar(const std::string& sql);

    void set_patience(std::chrono::milliseconds patience);

    /// BEGIN IMMEDIATE, COMMIT and ROLLBACK; rollback never throws.
    void begin();
    void commit();
    void rollback() noexcept;

    /// Throws what SQLite's result code means for a person.
    [[noreturn]] void refuse(int result) const;
    /// The row being written, for the message of a refusal.
    std::string doing;

    int schema_version = 0;

private:
    Connection() = default;
    void set_up();

    std::filesystem::path path_;
    sqlite3* handle_ = nullptr;
    std::map<std::string, sqlite3_stmt*, std::less<>> statements_;
};

/// ST_IsEmpty, ST_MinX, ST_MaxX, ST_MinY, ST_MaxY, which the R-tree triggers call.
void register_geometry_functions(sqlite3* handle);

}  // namespace nestround::book
