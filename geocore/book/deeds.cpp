#include "geocore/book/deeds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "geocore/book/schema.hpp"

namespace nestround::book {

namespace {

constexpr std::string_view kDeedColumns = "id, created_at, who, words, state";

Deed read_deed(Query& query)
{
    Deed deed;
    deed.id = query.key<DeedId>();
    deed.at = query.instant();
    deed.who = query.text();
    deed.words = query.text();
    deed.final = query.view() == "final";
    return deed;
}

/// The row as text; nothing when it is not there.
std::optional<std::string> row_text(Connection& connection, std::string_view table,
                                    std::string_view columns, const std::string& id)
{
    Query query = connection.query(fmt::format("SELECT {} FROM {} WHERE id = ?1", columns, table));
    query.bind(id);
    if (!query.step()) {
        return std::nullopt;
    }
    std::string text;
    query.append_typed_row(text);
    return text;
}

struct Column {
    std::string name;
    char form = 'n';
    std::string value;
};

std::string plain(std::string_view escaped)
{
    std::string out;
    for (std::size_t i = 0; i < escaped.size(); ++i) {
        if (escaped[i] != '\\' || i + 1 == escaped.size()) {
            out += escaped[i];
            continue;
        }
        const char c = escaped[++i];
        out += c == 'n' ? '\n' : c == 'r' ? '\r' : c;
    }
    return out;
}

std::vector<Column> columns_in(std::string_view row)
{
    std::vector<Column> out;
    while (!row.empty()) {
        const auto end = row.find('\n');
        const auto line = row.substr(0, end);
        row = end == std::string_view::npos ? std::string_view{} : row.substr(end + 1);
        const auto space = line.find(' ');
        if (space == std::string_view::npos || space + 1 >= line.size()) {
            throw Failure{ErrorCode::RuleBroken, "what a deed kept of a row cannot be read"};
        }
        out.push_back({std::string{line.substr(0, space)}, line[space + 1],
                       std::string{line.substr(space + 2)}});
    }
    return out;
}

std::vector<std::uint8_t> bytes_in(std::string_view hex)
{
    std::vector<std::uint8_t> out;
    for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
        std::uint8_t byte = 0;
        std::from_chars(hex.data() + i, hex.data() + i + 2, byte, 16);
        out.push_back(byte);
    }
    return out;
}

void bind_column(Query& query, const Column& column)
{
    switch (column.form) {
        case 'i':
            query.bind(std::int64_t{std::stoll(column.value)});
            break;
        case 'r': {
            double value = 0;
            std::from_chars(column.value.data(), column.value.data() + column.value.size(), value);
            query.bind(value);
            break;
        }
        case 't':
            query.bind(plain(column.value));
            break;
        case 'b':
            query.bind_bytes(bytes_in(column.value));
            break;
        default:
            query.bind(nullptr);
    }
}

struct DeedRow {
    std::string table;
    std::string id;
    std::optional<std::string> stood;
    std::string stands;
};

std::vector<DeedRow> rows_of(Connection& connection, const Deed& deed)
{
    std::vector<DeedRow> out;
    Query query = connection.query(
        "SELECT row_table, row_id, stood, stands FROM deed_row WHERE deed_id = ?1 ORDER BY number "
        "DESC");
    query.bind(deed.id);
    while (query.step()) {
        DeedRow row;
        row.table = query.text();
        row.id = query.text();
        if (query.next_is_null()) {
            query.skip();
        } else {
            row.stood = query.text();
        }
        row.stands = query.text();
        out.push_back(std::move(row));
    }
    return out;
}

/// A book from elsewhere may hold any words: only its own tables and columns are written to.
void must_be_known(Connection& connection, const DeedRow& row, const std::vector<Column>& columns)
{
    const auto known = columns_of(connection, row.table);
    const bool is_ours = std::any_of(
        relations().begin(), relations().end(),
        [&](const Relation& r) { return r.child == row.table || r.parent == row.table; });
    const bool all = std::all_of(columns.begin(), columns.end(), [&](const Column& column) {
        return std::find(known.begin(), known.end(), column.name) != known.end();
    });
    if (!is_ours || !all || known.empty()) {
        throw Failure{ErrorCode::RuleBroken, "what a deed kept of a row cannot be read",
                      connection.path().string()};
    }
}

std::string column_names(const std::vector<Column>& columns)
{
    std::string out;
    for (const auto& column : columns) {
        out += (out.empty() ? "" : ", ") + column.name;
    }
    return out;
}

void put_back(Connection& connection, const DeedRow& row, const std::string& now)
{
    const auto stands = columns_in(row.stands);
    must_be_known(connection, row, stands);
    if (row_text(connection, row.table, column_names(stands), row.id) != row.stands) {
        throw Failure{ErrorCode::RuleBroken,
                      fmt::format("the {} was changed since, so there is nothing to take back "
                                  "without losing that",
                                  row.table),
                      connection.path().string()};
    }
    if (!row.stood) {
        connection.query(fmt::format("DELETE FROM {} WHERE id = ?1", row.table)).bind(row.id).run();
        return;
    }
    const auto stood = columns_in(*row.stood);
    must_be_known(connection, row, stood);
    std::string sql = fmt::format("UPDATE {} SET changed_at = ?", row.table);
    for (const auto& column : stood) {
        sql += fmt::format(", {} = ?", column.name);
    }
    Query query = connection.query(sql + " WHERE id = ?");
    query.bind(now);
    for (const auto& column : stood) {
        bind_column(query, column);
    }
    query.bind(row.id).run();
}

}  // namespace

