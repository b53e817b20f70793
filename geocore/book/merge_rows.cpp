// Rows of two books brought together by their keys.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geocore/book/history.hpp"
#include "geocore/book/merge_work.hpp"

namespace nestround::book {

namespace {

std::string list_of(std::span<const std::string> columns, std::string_view row)
{
    std::string out;
    for (const auto& column : columns) {
        out += fmt::format("{}{}.{}", out.empty() ? "" : ", ", row, column);
    }
    return out;
}

std::string any_differs(std::span<const std::string> columns)
{
    std::string out = "0";
    for (const auto& column : columns) {
        out += fmt::format(" OR m.{0} IS NOT x.{0}", column);
    }
    return out;
}

/// Their row's key as ours, when it is one of ours under another key.
std::string our_key(std::string_view table, std::string_view column)
{
    return fmt::format(
        "coalesce((SELECT a.ours FROM temp.merge_alias a WHERE a.row_table = '{}' AND a.theirs = "
        "x.{}), x.{})",
        table, column, column);
}

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

/// Names that must be unlike in a book.
constexpr std::array<std::string_view, 2> kNamed{"crew", "habitat"};

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

struct Differing {
    std::string id;
    std::string their_id;
    bool was_one = false;  ///< made by one hand once, not twice with one key
    RowVersion ours;
    RowVersion theirs;
};

class TableMerge {
public:
    TableMerge(MergeWork& work, std::string table, const std::string& shared_until)
        : work_{work},
          connection_{work.connection},
          table_{std::move(table)},
          columns_{telling_columns(connection_, table_)},
          shared_until_{shared_until}
    {
    }

    void run()
    {
        for (const auto& row : differing()) {
            decide(row);
        }
        rename_clashes();
        add_new();
    }

private:
    std::vector<Differing> differing()
    {
        std::vector<Differing> out;
        Query query = connection_.query(fmt::format(
            "SELECT m.id, x.their_id, m.created_at = x.created_at, m.changed_at, x.changed_at, "
            "{1}, {2} FROM temp.theirs_{0} x "
            "CROSS JOIN main.{0} m ON m.id = x.id WHERE {3} ORDER BY m.id",
            table_, list_of(columns_, "m"), list_of(columns_, "x"), any_differs(columns_)));
        while (query.step()) {
            Differing row;
            row.id = query.text();
            row.their_id = query.text();
            row.was_one = query.flag() && row.id == row.their_id;
            row.ours.changed_at = query.text();
            row.theirs.changed_at = query.text();
            for (auto* side : {&row.ours, &row.theirs}) {
                for (const auto& column : columns_) {
                    side->cells.emplace(column, query.any());
                }
            }
            out.push_back(std::move(row));
        }
        return out;
    }

    void decide(const Differing& row)
    {
        const auto our_past = past_of(connection_, "main", table_, row.id);
        const auto their_past = past_of(connection_, "theirs", table_, row.their_id);
        const bool one_row = row.id == row.their_id;
        if (!one_row && is_never_edited()) {
            return;
        }
        const Fixed fixed = fixed_columns(work_, table_, row.id, row.their_id, columns_);
        // What may not change is asked for as ours; where it was sealed there, the two change
        // places.
        RowCase asked;
        asked.ours = fixed.as_theirs ? row.theirs : row.ours;
        asked.theirs = fixed.as_theirs ? row.ours : row.theirs;
        asked.our_past = fixed.as_theirs ? their_past : our_past;
        asked.their_past = fixed.as_theirs ? our_past : their_past;
        asked.shared_until = row.was_one ? shared_until_ : "";
        asked.closing = table_ == "lot" ? "sealed_at" : "";
        asked.fixed = fixed.columns;
        asked.rule = work_.settings.rule;
        if (fixed.as_theirs && asked.rule != MergeRule::Newer) {
            asked.rule = asked.rule == MergeRule::Ours ? MergeRule::Theirs : MergeRule::Ours;
        }
        auto merged = merge_versions(asked);
        if (fixed.as_theirs) {
            for (auto& conflict : merged.conflicts) {
                conflict.theirs_stands = !conflict.theirs_stands;
            }
            using Outcome = RowMerge::Outcome;
            merged.outcome = merged.outcome == Outcome::Ours     ? Outcome::Theirs
                             : merged.outcome == Outcome::Theirs ? Outcome::Ours
                                                                 : merged.outcome;
        }
        apply(row, their_past, std::move(merged));
    }

    [[nodiscard]] bool is_never_edited() const
    {
        return table_ == "lot_parent" || table_ == "lot_correction";
    }

