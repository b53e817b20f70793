#include "geocore/book/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "geocore/base/calendar.hpp"
#include "geocore/book/chain.hpp"
#include "geocore/book/check_rules.hpp"
#include "geocore/book/connection.hpp"
#include "geocore/book/schema.hpp"
#include "geocore/place/gpb_geometry.hpp"

namespace nestround::book {

namespace {

struct Constraint {
    std::string words;
    std::string expression;
};

/// The index just after the parenthesis that closes the one at `open`; quoted text is passed over.
std::size_t closing(std::string_view sql, std::size_t open)
{
    int depth = 0;
    char quote = 0;
    for (std::size_t at = open; at < sql.size(); ++at) {
        const char c = sql[at];
        if (quote != 0) {
            quote = c == quote ? '\0' : quote;
        } else if (c == '\'' || c == '"') {
            quote = c;
        } else if (c == '(') {
            ++depth;
        } else if (c == ')' && --depth == 0) {
            return at + 1;
        }
    }
    return sql.size();
}

/// CONSTRAINT "words" CHECK (expression), as they stand in the text of CREATE TABLE.
std::vector<Constraint> constraints_in(std::string_view sql)
{
    constexpr std::string_view kHead = "CONSTRAINT \"";
    std::vector<Constraint> out;
    for (std::size_t at = sql.find(kHead); at != std::string_view::npos;
         at = sql.find(kHead, at + 1)) {
        const std::size_t name = at + kHead.size();
        const std::size_t end = sql.find('"', name);
        const std::size_t word = sql.find_first_not_of(" \n\t", end + 1);
        if (word == std::string_view::npos || sql.substr(word, 5) != "CHECK") {
            continue;
        }
        const std::size_t open = sql.find('(', word);
        out.push_back({std::string{sql.substr(name, end - name)},
                       std::string{sql.substr(open, closing(sql, open) - open)}});
    }
    return out;
}

class Checker {
public:
    explicit Checker(Connection& book) : book_{book}, model_{Connection::in_memory()}
    {
        bring_up_to_date(*model_, standard_migrations());
    }

    CheckReport run(bool with_file)
    {
        if (with_file) {
            file();
        }
        schema();
        contents();
        Query tables = model_->query("SELECT table_name FROM gpkg_contents ORDER BY table_name");
        while (tables.step()) {
            const std::string table = tables.text();
            attempt(table, [&] { rows(table); });
        }
        attempt("", [&] { references(); });
        for (const auto table : kFeatureTables) {
            attempt(table, [&] { geometries(table); });
            attempt(table, [&] { index(table); });
            attempt(table, [&] { extent(table); });
        }
        attempt("call", [&] { hours(); });
        attempt("lot_chain", [&] { chain(); });
        for (const auto& rule : row_rules()) {
            ++report_.rules;
            attempt(rule.table, [&] { rows_that(rule.table, std::string{rule.sql}, rule.words); });
        }
        return std::move(report_);
    }

private:
    void broken(std::string_view table, std::string row, std::string rule)
    {
        report_.broken.push_back({std::string{table}, std::move(row), std::move(rule)});
    }

    /// A step that cannot even be asked (a table is missing, pages are damaged) is a finding too.
    template <class Step>
    void attempt(std::string_view table, Step step)
    {
        try {
            step();
        } catch (const Failure& failure) {
            broken(table, "", failure.error().message);
        }
    }

    std::string name_of(std::string_view table, std::int64_t fid)
    {
        if (!with_id_.contains(std::string{table})) {
            return fmt::format("fid {}", fid);
        }
        Query query = book_.query(fmt::format("SELECT id FROM \"{}\" WHERE fid = ?1", table));
        query.bind(fid);
        return query.step() ? fmt::format("fid {}, id {}", fid, query.text())
                            : fmt::format("fid {}", fid);
    }

    void rows_that(std::string_view table, const std::string& sql, std::string_view rule)
    {
        std::vector<std::int64_t> fids;
        {
            Query query = book_.query(sql);
            while (query.step()) {
                fids.push_back(query.integer());
            }
        }
        for (const auto fid : fids) {
            broken(table, name_of(table, fid), std::string{rule});
        }
    }

    void file()
    {
        ++report_.rules;
        attempt("", [&] {
            Query query = book_.query("PRAGMA integrity_check(1000)");
            while (query.step()) {
                std::string answer = query.text();
                // Those two are asked again below, with the row and the rule.
                if (answer != "ok" && !answer.starts_with("CHECK constraint failed in") &&
                    !answer.starts_with("NULL value in")) {
                    broken("", "", "the file is damaged: " + answer);
                }
            }
        });
    }

