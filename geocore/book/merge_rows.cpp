// Rows of two books brought together by their keys.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geocore/book/history.hpp"
#include "geocore/book/merge_work.hpp"

namespace nestround::book {

namespace {

/// Names that must be unlike in a book.
constexpr std::array<std::string_view, 2> kNamed{"crew", "habitat"};

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
        auto our_past = past_of(connection_, "main", table_, row.id);
        auto their_past = past_of(connection_, "theirs", table_, row.their_id);
        with_our_keys(our_past);
        with_our_keys(their_past);
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

    /// Past versions name rows by the keys that they had where they were written.
    void with_our_keys(std::vector<RowVersion>& past)
    {
        for (const auto& relation : references_of(table_)) {
            for (auto& version : past) {
                const auto at = version.cells.find(relation.column);
                if (at == version.cells.end() || !std::holds_alternative<std::string>(at->second)) {
                    continue;
                }
                Query query = connection_.query(
                    "SELECT ours FROM temp.merge_alias WHERE row_table = ?1 AND theirs = ?2");
                query.bind(relation.parent).bind(std::get<std::string>(at->second));
                if (query.step()) {
                    at->second = query.text();
                }
            }
        }
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

void merge_rows(MergeWork& work)
{
    const auto until = shared_until(work.connection);
    for (const auto& table : tables_with_past()) {
        TableMerge{work, table, until}.run();
    }
    bring_back_parents(work);
    merge_readings(work);
}

}  // namespace nestround::book
