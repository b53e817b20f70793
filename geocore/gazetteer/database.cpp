#include "geocore/gazetteer/database.hpp"

#include <fmt/format.h>

#include <utility>

#include "geocore/base/error.hpp"

namespace nestround::gazetteer {

Database::Database(std::string path, int flags)
    : path_{std::move(path)}, writes_{(flags & SQLITE_OPEN_READONLY) == 0}
{
    if (sqlite3_open_v2(path_.c_str(), &handle_, flags, nullptr) != SQLITE_OK) {
        const Failure failure{writes_ ? ErrorCode::OutputFailed : ErrorCode::InvalidInput,
                              sqlite3_errmsg(handle_), path_};
        sqlite3_close(handle_);
        throw failure;
    }
}

Database::~Database() { sqlite3_close(handle_); }

void Database::run(const std::string& sql)
{
    if (sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) {
        refuse();
    }
}

void Database::refuse() const
{
    throw Failure{
        writes_ ? ErrorCode::OutputFailed : ErrorCode::InvalidInput,
        fmt::format("{}; make it again with: nestround places build", sqlite3_errmsg(handle_)),
        path_};
}

Statement::Statement(Database& database, const std::string& sql) : database_{database}
{
    if (sqlite3_prepare_v3(database.handle(), sql.c_str(), -1, SQLITE_PREPARE_PERSISTENT,
                           &statement_, nullptr) != SQLITE_OK) {
        database.refuse();
    }
}

Statement::~Statement() { sqlite3_finalize(statement_); }

Statement& Statement::bind(std::string_view text)
{
    if (sqlite3_bind_text(statement_, ++parameter_, text.data(), static_cast<int>(text.size()),
                          SQLITE_TRANSIENT) != SQLITE_OK) {
        database_.refuse();
    }
    return *this;
}

Statement& Statement::bind(std::int64_t value)
{
    if (sqlite3_bind_int64(statement_, ++parameter_, value) != SQLITE_OK) {
        database_.refuse();
    }
    return *this;
}

Statement& Statement::bind(double value)
{
    if (sqlite3_bind_double(statement_, ++parameter_, value) != SQLITE_OK) {
        database_.refuse();
    }
    return *this;
}

bool Statement::step()
{
    const int result = sqlite3_step(statement_);
    if (result == SQLITE_ROW) {
        return true;
    }
    if (result != SQLITE_DONE) {
        database_.refuse();
    }
    again();
    return false;
}

void Statement::again()
{
    sqlite3_reset(statement_);
    parameter_ = 0;
}

std::string_view Statement::text(int column) const
{
    const auto* letters = sqlite3_column_text(statement_, column);
    const auto size = sqlite3_column_bytes(statement_, column);
    return letters == nullptr ? std::string_view{}
                              : std::string_view{reinterpret_cast<const char*>(letters),
                                                 static_cast<std::size_t>(size)};
}

std::int64_t Statement::integer(int column) const
{
    return sqlite3_column_int64(statement_, column);
}

double Statement::real(int column) const { return sqlite3_column_double(statement_, column); }

}  // namespace nestround::gazetteer