    using Objects = std::map<std::pair<std::string, std::string>, std::string>;
    static Objects objects_of(Connection& connection)
    {
        Objects out;
        Query query = connection.query(
            "SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE "
            "'sqlite_%'");
        while (query.step()) {
            std::string type = query.text();
            std::string name = query.text();
            out.insert_or_assign({std::move(type), std::move(name)}, query.text());
        }
        return out;
    }

    /// Tables, indexes and triggers as this program makes them; what others added is theirs.
    void schema()
    {
        attempt("", [&] {
            const Objects found = objects_of(book_);
            for (const auto& [key, sql] : objects_of(*model_)) {
                ++report_.rules;
                const auto at = found.find(key);
                if (at == found.end()) {
                    broken("", "", fmt::format("the {} {} is missing", key.first, key.second));
                } else if (at->second != sql) {
                    broken("", "", fmt::format("the {} {} was altered", key.first, key.second));
                }
            }
        });
    }

    void compare(const std::string& table, const std::string& columns)
    {
        ++report_.rules;
        const auto lines = [&](Connection& connection) {
            std::set<std::string> out;
            Query query = connection.query("SELECT " + columns + " FROM " + table);
            while (query.step()) {
                out.insert(query.text());
            }
            return out;
        };
        attempt(table, [&] {
            const auto found = lines(book_);
            for (const auto& line : lines(*model_)) {
                if (!found.contains(line)) {
                    broken(table, line, "the row is missing or was altered");
                }
            }
        });
    }

    void contents()
    {
        compare("gpkg_contents", "table_name || ', ' || data_type || ', ' || srs_id");
        compare("gpkg_geometry_columns",
                "table_name || ', ' || column_name || ', ' || geometry_type_name || ', ' || srs_id "
                "|| ', ' || z || ', ' || m");
        compare("gpkg_extensions",
                "coalesce(table_name, '') || ', ' || coalesce(column_name, '') || ', ' || "
                "extension_name || ', ' || scope");
        compare("gpkg_data_columns", "table_name || ', ' || column_name");
        ++report_.rules;
        attempt("gpkg_contents", [&] {
            Query query = book_.query("SELECT table_name, last_change FROM gpkg_contents");
            while (query.step()) {
                const std::string table = query.text();
                if (!parse_instant(query.view())) {
                    broken("gpkg_contents", table, "last_change is no instant in UTC");
                }
            }
        });
    }

    void rows(const std::string& table)
    {
        const std::string sql = model_->scalar(fmt::format(
            "SELECT sql FROM sqlite_master WHERE type = 'table' AND name = '{}'", table));
        if (sql.find(" id TEXT(36)") != std::string::npos) {
            with_id_.insert(table);
        }
        ++report_.tables;
        report_.rows += static_cast<std::size_t>(
            std::stoll(book_.scalar(fmt::format("SELECT count(*) FROM \"{}\"", table))));
        for (const auto& [words, expression] : constraints_in(sql)) {
            ++report_.rules;
            rows_that(table, fmt::format("SELECT fid FROM \"{}\" WHERE NOT {}", table, expression),
                      words);
        }
        Query columns =
            model_->query("SELECT name FROM pragma_table_info(?1) WHERE \"notnull\" AND NOT pk");
        columns.bind(table);
        while (columns.step()) {
            ++report_.rules;
            const std::string column = columns.text();
            rows_that(table,
                      fmt::format("SELECT fid FROM \"{}\" WHERE \"{}\" IS NULL", table, column),
                      column + " must be given");
        }
    }

    void references()
    {
        for (const auto& [child, column, parent, since] : relations()) {
            ++report_.rules;
            rows_that(child,
                      fmt::format("SELECT fid FROM {0} c WHERE {1} IS NOT NULL AND NOT EXISTS "
                                  "(SELECT 1 FROM {2} p WHERE p.id = c.{1})",
                                  child, column, parent),
                      fmt::format("{} names no {} of this book", column, parent));
        }
        // The tables of the standard have keys of their own.
        ++report_.rules;
        Query query = book_.query("PRAGMA foreign_key_check");
        while (query.step()) {
            const std::string table = query.text();
            const std::string row = query.text();
            if (table.starts_with("gpkg_")) {
                broken(table, "rowid " + row, "names no row of " + query.text());
            }
        }
    }

