/// \file database.hpp
/// \brief SQLite as this room needs it: statements that bind, step and read. Private to this room.
///
/// Purpose:  turns SQLite's codes into one line that names the file.
/// Units:    none.
/// Range:    one thread at a time.
/// Promise:  every statement is finished before its database is closed.
/// Errors:   Failure as place_file.hpp lists them.
/// Source:   SQLite C interface.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <string>
#include <string_view>

namespace nestround::gazetteer {

class Database {
public:
    Database(std::string path, int flags);
    ~Database();
    Database(const Database&) = delete;
    Database& operator=(const Database&) = delete;

    void run(const std::string& sql);
    [[noreturn]] void refuse() const;
    [[nodiscard]] sqlite3* handle() const { return handle_; }
    [[nodiscard]] bool writes() const { return writes_; }

private:
    std::string path_;
    bool writes_;
    sqlite3* handle_ = nullptr;
};

class Statement {
public:
    Statement(Database& database, const std::string& sql);
    ~Statement();
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    Statement& bind(std::string_view text);
    Statement& bind(std::int64_t value);
    Statement& bind(double value);
    /// The next row; at the end the statement is ready to be bound anew.
    bool step();
    /// Leaves the rest of the rows and is ready to be bound anew.
    void again();

    [[nodiscard]] std::string_view text(int column) const;
    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] double real(int column) const;

private:
    Database& database_;
    sqlite3_stmt* statement_ = nullptr;
    int parameter_ = 0;
};

}  // namespace nestround::gazetteer