bool DeedWriter::knows(std::string_view table, const std::string& id) const
{
    return std::any_of(rows_.begin(), rows_.end(),
                       [&](const Kept& row) { return row.id == id && row.table == table; });
}

void DeedWriter::will_update(std::string_view table, std::string_view columns,
                             const std::string& id)
{
    if (!knows(table, id)) {
        auto stood = row_text(connection_, table, columns, id);
        if (stood) {
            rows_.push_back({std::string{table}, std::string{columns}, id, std::move(stood)});
        }
    }
}

void DeedWriter::has_inserted(std::string_view table, std::string_view columns,
                              const std::string& id)
{
    rows_.push_back({std::string{table}, std::string{columns}, id, std::nullopt});
}

void DeedWriter::write(const std::string& now)
{
    connection_
        .query(
            "UPDATE deed_row SET stood = NULL, stands = NULL WHERE deed_id IN (SELECT id FROM deed "
            "WHERE who = ?1 AND state IN ('open', 'final'))")
        .bind(deed_.who)
        .run();
    connection_
        .query(
            "UPDATE deed SET state = 'followed', changed_at = ?1 WHERE who = ?2 AND state IN "
            "('open', 'final')")
        .bind(now)
        .bind(deed_.who)
        .run();
    connection_
        .query(
            "INSERT INTO deed (id, created_at, changed_at, who, words, state) VALUES (?1, ?2, "
            "?2, ?3, ?4, ?5)")
        .bind(deed_.id)
        .bind(now)
        .bind(deed_.who)
        .bind(deed_.words)
        .bind(deed_.final ? "final" : "open")
        .run();
    int number = 0;
    for (const auto& row : rows_) {
        const auto stands = row_text(connection_, row.table, row.columns, row.id);
        connection_
            .query(
                "INSERT INTO deed_row (deed_id, number, row_table, row_id, stood, stands) VALUES "
                "(?1, ?2, ?3, ?4, ?5, ?6)")
            .bind(deed_.id)
            .bind(++number)
            .bind(row.table)
            .bind(row.id)
            .bind(deed_.final ? std::nullopt : row.stood)
            .bind(deed_.final ? std::nullopt : stands)
            .run();
    }
}

Undone undo_last(Connection& connection, const std::string& who, const std::string& now)
{
    const auto deed = last_deed_of(connection, who);
    if (!deed) {
        throw Failure{ErrorCode::NotFound, fmt::format("'{}' has nothing to take back", who),
                      connection.path().string()};
    }
    if (deed->final) {
        throw Failure{
            ErrorCode::RuleBroken,
            fmt::format("'{}' stays: what concerns a sealed lot or a setting is put right "
                        "by a further record, not taken back",
                        deed->words),
            connection.path().string()};
    }
    Undone undone{*deed, {}};
    for (const auto& row : rows_of(connection, *deed)) {
        put_back(connection, row, now);
        undone.tables.insert(row.table);
    }
    connection.query("UPDATE deed_row SET stood = NULL, stands = NULL WHERE deed_id = ?1")
        .bind(deed->id)
        .run();
    connection.query("UPDATE deed SET state = 'undone', changed_at = ?1 WHERE id = ?2")
        .bind(now)
        .bind(deed->id)
        .run();
    return undone;
}

std::optional<Deed> last_deed_of(Connection& connection, const std::string& who)
{
    Query query = connection.query(fmt::format(
        "SELECT {} FROM deed WHERE who = ?1 AND state IN ('open', 'final') ORDER BY fid DESC "
        "LIMIT 1",
        kDeedColumns));
    query.bind(who);
    return query.step() ? std::optional{read_deed(query)} : std::nullopt;
}

}  // namespace nestround::book