    void geometries(std::string_view table)
    {
        ++report_.rules;
        std::vector<std::pair<std::int64_t, std::string>> found;
        {
            Query query =
                book_.query(fmt::format("SELECT fid, geom FROM {} WHERE geom IS NOT NULL", table));
            while (query.step()) {
                const std::int64_t fid = query.integer();
                const auto geometry = place::read_gpb(query.blob());
                if (!geometry) {
                    found.emplace_back(fid, geometry.error().message);
                } else if (geometry->srs_id != 4326) {
                    found.emplace_back(fid, fmt::format("the geometry is in reference system {}, "
                                                        "the table in 4326",
                                                        geometry->srs_id));
                } else if (!geometry->point || geometry->has_z || geometry->has_m) {
                    found.emplace_back(fid, "the geometry is no plain point");
                } else if (!is_on_earth(*geometry->point)) {
                    found.emplace_back(fid, "the place is not on Earth");
                }
            }
        }
        for (auto& [fid, rule] : found) {
            broken(table, name_of(table, fid), std::move(rule));
        }
    }

    void index(std::string_view table)
    {
        ++report_.rules;
        const std::string answer =
            book_.scalar(fmt::format("SELECT rtreecheck('rtree_{}_geom')", table));
        if (answer != "ok") {
            broken(table, "", "the spatial index is damaged: " + answer);
        }
        rows_that(table,
                  fmt::format("SELECT fid FROM {0} WHERE geom IS NOT NULL AND NOT EXISTS (SELECT 1 "
                              "FROM rtree_{0}_geom r WHERE r.id = {0}.fid)",
                              table),
                  "the spatial index does not know this row");
        rows_that(table,
                  fmt::format("SELECT id FROM rtree_{0}_geom r WHERE NOT EXISTS (SELECT 1 FROM {0} "
                              "WHERE fid = r.id AND geom IS NOT NULL)",
                              table),
                  "the spatial index knows a row that is not there");
        rows_that(table,
                  fmt::format("SELECT r.id FROM rtree_{0}_geom r JOIN {0} t ON t.fid = r.id WHERE "
                              "r.minx > ST_MinX(t.geom) OR r.maxx < ST_MaxX(t.geom) OR r.miny > "
                              "ST_MinY(t.geom) OR r.maxy < ST_MaxY(t.geom)",
                              table),
                  "the spatial index has this row elsewhere");
    }

    void extent(std::string_view table)
    {
        ++report_.rules;
        const auto same = book_.scalar(fmt::format(
            "SELECT (c.min_x, c.min_y, c.max_x, c.max_y) IS (SELECT min(ST_MinX(geom)), "
            "min(ST_MinY(geom)), max(ST_MaxX(geom)), max(ST_MaxY(geom)) FROM {0}) FROM "
            "gpkg_contents c WHERE c.table_name = '{0}'",
            table));
        if (same != "1") {
            broken("gpkg_contents", std::string{table},
                   "the extent is not that of the rows; the next change of this table mends it");
        }
    }

    /// The CHECK holds the form of allowed hours; only reading them tells 08:75.
    void hours()
    {
        ++report_.rules;
        std::vector<std::int64_t> found;
        {
            Query query =
                book_.query("SELECT fid, allowed_hours FROM call WHERE allowed_hours IS NOT NULL");
            while (query.step()) {
                const std::int64_t fid = query.integer();
                const std::string_view text = query.view();
                for (std::size_t at = 0; at < text.size();) {
                    const std::size_t end = std::min(text.find(',', at), text.size());
                    if (!parse_clock_span(text.substr(at, end - at))) {
                        found.push_back(fid);
                        break;
                    }
                    at = end + 1;
                }
            }
        }
        for (const auto fid : found) {
            broken("call", name_of("call", fid), "allowed hours are no spans of clock time");
        }
    }

    /// Whether what was written down of sealed lots still stands as it was written.
    void chain()
    {
        ++report_.rules;
        for (auto& link : broken_links(book_)) {
            broken("lot_chain",
                   link.number > 0 ? fmt::format("link {}, {}", link.number, link.row) : link.row,
                   std::move(link.words));
        }
        if (const auto head = chain_head(book_)) {
            report_.links = static_cast<std::size_t>(head->number);
            report_.head = head->hash;
        }
    }

    Connection& book_;
    std::unique_ptr<Connection> model_;
    std::set<std::string> with_id_;
    CheckReport report_;
};

}  // namespace

std::string BrokenRule::text() const
{
    std::string out = table;
    if (!row.empty()) {
        out += (out.empty() ? "" : ", ") + row;
    }
    return out.empty() ? rule : out + ": " + rule;
}

CheckReport check(const std::filesystem::path& path)
{
    const auto book = open_book(path, true, standard_migrations());
    return Checker{*book}.run(true);
}

CheckReport check_rows(Connection& connection) { return Checker{connection}.run(false); }

int link_with_hash(const std::filesystem::path& path, std::string_view hash)
{
    const auto book = open_book(path, true, standard_migrations());
    return number_of_hash(*book, hash);
}

}  // namespace nestround::book
