// Readings of weather and habitats, rows that were removed, and what rows said before.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geocore/book/history.hpp"
#include "geocore/book/merge_work.hpp"

namespace nestround::book {

namespace {

/// Tables without a UUID, by what makes their rows one.
struct Readings {
    std::string_view table;
    std::string_view place;  ///< column of the station or habitat
    std::string_view of;     ///< table of it
    std::string_view time;
};
constexpr std::array<Readings, 3> kReadings{
    {{"weather_day", "station_id", "weather_station", "day"},
     {"weather_hour", "station_id", "weather_station", "at"},
     {"habitat_reading", "habitat_id", "habitat", "at"}}};

void merge_one(MergeWork& work, const Readings& readings)
{
    Connection& connection = work.connection;
    const std::string table{readings.table};
    make_view(connection, table, false);
    auto all = columns_of(connection, table);
    std::erase(all, "fid");
    auto told = all;
    std::erase_if(told, [&](const std::string& column) {
        return column == "created_at" || column == "changed_at" || column == readings.place ||
               column == readings.time;
    });
    const auto same = fmt::format("m.{0} = x.{0} AND m.{1} = x.{1}", readings.place, readings.time);
    work.tally(table).added += work.count(
        table, connection.query(fmt::format("INSERT INTO main.{0} ({1}) SELECT {2} FROM "
                                            "temp.theirs_{0} x WHERE NOT EXISTS (SELECT 1 FROM "
                                            "main.{0} m WHERE {3}) ORDER BY x.fid",
                                            table, fmt::format("{}", fmt::join(all, ", ")),
                                            list_of(all, "x"), same)));
    // The reading that gives way is kept as a past version.
    const auto both = fmt::format("temp.theirs_{0} x CROSS JOIN main.{0} m ON {1} WHERE ({2})",
                                  table, same, any_differs(told));
    const auto theirs_is_later = fmt::format("(x.changed_at, {}) > (m.changed_at, {})",
                                             version_text("x", told), version_text("m", told));
    for (const bool theirs : {true, false}) {
        const std::string_view loser = theirs ? "m" : "x";
        work.report.changed_anything |=
            work.count("row_version",
                       connection.query(fmt::format(
                           "INSERT INTO main.row_version (row_table, row_id, changed_at, content) "
                           "SELECT '{0}', m.{1} || ' ' || m.{2}, {3}.changed_at, {4} FROM {5} AND "
                           "{6}({7}) AND NOT EXISTS (SELECT 1 FROM main.row_version v WHERE "
                           "v.row_table = '{0}' AND v.row_id = m.{1} || ' ' || m.{2} AND "
                           "v.changed_at = {3}.changed_at AND v.content = {4})",
                           table, readings.place, readings.time, loser, version_text(loser, told),
                           both, theirs ? "" : "NOT ", theirs_is_later))) > 0;
    }
    std::string set = "changed_at = x.changed_at";
    for (const auto& column : told) {
        set += fmt::format(", {0} = x.{0}", column);
    }
    work.tally(table).changed += work.count(
        table,
        connection.query(fmt::format(
            "UPDATE main.{0} AS m SET {1} FROM temp.theirs_{0} x WHERE {2} AND ({3}) AND {4}",
            table, set, same, any_differs(told), theirs_is_later)));
}

}  // namespace

void merge_readings(MergeWork& work)
{
    for (const auto& readings : kReadings) {
        merge_one(work, readings);
    }
}

void take_removals(MergeWork& work)
{
    // Records that are never deleted are not removed by a merge either.
    static constexpr std::array<std::string_view, 5> kKept{
        "lot_correction", "lot_move", "excursion", "shipment", "merge_conflict"};
    auto tables = tables_with_past();
    std::reverse(tables.begin(), tables.end());
    for (const auto& table : tables) {
        if (std::find(kKept.begin(), kKept.end(), table) != kKept.end()) {
            continue;
        }
        std::string condition;
        for (const auto& relation : relations()) {
            if (relation.parent == table) {
                condition +=
                    fmt::format(" AND NOT EXISTS (SELECT 1 FROM main.{} c WHERE c.{} = m.id)",
                                relation.child, relation.column);
            }
        }
        if (table == "lot") {
            condition += " AND m.sealed_at IS NULL";
        } else if (table == "lot_parent") {
            condition += " AND (SELECT l.sealed_at FROM main.lot l WHERE l.id = m.lot_id) IS NULL";
        }
        remove_where(
            work, table,
            fmt::format(
                "m.id IN (SELECT v.row_id FROM theirs.row_version v JOIN main.{0} n ON n.id "
                "= v.row_id WHERE v.row_table = '{0}' AND v.changed_at = n.changed_at AND "
                "v.content = {1} AND NOT EXISTS (SELECT 1 FROM theirs.{0} x WHERE x.id = "
                "n.id)){2}",
                table, version_text("n", telling_columns(work.connection, table)), condition));
    }
}

std::size_t remove_where(MergeWork& work, const std::string& table, const std::string& condition)
{
    const auto content = version_text("m", telling_columns(work.connection, table));
    work.connection
        .query(fmt::format(
            "INSERT INTO main.row_version (row_table, row_id, changed_at, content) SELECT '{0}', "
            "m.id, m.changed_at, {1} FROM main.{0} m WHERE {2} AND NOT EXISTS (SELECT 1 FROM "
            "main.row_version v WHERE v.row_table = '{0}' AND v.row_id = m.id AND v.changed_at = "
            "m.changed_at AND v.content = {1})",
            table, content, condition))
        .run();
    const auto removed =
        work.count(table, work.connection.query(fmt::format("DELETE FROM main.{0} AS m WHERE {1}",
                                                            table, condition)));
    work.tally(table).removed += removed;
    return removed;
}

void take_history(MergeWork& work)
{
    const auto added = work.count(
        "row_version",
        work.connection.query(
            "INSERT INTO main.row_version (row_table, row_id, changed_at, content) SELECT "
            "x.row_table, coalesce(a.ours, x.row_id), x.changed_at, x.content FROM "
            "theirs.row_version x LEFT JOIN temp.merge_alias a ON a.row_table = x.row_table AND "
            "a.theirs = x.row_id WHERE NOT EXISTS (SELECT 1 FROM main.row_version v WHERE "
            "v.row_table = x.row_table AND v.row_id = coalesce(a.ours, x.row_id) AND v.changed_at "
            "= x.changed_at AND v.content = x.content)"));
    work.report.changed_anything |= added > 0;
}

}  // namespace nestround::book
