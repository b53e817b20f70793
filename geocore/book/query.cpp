// One statement: what goes in and what comes out of it.
#include <fmt/format.h>

#include <cmath>

#include "geocore/book/connection.hpp"
#include "geocore/place/gpb_geometry.hpp"

namespace nestround::book {

Query::Query(Connection& connection, sqlite3_stmt* statement)
    : connection_{connection}, statement_{statement}
{
}

Query::~Query()
{
    sqlite3_reset(statement_);
    sqlite3_clear_bindings(statement_);
}

void Query::bound(int result)
{
    if (result != SQLITE_OK) {
        connection_.refuse(result);
    }
}

Query& Query::bind(std::nullptr_t)
{
    bound(sqlite3_bind_null(statement_, ++parameter_));
    return *this;
}

Query& Query::bind(std::string_view text)
{
    bound(sqlite3_bind_text(statement_, ++parameter_, text.data() == nullptr ? "" : text.data(),
                            static_cast<int>(text.size()), SQLITE_TRANSIENT));
    return *this;
}

Query& Query::bind(Words words) { return words.text.empty() ? bind(nullptr) : bind(words.text); }

Query& Query::bind(std::int64_t value)
{
    bound(sqlite3_bind_int64(statement_, ++parameter_, value));
    return *this;
}

Query& Query::bind(double value)
{
    if (!std::isfinite(value)) {
        // SQLite would store NaN as NULL, "unknown", without a word.
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("value {} of the row is not a number", parameter_ + 1),
                      connection_.path().string() +
                          (connection_.doing.empty() ? "" : ", " + connection_.doing)};
    }
    bound(sqlite3_bind_double(statement_, ++parameter_, value));
    return *this;
}

Query& Query::bind(LonLat place)
{
    if (!is_on_earth(place)) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("longitude {}, latitude {} is no place on Earth",
                                  place.lon.value(), place.lat.value()),
                      connection_.path().string() +
                          (connection_.doing.empty() ? "" : ", " + connection_.doing)};
    }
    const auto blob = place::write_gpb_point(place);
    bound(sqlite3_bind_blob(statement_, ++parameter_, blob.data(), static_cast<int>(blob.size()),
                            SQLITE_TRANSIENT));
    return *this;
}

Query& Query::bind_bytes(std::span<const std::uint8_t> bytes)
{
    static constexpr std::uint8_t kNothing = 0;  // no address would be bound as NULL
    bound(sqlite3_bind_blob(statement_, ++parameter_, bytes.empty() ? &kNothing : bytes.data(),
                            static_cast<int>(bytes.size()), SQLITE_TRANSIENT));
    return *this;
}

Query& Query::bind_any(const FieldValue& value)
{
    struct Bind {
        Query& query;
        void operator()(std::monostate /*nothing*/) const { query.bind(nullptr); }
        void operator()(std::int64_t number) const { query.bind(number); }
        void operator()(double number) const { query.bind(number); }
        void operator()(const std::string& words) const { query.bind(words); }
        void operator()(const Blob& blob) const
        {
            const auto* data = reinterpret_cast<const std::uint8_t*>(blob.bytes.data());  // NOLINT
            query.bind_bytes({data, blob.bytes.size()});
        }
    };
    std::visit(Bind{*this}, value);
    return *this;
}

bool Query::step()
{
    column_ = 0;
    const int result = sqlite3_step(statement_);
    if (result == SQLITE_ROW) {
        return true;
    }
    if (result != SQLITE_DONE) {
        connection_.refuse(result);
    }
    return false;
}

void Query::run()
{
    while (step()) {
    }
}

void Query::again()
{
    sqlite3_reset(statement_);
    parameter_ = 0;
    column_ = 0;
}

FieldValue Query::any()
{
    switch (sqlite3_column_type(statement_, column_)) {
        case SQLITE_INTEGER:
            return integer();
        case SQLITE_FLOAT:
            return real();
        case SQLITE_TEXT:
            return text();
        case SQLITE_BLOB: {
            const auto bytes = blob();
            return Blob{{bytes.begin(), bytes.end()}};
        }
        default:
            skip();
            return {};
    }
}

bool Query::next_is_null() const { return sqlite3_column_type(statement_, column_) == SQLITE_NULL; }

std::string_view Query::view()
{
    const auto* text =
        reinterpret_cast<const char*>(sqlite3_column_text(statement_, column_));  // NOLINT
    const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_, column_));
    ++column_;
    return text == nullptr ? std::string_view{} : std::string_view{text, size};
}

std::string Query::text() { return std::string{view()}; }

std::int64_t Query::integer() { return sqlite3_column_int64(statement_, column_++); }