    void apply(const Differing& row, std::span<const RowVersion> their_past, RowMerge merged)
    {
        if (merged.outcome == RowMerge::Outcome::Mixed && !write(row, merged.cells, work_.now)) {
            merged = whole(row, is_later(row.theirs, row.ours));
        }
        if (merged.outcome == RowMerge::Outcome::Theirs &&
            !write(row, row.theirs.cells,
                   row.id == row.their_id ? row.theirs.changed_at : work_.now)) {
            merged = whole(row, false);
        }
        if (merged.outcome == RowMerge::Outcome::Ours && holds(their_past, row.ours)) {
            // It stands although they went on from it: written anew, or the other book, which
            // knows it as past, would set theirs above it again.
            static_cast<void>(write(row, row.ours.cells, work_.now));
        }
        if (merged.outcome != RowMerge::Outcome::Theirs || row.id != row.their_id) {
            work_.report.changed_anything |=
                keep_version(connection_, table_, row.id, row.theirs, columns_);
        }
        if (table_ == "lot") {
            connection_.query("UPDATE temp.merge_sealed SET theirs = ?2 WHERE lot_id = ?1")
                .bind(row.id)
                .bind(merged.outcome == RowMerge::Outcome::Theirs)
                .run();
        }
        for (const auto& conflict : merged.conflicts) {
            note_conflict(work_, table_, row.id, conflict.column, row.ours, row.theirs,
                          conflict.theirs_stands, conflict.grounds);
        }
    }

    /// One row as it is: fields of both together break a rule of the table.
    RowMerge whole(const Differing& row, bool theirs) const
    {
        RowMerge out;
        out.outcome = theirs ? RowMerge::Outcome::Theirs : RowMerge::Outcome::Ours;
        for (const auto& [column, value] : row.ours.cells) {
            if (value != row.theirs.cells.at(column)) {
                out.conflicts.push_back({column, theirs, Grounds::Newer});
            }
        }
        return out;
    }

    bool write(const Differing& row, const FieldValues& cells, const std::string& changed_at)
    {
        const std::string& id = row.id;
        std::string sql = fmt::format("UPDATE main.{} SET changed_at = ?", table_);
        for (const auto& column : columns_) {
            sql += fmt::format(", {} = ?", column);
        }
        connection_.execute("SAVEPOINT merge_row");
        try {
            keep_version(connection_, table_, id, row.ours, columns_);
            Query query = connection_.query(sql + " WHERE id = ?");
            query.bind(changed_at);
            for (const auto& column : columns_) {
                query.bind_any(cells.at(column));
            }
            work_.tally(table_).changed += work_.count(table_, std::move(query.bind(id)));
        } catch (const Failure& failure) {
            connection_.execute("ROLLBACK TO merge_row; RELEASE merge_row");
            if (failure.error().code != ErrorCode::RuleBroken) {
                throw;
            }
            return false;
        }
        connection_.execute("RELEASE merge_row");
        return true;
    }

    /// Two crews may both be called "north": theirs becomes "north (2)".
    void rename_clashes()
    {
        if (std::find(kNamed.begin(), kNamed.end(), table_) == kNamed.end()) {
            return;
        }
        std::vector<std::pair<std::string, std::string>> clashes;
        {
            Query query = connection_.query(fmt::format(
                "SELECT x.id, x.name FROM temp.theirs_{0} x WHERE NOT EXISTS (SELECT 1 FROM "
                "main.{0} m WHERE m.id = x.id) AND EXISTS (SELECT 1 FROM main.{0} m WHERE m.name = "
                "x.name) ORDER BY x.id",
                table_));
            while (query.step()) {
                std::string id = query.text();
                clashes.emplace_back(std::move(id), query.text());
            }
        }
        for (const auto& [id, name] : clashes) {
            std::string free;
            for (int n = 2; free.empty(); ++n) {
                const auto wanted = fmt::format("{} ({})", name, n);
                Query taken = connection_.query(fmt::format(
                    "SELECT 1 FROM main.{0} WHERE name = ?1 UNION ALL SELECT 1 FROM theirs.{0} "
                    "WHERE name = ?1 UNION ALL SELECT 1 FROM temp.merge_name WHERE name = ?1",
                    table_));
                taken.bind(wanted);
                free = taken.step() ? "" : wanted;
            }
            connection_
                .query("INSERT INTO temp.merge_name (row_table, row_id, name) VALUES (?1, ?2, ?3)")
                .bind(table_)
                .bind(id)
                .bind(free)
                .run();
            work_.report.notes.push_back(
                fmt::format("both books have a {} '{}': theirs is '{}' here", table_, name, free));
        }
    }

