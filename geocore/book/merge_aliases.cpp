// Which of their rows are ours under another key, and their tables with our keys in them.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geocore/book/history.hpp"
#include "geocore/book/merge_work.hpp"

namespace nestround::book {

namespace {

/// Their row's key as ours, when it is one of ours under another key.
std::string our_key(std::string_view table, std::string_view column)
{
    return fmt::format(
        "coalesce((SELECT a.ours FROM temp.merge_alias a WHERE a.row_table = '{}' AND a.theirs = "
        "x.{}), x.{})",
        table, column, column);
}

}  // namespace

std::vector<Relation> references_of(std::string_view table)
{
    std::vector<Relation> out;
    std::copy_if(relations().begin(), relations().end(), std::back_inserter(out),
                 [&](const Relation& r) { return r.child == table; });
    return out;
}

void make_view(Connection& connection, const std::string& table, bool has_key)
{
    std::string columns;
    const auto references = references_of(table);
    for (const auto& column : columns_of(connection, table)) {
        const auto reference = std::find_if(references.begin(), references.end(),
                                            [&](const Relation& r) { return r.column == column; });
        std::string value = "x." + column;
        std::string_view of = has_key && column == "id"       ? std::string_view{table}
                              : reference != references.end() ? reference->parent
                                                              : std::string_view{};
        if (!of.empty() &&
            connection.scalar(fmt::format(
                "SELECT count(*) FROM temp.merge_alias WHERE row_table = '{}'", of)) != "0") {
            value = our_key(of, column);
        }
        columns += fmt::format("{}{} AS {}", columns.empty() ? "" : ", ", value, column);
    }
    if (has_key) {
        columns += ", x.id AS their_id";
    }
    connection.execute(
        fmt::format("CREATE TEMP VIEW theirs_{0} AS SELECT {1} FROM theirs.{0} x", table, columns));
}

void find_aliases(MergeWork& work)
{
    Connection& connection = work.connection;
    connection.execute(
        "CREATE TEMP TABLE merge_alias (row_table TEXT NOT NULL, theirs TEXT NOT NULL, ours TEXT "
        "NOT NULL, PRIMARY KEY (row_table, theirs), UNIQUE (row_table, ours));"
        "CREATE TEMP TABLE merge_name (row_table TEXT NOT NULL, row_id TEXT NOT NULL, name TEXT "
        "NOT NULL, PRIMARY KEY (row_table, row_id));");
    // Two rows are one only when neither book has both.
    const auto pair = [&](std::string_view table, const std::string& pairs) {
        connection.execute(fmt::format(
            "INSERT OR IGNORE INTO temp.merge_alias SELECT '{0}', p.theirs, p.ours FROM ({1}) p "
            "WHERE p.theirs <> p.ours AND NOT EXISTS (SELECT 1 FROM main.{0} m WHERE m.id = "
            "p.theirs) AND NOT EXISTS (SELECT 1 FROM theirs.{0} x WHERE x.id = p.ours)",
            table, pairs));
    };
    pair("weather_station",
         "SELECT x.id AS theirs, m.id AS ours FROM theirs.weather_station x JOIN "
         "main.weather_station m ON m.code = x.code");
    pair("call",
         "SELECT x.id AS theirs, m.id AS ours FROM theirs.call x JOIN main.call m ON m.source_key "
         "= x.source_key");
    const std::string calls =
        " FROM temp.merge_alias a JOIN theirs.call x ON x.id = a.theirs JOIN main.call m ON m.id = "
        "a.ours WHERE a.row_table = 'call'";
    pair("nest", "SELECT x.nest_id AS theirs, m.nest_id AS ours" + calls);
    pair("client", "SELECT x.client_id AS theirs, m.client_id AS ours" + calls +
                       " AND x.client_id IS NOT NULL AND m.client_id IS NOT NULL");
    pair("site",
         "SELECT x.site_id AS theirs, m.site_id AS ours FROM temp.merge_alias a JOIN theirs.nest x "
         "ON x.id = a.theirs JOIN main.nest m ON m.id = a.ours WHERE a.row_table = 'nest'");
    // The same catch put into the same open bag in both books; one bag withdrawn in both.
    pair("lot_parent",
         "SELECT x.id AS theirs, m.id AS ours FROM theirs.lot_parent x JOIN main.lot_parent m ON "
         "m.lot_id = x.lot_id AND (m.catch_id = x.catch_id OR m.collection_id = x.collection_id)");
    pair("lot_correction",
         "SELECT x.id AS theirs, m.id AS ours FROM theirs.lot_correction x JOIN "
         "main.lot_correction m ON m.lot_id = x.lot_id AND m.field = 'withdrawn' AND x.field = "
         "'withdrawn'");
    for (const auto& table : tables_with_past()) {
        make_view(connection, table, true);
    }
}

}  // namespace nestround::book
