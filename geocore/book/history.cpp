#include "geocore/book/history.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/book/schema.hpp"

namespace nestround::book {

namespace {

std::string differs(std::span<const std::string> columns)
{
    std::string out = "OLD.changed_at IS NOT NEW.changed_at";
    for (const auto& column : columns) {
        out += fmt::format("\n     OR OLD.{0} IS NOT NEW.{0}", column);
    }
    return out;
}

std::string keep_old(std::string_view table, const std::string& version)
{
    return fmt::format(
        "INSERT INTO row_version (row_table, row_id, changed_at, content)\n"
        "    SELECT '{0}', OLD.id, OLD.changed_at, v.content FROM (SELECT {1} AS content) v\n"
        "     WHERE NOT EXISTS (SELECT 1 FROM row_version r WHERE r.row_table = '{0}' AND "
        "r.row_id = OLD.id AND r.changed_at = OLD.changed_at AND r.content = v.content);",
        table, version);
}

}  // namespace

std::vector<std::string> tables_with_past()
{
    auto out = tables_with_key();
    std::erase(out, "deed");
    return out;
}

std::vector<std::string> telling_columns(Connection& connection, std::string_view table)
{
    auto out = columns_of(connection, table);
    std::erase_if(out, [&](const std::string& column) {
        return column == "fid" || column == "id" || column == "created_at" ||
               column == "changed_at" || (table == "photo" && column == "data");
    });
    return out;
}

std::string version_text(std::string_view row, std::span<const std::string> columns)
{
    std::string out;
    for (const auto& column : columns) {
        out += fmt::format("{0}{2} ' || quote({1}.{2})", out.empty() ? "'" : " || ' ", row, column);
    }
    return out;
}

void remember_versions(Connection& connection)
{
    if (columns_of(connection, "row_version").empty()) {
        return;
    }
    for (const auto& table : tables_with_past()) {
        const auto columns = telling_columns(connection, table);
        const auto version = version_text("OLD", columns);
        connection.execute(fmt::format(
            "DROP TRIGGER IF EXISTS {0}_remembers;\n"
            "DROP TRIGGER IF EXISTS {0}_remembers_removed;\n"
            "CREATE TRIGGER {0}_remembers AFTER UPDATE ON {0}\nWHEN {1}\nBEGIN {2} END;\n"
            "CREATE TRIGGER {0}_remembers_removed AFTER DELETE ON {0}\nBEGIN {2} END;\n",
            table, differs(columns), keep_old(table, version)));
    }
}

std::vector<RowVersion> past_of(Connection& connection, std::string_view database,
                                std::string_view table, const std::string& id)
{
    std::vector<RowVersion> out;
    Query query = connection.query(
        fmt::format("SELECT changed_at, content FROM {}.row_version WHERE row_table = ?1 AND "
                    "row_id = ?2 ORDER BY changed_at, content",
                    database));
    query.bind(table).bind(id);
    while (query.step()) {
        std::string changed_at = query.text();
        // A version that another program spoilt is as good as none.
        if (auto cells = values_of(query.view())) {
            out.push_back({std::move(changed_at), std::move(*cells)});
        }
    }
    return out;
}

bool keep_version(Connection& connection, std::string_view table, const std::string& id,
                  const RowVersion& version, std::span<const std::string> columns)
{
    std::string content;
    for (const auto& column : columns) {
        const auto at = version.cells.find(column);
        if (at != version.cells.end()) {
            content +=
                fmt::format("{}{} {}", content.empty() ? "" : " ", column, literal(at->second));
        }
    }
    const auto past = past_of(connection, "main", table, id);
    if (holds(past, version)) {
        return false;
    }
    connection
        .query(
            "INSERT INTO main.row_version (row_table, row_id, changed_at, content) VALUES "
            "(?1, ?2, ?3, ?4)")
        .bind(table)
        .bind(id)
        .bind(version.changed_at)
        .bind(content)
        .run();
    return true;
}

}  // namespace nestround::book