    void add_new()
    {
        // A row that we had, and removed, stays away.
        const auto content = version_text("x", columns_);
        std::string condition = fmt::format(
            "NOT EXISTS (SELECT 1 FROM main.{0} m WHERE m.id = x.id) AND NOT EXISTS (SELECT 1 FROM "
            "main.row_version v WHERE v.row_table = '{0}' AND v.row_id = x.id AND v.changed_at = "
            "x.changed_at AND v.content = {1})",
            table_, content);
        if (table_ == "lot_parent") {
            condition +=
                " AND NOT EXISTS (SELECT 1 FROM temp.merge_sealed s WHERE s.lot_id = x.lot_id AND "
                "NOT s.theirs)";
        }
        const bool is_named = std::find(kNamed.begin(), kNamed.end(), table_) != kNamed.end();
        add_where(condition, is_named);
        if (is_named) {
            // What they call it is the past of what we call it.
            connection_
                .query(fmt::format(
                    "INSERT INTO main.row_version (row_table, row_id, changed_at, content) SELECT "
                    "'{0}', x.id, x.changed_at, {1} FROM temp.theirs_{0} x JOIN temp.merge_name n "
                    "ON n.row_table = '{0}' AND n.row_id = x.id",
                    table_, content))
                .run();
        }
    }

    void add_where(const std::string& condition, bool is_named)
    {
        auto all = columns_of(connection_, table_);
        std::erase(all, "fid");
        std::string values;
        for (const auto& column : all) {
            std::string value = "x." + column;
            if (is_named && column == "name") {
                value = "coalesce(n.name, x.name)";
            } else if (is_named && column == "changed_at") {
                value = "iif(n.name IS NULL, x.changed_at, ?1)";
            }
            values += (values.empty() ? "" : ", ") + value;
        }
        Query query = connection_.query(fmt::format(
            "INSERT INTO main.{0} ({1}) SELECT {2} FROM temp.theirs_{0} x {3} WHERE {4} ORDER BY "
            "x.fid",
            table_, fmt::format("{}", fmt::join(all, ", ")), values,
            is_named ? fmt::format("LEFT JOIN temp.merge_name n ON n.row_table = '{}' AND n.row_id "
                                   "= x.id",
                                   table_)
                     : "",
            condition));
        if (is_named) {
            query.bind(work_.now);
        }
        connection_.doing = table_;
        work_.tally(table_).added += work_.count(table_, std::move(query));
        connection_.doing.clear();
    }

    MergeWork& work_;
    Connection& connection_;
    std::string table_;
    std::vector<std::string> columns_;
    const std::string& shared_until_;
};

/// Until when the two were one book, as far as their common rows tell.
std::string shared_until(Connection& connection)
{
    std::string latest;
    for (const auto& table : tables_with_past()) {
        latest = std::max(latest, connection.scalar(fmt::format(
                                      "SELECT max(m.changed_at) FROM theirs.{0} x CROSS JOIN "
                                      "main.{0} m ON m.id = x.id AND m.changed_at = x.changed_at",
                                      table)));
    }
    return latest;
}

void merge_readings(MergeWork& work, const Readings& readings)
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

/// A row that was removed here, and that a row which came from there refers to, comes back.
void bring_back_parents(MergeWork& work)
{
    for (bool found = true; found;) {
        found = false;
        for (const auto& relation : relations()) {
            const auto tables = tables_with_past();
            const std::string parent{relation.parent};
            if (std::find(tables.begin(), tables.end(), parent) == tables.end()) {
                continue;
            }
            auto all = columns_of(work.connection, parent);
            std::erase(all, "fid");
            const auto added = work.count(
                parent, work.connection.query(fmt::format(
                            "INSERT INTO main.{0} ({1}) SELECT {2} FROM temp.theirs_{0} x WHERE "
                            "NOT EXISTS (SELECT 1 FROM main.{0} m WHERE m.id = x.id) AND EXISTS "
                            "(SELECT 1 FROM main.{3} c WHERE c.{4} = x.id)",
                            parent, fmt::format("{}", fmt::join(all, ", ")), list_of(all, "x"),
                            relation.child, relation.column)));
            work.tally(parent).added += added;
            found |= added > 0;
        }
    }
}

}  // namespace

MergeTally& MergeWork::tally(const std::string& table)
{
    auto& found = tallies[table];
    found.table = table;
    return found;
}

std::size_t MergeWork::count(const std::string& table, Query&& query)
{
    query.run();
    const auto rows = static_cast<std::size_t>(sqlite3_changes(connection.handle()));
    if (rows > 0) {
        touched.insert(table);
        report.changed_anything = true;
    }
    return rows;
}

std::vector<Relation> references_of(std::string_view table)
{
    std::vector<Relation> out;
    std::copy_if(relations().begin(), relations().end(), std::back_inserter(out),
                 [&](const Relation& r) { return r.child == table; });
    return out;
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

void merge_rows(MergeWork& work)
{
    const auto until = shared_until(work.connection);
    for (const auto& table : tables_with_past()) {
        TableMerge{work, table, until}.run();
    }
    bring_back_parents(work);
    for (const auto& readings : kReadings) {
        merge_readings(work, readings);
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