double Query::real() { return sqlite3_column_double(statement_, column_++); }

std::span<const std::uint8_t> Query::blob()
{
    const auto* data = static_cast<const std::uint8_t*>(sqlite3_column_blob(statement_, column_));
    const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_, column_));
    ++column_;
    return {data, size};
}

void Query::damaged(std::string_view found, std::string_view complaint) const
{
    const char* table = nullptr;
#ifdef SQLITE_ENABLE_COLUMN_METADATA
    table = sqlite3_column_table_name(statement_, column_ - 1);
#endif
    const char* column = sqlite3_column_name(statement_, column_ - 1);
    throw Failure{
        ErrorCode::RuleBroken,
        fmt::format("'{}' {}; 'nestround book check' lists what is wrong", found, complaint),
        fmt::format("{}, column {}{}{}", connection_.path().string(), table == nullptr ? "" : table,
                    table == nullptr ? "" : ".", column == nullptr ? "?" : column)};
}

Uuid Query::uuid()
{
    const auto text = view();
    const auto value = Uuid::parse(text);
    if (!value) {
        damaged(text, "is not a UUID");
    }
    return *value;
}

LonLat Query::place()
{
    const auto geometry = place::read_gpb(blob());
    if (!geometry || !geometry->point || !is_on_earth(*geometry->point)) {
        damaged("geometry", "is no point on Earth");
    }
    return *geometry->point;
}

Day Query::day()
{
    const auto text = view();
    const auto value = parse_day(text);
    if (!value) {
        damaged(text, "is not a date");
    }
    return *value;
}

Instant Query::instant()
{
    const auto text = view();
    const auto value = parse_instant(text);
    if (!value) {
        damaged(text, "is not an instant in UTC");
    }
    return *value;
}

ClockTime Query::clock()
{
    const auto text = view();
    const auto value = parse_clock(text);
    if (!value) {
        damaged(text, "is not a clock time");
    }
    return *value;
}

std::optional<double> Query::maybe_real()
{
    if (next_is_null()) {
        skip();
        return std::nullopt;
    }
    return real();
}

std::optional<int> Query::maybe_integer()
{
    if (next_is_null()) {
        skip();
        return std::nullopt;
    }
    return static_cast<int>(integer());
}

std::optional<std::int64_t> Query::maybe_whole()
{
    if (next_is_null()) {
        skip();
        return std::nullopt;
    }
    return integer();
}

namespace {

void append_escaped(std::string& text, std::string_view words)
{
    for (const char c : words) {
        text += c == '\\'   ? std::string{"\\\\"}
                : c == '\n' ? std::string{"\\n"}
                : c == '\r' ? std::string{"\\r"}
                            : std::string{c};
    }
}

}  // namespace

void Query::append_typed_row(std::string& text)
{
    const int before = column_;
    for (int column = 0; column < sqlite3_column_count(statement_); ++column) {
        text += sqlite3_column_name(statement_, column);
        switch (sqlite3_column_type(statement_, column)) {
            case SQLITE_NULL:
                text += " n";
                break;
            case SQLITE_INTEGER:
                text += fmt::format(" i{}", sqlite3_column_int64(statement_, column));
                break;
            case SQLITE_FLOAT:
                text += fmt::format(" r{}", sqlite3_column_double(statement_, column));
                break;
            case SQLITE_BLOB:
                text += " b";
                column_ = column;
                for (const auto byte : blob()) {
                    text += fmt::format("{:02x}", byte);
                }
                break;
            default:
                text += " t";
                column_ = column;
                append_escaped(text, view());
        }
        text += '\n';
    }
    column_ = before;
}

void Query::append_row(std::string& text)
{
    for (int column = 0; column < sqlite3_column_count(statement_); ++column) {
        text += sqlite3_column_name(statement_, column);
        switch (sqlite3_column_type(statement_, column)) {
            case SQLITE_NULL:
                break;
            case SQLITE_INTEGER:
                text += fmt::format(" {}", sqlite3_column_int64(statement_, column));
                break;
            case SQLITE_FLOAT:
                text += fmt::format(" {}", sqlite3_column_double(statement_, column));
                break;
            default:
                text += ' ';
                column_ = column;
                append_escaped(text, view());
        }
        text += '\n';
    }
}

std::optional<Day> Query::maybe_day()
{
    if (next_is_null()) {
        skip();
        return std::nullopt;
    }
    return day();
}

std::optional<Instant> Query::maybe_instant()
{
    if (next_is_null()) {
        skip();
        return std::nullopt;
    }
    return instant();
}

}  // namespace nestround::book
