// What two books disagreed on: written down, listed, decided again.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

#include "geocore/base/sha256.hpp"
#include "geocore/book/contents.hpp"
#include "geocore/book/history.hpp"
#include "geocore/book/merge_work.hpp"

namespace nestround::book {

namespace {

constexpr std::string_view kColumns =
    "id, row_table, row_id, coalesce(field, ''), first, coalesce(first_at, ''), second, "
    "coalesce(second_at, ''), stands, grounds";

/// The same two values of the same field give the same key in every book (RFC 9562, version 8).
std::string key_of(const std::string& table, const std::string& id, const std::string& field,
                   const std::string& first, const std::string& second)
{
    const auto digest = sha256(fmt::format("conflict\n{}\n{}\n{}\n{}\n{}", table, id, field,
                                           std::min(first, second), std::max(first, second)));
    std::array<std::uint8_t, 16> bytes{};
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        std::from_chars(digest.data() + 2 * i, digest.data() + 2 * i + 2, bytes[i], 16);
    }
    bytes[6] = static_cast<std::uint8_t>((bytes[6] & 0x0fU) | 0x80U);
    bytes[8] = static_cast<std::uint8_t>((bytes[8] & 0x3fU) | 0x80U);
    return Uuid{bytes}.text();
}

MergeConflict read_conflict(Query& query)
{
    MergeConflict out;
    for (auto* text : {&out.id, &out.table, &out.row_id, &out.field, &out.first, &out.first_at,
                       &out.second, &out.second_at, &out.stands, &out.grounds}) {
        *text = query.text();
    }
    return out;
}

MergeConflict find_conflict(Connection& connection, const std::string& key)
{
    if (key.size() < 4 || key.find_first_not_of("0123456789abcdef-") != std::string::npos) {
        throw Failure{ErrorCode::InvalidInput,
                      "a conflict is named by at least the last four characters of its key, as "
                      "'nestround book conflicts' lists them",
                      key};
    }
    std::vector<MergeConflict> found;
    Query query = connection.query(fmt::format(
        "SELECT {} FROM merge_conflict WHERE id LIKE '%' || ?1 ORDER BY id LIMIT 2", kColumns));
    query.bind(key);
    while (query.step()) {
        found.push_back(read_conflict(query));
    }
    if (found.size() != 1) {
        throw Failure{found.empty() ? ErrorCode::NotFound : ErrorCode::InvalidInput,
                      found.empty() ? "no such conflict; 'nestround book conflicts' lists them"
                                    : "more than one conflict ends so; give more of the key",
                      connection.path().string() + ", conflict " + key};
    }
    found.front().row = row_words(connection, found.front().table, found.front().row_id);
    return std::move(found.front());
}

/// Whether this is a field of a row of ours: a book from elsewhere may hold any words.
bool is_field(Connection& connection, const MergeConflict& conflict)
{
    const auto tables = tables_with_past();
    if (std::find(tables.begin(), tables.end(), conflict.table) == tables.end()) {
        return false;
    }
    const auto columns = telling_columns(connection, conflict.table);
    return std::find(columns.begin(), columns.end(), conflict.field) != columns.end();
}

FieldValue value_of(const Connection& connection, const std::string& literal)
{
    auto value = field_value_of(literal);
    if (!value) {
        throw Failure{ErrorCode::RuleBroken, "what the book kept of this conflict cannot be read",
                      connection.path().string()};
    }
    return std::move(*value);
}

}  // namespace

std::string row_words(Connection& connection, const std::string& table, const std::string& id)
{
    if (table == "lot" || table == "crew" || table == "habitat") {
        Query query = connection.query(fmt::format("SELECT {} FROM main.{} WHERE id = ?1",
                                                   table == "lot" ? "code" : "name", table));
        query.bind(id);
        if (query.step()) {
            return fmt::format("{} {}", table, query.text());
        }
    }
    return fmt::format("{} {}", table, id.size() > 6 ? id.substr(id.size() - 6) : id);
}

void note_conflict(MergeWork& work, const std::string& table, const std::string& id,
                   const std::string& field, const RowVersion& ours, const RowVersion& theirs,
                   bool theirs_stands, Grounds grounds)
{
    const bool theirs_is_second = is_later(theirs, ours);
    const RowVersion& first = theirs_is_second ? ours : theirs;
    const RowVersion& second = theirs_is_second ? theirs : ours;
    MergeConflict conflict;
    conflict.table = table;
    conflict.row_id = id;
    conflict.row = row_words(work.connection, table, id);
    conflict.field = field;
    conflict.first = literal(first.cells.at(field));
    conflict.second = literal(second.cells.at(field));
    conflict.first_at = first.changed_at;
    conflict.second_at = second.changed_at;
    conflict.stands = theirs_stands == theirs_is_second ? "second" : "first";
    conflict.grounds = text(grounds);
    conflict.id = key_of(table, id, field, conflict.first, conflict.second);
    Query query = work.connection.query(
        "INSERT OR IGNORE INTO main.merge_conflict (id, created_at, changed_at, row_table, row_id, "
        "field, first, first_at, second, second_at, stands, grounds) VALUES (?1, ?2, ?2, ?3, ?4, "
        "?5, ?6, ?7, ?8, ?9, ?10, ?11)");
    query.bind(conflict.id)
        .bind(work.now)
        .bind(table)
        .bind(id)
        .bind(Words{field})
        .bind(conflict.first)
        .bind(Words{conflict.first_at})
        .bind(conflict.second)
        .bind(Words{conflict.second_at})
        .bind(conflict.stands)
        .bind(conflict.grounds);
    if (work.count("merge_conflict", std::move(query)) > 0) {
        work.report.conflicts.push_back(std::move(conflict));
    }
}

std::vector<MergeConflict> merge_conflicts(const std::filesystem::path& path, bool all)
{
    const auto connection = open_book(path, true, standard_migrations());
    std::vector<MergeConflict> out;
    {
        Query query = connection->query(
            fmt::format("SELECT {} FROM merge_conflict {} ORDER BY row_table, row_id, field, id",
                        kColumns, all ? "" : "WHERE grounds <> 'hand'"));
        while (query.step()) {
            out.push_back(read_conflict(query));
        }
    }
    for (auto& conflict : out) {
        conflict.row = row_words(*connection, conflict.table, conflict.row_id);
    }
    return out;
}

MergeConflict decide_conflict(const std::filesystem::path& path, const std::string& key,
                              Choice choice, const std::string& who, Instant now)
{
    const auto connection = open_book(path, false, standard_migrations());
    connection->begin();
    try {
        auto conflict = find_conflict(*connection, key);
        if (!is_field(*connection, conflict)) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("the conflict of {} is of the row as a whole: what is sealed "
                                      "stays; enter what is missing as new rows",
                                      conflict.row),
                          path.string()};
        }
        const auto wanted =
            value_of(*connection, choice == Choice::First ? conflict.first : conflict.second);
        const auto standing =
            value_of(*connection, conflict.stands == "first" ? conflict.first : conflict.second);
        std::optional<FieldValue> is;
        {
            Query query = connection->query(
                fmt::format("SELECT {} FROM {} WHERE id = ?1", conflict.field, conflict.table));
            query.bind(conflict.row_id);
            if (query.step()) {
                is = query.any();
            }
        }
        if (!is || (*is != standing && *is != wanted)) {
            throw Failure{ErrorCode::RuleBroken,
                          fmt::format("{} of {} was changed since, or the row is gone: enter what "
                                      "it should be as any other change",
                                      conflict.field, conflict.row),
                          path.string()};
        }
        if (*is != wanted) {
            connection->doing = conflict.row;
            connection
                ->query(fmt::format("UPDATE {} SET {} = ?1, changed_at = ?2 WHERE id = ?3",
                                    conflict.table, conflict.field))
                .bind_any(wanted)
                .bind(now)
                .bind(conflict.row_id)
                .run();
            connection->doing.clear();
        }
        conflict.stands = choice == Choice::First ? "first" : "second";
        conflict.grounds = "hand";
        connection
            ->query(
                "UPDATE merge_conflict SET stands = ?1, grounds = 'hand', who = ?2, changed_at "
                "= ?3 WHERE id = ?4")
            .bind(conflict.stands)
            .bind(Words{who})
            .bind(now)
            .bind(conflict.id)
            .run();
        write_contents(*connection, {conflict.table, "merge_conflict", "row_version"},
                       format_instant(now));
        connection->commit();
        return conflict;
    } catch (...) {
        connection->rollback();
        throw;
    }
}

}  // namespace nestround::book
