#include "geocore/book/schema.hpp"

#include <fmt/format.h>

#include "geocore/base/text_file.hpp"
#include "geocore/book/chain.hpp"

namespace nestround::embedded {
std::span<const TextFile> schema();
}

namespace nestround::book {

namespace {

/// Every reference from row to row, in the words of its refusals.
constexpr std::array<Relation, 31> kRelations{{
    {"nest", "site_id", "site"},
    {"call", "nest_id", "nest"},
    {"call", "client_id", "client"},
    {"gear", "crew_id", "crew"},
    {"visit", "nest_id", "nest"},
    {"visit", "call_id", "call"},
    {"visit", "crew_id", "crew"},
    {"catch", "visit_id", "visit"},
    {"comb_piece", "visit_id", "visit"},
    {"collection", "comb_id", "comb_piece"},
    {"lot_parent", "lot_id", "lot"},
    {"lot_parent", "catch_id", "catch"},
    {"lot_parent", "collection_id", "collection"},
    {"lot_correction", "lot_id", "lot"},
    {"shipment", "order_id", "lab_order"},
    {"shipment_lot", "shipment_id", "shipment"},
    {"shipment_lot", "lot_id", "lot"},
    {"weather_day", "station_id", "weather_station"},
    {"weather_hour", "station_id", "weather_station", 3},
    {"lot_move", "lot_id", "lot", 4},
    {"excursion_lot", "excursion_id", "excursion", 4},
    {"excursion_lot", "lot_id", "lot", 4},
    {"habitat_reading", "habitat_id", "habitat", 5},
    {"photo", "call_id", "call", 6},
    {"photo", "nest_id", "nest", 6},
    {"photo", "visit_id", "visit", 6},
    {"visit_step", "call_id", "call", 6},
    {"visit_step", "visit_id", "visit", 6},
    {"deed_row", "deed_id", "deed", 6},
    {"partner_nest", "import_id", "partner_import", 7},
    {"partner_nest", "nest_id", "nest", 7},
}};

constexpr std::array<std::string_view, 16> kTablesWithId{
    "client",         "site",      "nest",       "call",           "crew", "gear",
    "visit",          "catch",     "comb_piece", "collection",     "lot",  "lot_parent",
    "lot_correction", "lab_order", "shipment",   "weather_station"};

/// Those that came later, each with its schema.
constexpr std::array<std::pair<std::string_view, int>, 9> kLaterTablesWithId{
    {{"lot_move", 4},
     {"excursion", 4},
     {"habitat", 5},
     {"photo", 6},
     {"visit_step", 6},
     {"deed", 6},
     {"partner_import", 7},
     {"partner_nest", 7},
     {"merge_conflict", 8}}};

/// The schema that a feature table came with.
int since_of(std::string_view feature_table) { return feature_table == "partner_nest" ? 7 : 1; }

void replace_all(std::string& text, std::string_view from, std::string_view to)
{
    for (std::size_t at = text.find(from); at != std::string::npos;
         at = text.find(from, at + to.size())) {
        text.replace(at, from.size(), to);
    }
}

/// Replaces "{head column}" by `form` with the column in it. Adding no days makes SQLite work the
/// date out; else it would give 30 February back as it stands.
void expand_column(std::string& text, std::string_view head, std::string_view form)
{
    for (std::size_t at = text.find(head); at != std::string::npos; at = text.find(head, at)) {
        const std::size_t end = text.find('}', at);
        const std::string column = text.substr(at + head.size(), end - at - head.size());
        text.replace(at, end + 1 - at, fmt::format(fmt::runtime(form), column));
    }
}

/// The clauses that many tables share, written once: {row_checks}, {point_check},
/// {day column}, {utc column}.
std::string expand(std::string_view file)
{
    std::string text{file};
    replace_all(text, "{row_checks}",
                R"(CONSTRAINT "an id is a UUID, 36 characters in lower case"
        CHECK (length(id) = 36 AND id GLOB '????????-????-????-????-????????????'
               AND id NOT GLOB '*[^0-9a-f-]*'),
    CONSTRAINT "created and changed are instants in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (created_at IS {utc created_at} AND changed_at IS {utc changed_at}))");
    replace_all(text, "{point_check}", R"(CONSTRAINT "a place is a GeoPackage point"
        CHECK (typeof(geom) = 'blob' AND length(geom) >= 29 AND substr(geom, 1, 3) = x'475000'))");
    expand_column(text, "{day ", "date({}, '+0 days')");
    expand_column(text, "{utc ", "strftime('%Y-%m-%dT%H:%M:%fZ', {}, '+0 days')");
    return text;
}

/// No row without the row it names, and no row deleted that others name: what foreign keys do, for
/// programs that write with foreign keys off.
std::string orphan_rules(const Relation& relation)
{
    const auto& [child, column, parent, since] = relation;
    std::string sql;
    for (const bool insert : {true, false}) {
        sql += fmt::format(
            "CREATE TRIGGER {0}_{1}_on_{2} BEFORE {3} ON {0}\n"
            "WHEN NEW.{1} IS NOT NULL AND NOT EXISTS (SELECT 1 FROM {4} WHERE id = NEW.{1})\n"
            "BEGIN SELECT RAISE(ABORT, '{0}.{1} names no {4} of this book'); END;\n",
            child, column, insert ? "insert" : "update",
            insert ? "INSERT" : fmt::format("UPDATE OF {}", column), parent);
    }
    sql += fmt::format(
        "CREATE TRIGGER {2}_keeps_{0}_{1} BEFORE DELETE ON {2}\n"
        "WHEN EXISTS (SELECT 1 FROM {0} WHERE {1} = OLD.id)\n"
        "BEGIN SELECT RAISE(ABORT, 'this {2} is still named by {0}.{1}'); END;\n",
        child, column, parent);
    return sql;
}

/// Keys are for ever; REPLACE, which deletes without firing a trigger, finds nothing to replace.
std::string key_rules(std::string_view table)
{
    return fmt::format(
        "CREATE TRIGGER {0}_keeps_its_keys BEFORE UPDATE ON {0}\n"
        "WHEN NEW.id IS NOT OLD.id OR NEW.fid IS NOT OLD.fid\n"
        "BEGIN SELECT RAISE(ABORT, 'the keys of a {0} never change'); END;\n"
        "CREATE TRIGGER {0}_is_new BEFORE INSERT ON {0}\n"
        "WHEN EXISTS (SELECT 1 FROM {0} WHERE id = NEW.id OR fid = NEW.fid)\n"
        "BEGIN SELECT RAISE(ABORT, 'a {0} with this key is already there'); END;\n",
        table);
}

/// A CHECK cannot call the ST_ functions: a reader without them could not open the table.
std::string place_rules(std::string_view table)
{
    std::string sql;
    for (const bool insert : {true, false}) {
        sql += fmt::format(
            "CREATE TRIGGER {0}_is_on_earth_{1} BEFORE {2} ON {0}\n"
            "WHEN NOT coalesce(NOT ST_IsEmpty(NEW.geom)\n"
            "    AND ST_MinX(NEW.geom) BETWEEN -180 AND 180\n"
            "    AND ST_MinY(NEW.geom) BETWEEN -90 AND 90\n"
            "    AND ST_MinX(NEW.geom) = ST_MaxX(NEW.geom)\n"
            "    AND ST_MinY(NEW.geom) = ST_MaxY(NEW.geom), 0)\n"
            "BEGIN SELECT RAISE(ABORT, 'the place of a {0} is a point on Earth, in degrees'); "
            "END;\n",
            table, insert ? "insert" : "update", insert ? "INSERT" : "UPDATE OF geom");
    }
    return sql;
}

std::string spatial_index(std::string_view table)
{
    std::string sql =
        R"(CREATE VIRTUAL TABLE "rtree_{t}_geom" USING rtree(id, minx, maxx, miny, maxy);
CREATE TRIGGER "rtree_{t}_geom_insert" AFTER INSERT ON "{t}" WHEN (new."geom" NOT NULL AND NOT ST_IsEmpty(NEW."geom")) BEGIN INSERT OR REPLACE INTO "rtree_{t}_geom" VALUES (NEW."fid",ST_MinX(NEW."geom"), ST_MaxX(NEW."geom"),ST_MinY(NEW."geom"), ST_MaxY(NEW."geom")); END;
CREATE TRIGGER "rtree_{t}_geom_update1" AFTER UPDATE OF "geom" ON "{t}" WHEN OLD."fid" = NEW."fid" AND (NEW."geom" NOTNULL AND NOT ST_IsEmpty(NEW."geom")) BEGIN INSERT OR REPLACE INTO "rtree_{t}_geom" VALUES (NEW."fid",ST_MinX(NEW."geom"), ST_MaxX(NEW."geom"),ST_MinY(NEW."geom"), ST_MaxY(NEW."geom")); END;
CREATE TRIGGER "rtree_{t}_geom_update2" AFTER UPDATE OF "geom" ON "{t}" WHEN OLD."fid" = NEW."fid" AND (NEW."geom" ISNULL OR ST_IsEmpty(NEW."geom")) BEGIN DELETE FROM "rtree_{t}_geom" WHERE id = OLD."fid"; END;
CREATE TRIGGER "rtree_{t}_geom_update3" AFTER UPDATE ON "{t}" WHEN OLD."fid" != NEW."fid" AND (NEW."geom" NOTNULL AND NOT ST_IsEmpty(NEW."geom")) BEGIN DELETE FROM "rtree_{t}_geom" WHERE id = OLD."fid"; INSERT OR REPLACE INTO "rtree_{t}_geom" VALUES (NEW."fid",ST_MinX(NEW."geom"), ST_MaxX(NEW."geom"),ST_MinY(NEW."geom"), ST_MaxY(NEW."geom")); END;
CREATE TRIGGER "rtree_{t}_geom_update4" AFTER UPDATE ON "{t}" WHEN OLD."fid" != NEW."fid" AND (NEW."geom" ISNULL OR ST_IsEmpty(NEW."geom")) BEGIN DELETE FROM "rtree_{t}_geom" WHERE id IN (OLD."fid", NEW."fid"); END;
CREATE TRIGGER "rtree_{t}_geom_delete" AFTER DELETE ON "{t}" WHEN old."geom" NOT NULL BEGIN DELETE FROM "rtree_{t}_geom" WHERE id = OLD."fid"; END;
INSERT INTO gpkg_extensions VALUES ('{t}', 'geom', 'gpkg_rtree_index', 'http://www.geopackage.org/spec120/#extension_rtree', 'write-only');
)";
    replace_all(sql, "{t}", table);
    return sql;
}

/// The files of the first schema come first; each later file is one migration.
constexpr std::size_t kFirstFiles = 7;

/// The references that came with a schema.
std::string reference_rules(int schema)
{
    std::string sql;
    for (const auto& relation : relations()) {
        if (relation.since == schema) {
            sql += orphan_rules(relation);
        }
    }
    return sql;
}

std::string feature_rules(int schema)
{
    std::string sql;
    for (const auto table : kFeatureTables) {
        if (since_of(table) == schema) {
            sql += place_rules(table);
            sql += spatial_index(table);
        }
    }
    return sql;
}

std::string later_schema(int schema)
{
    auto sql = expand(embedded::schema()[kFirstFiles + static_cast<std::size_t>(schema) - 2].text) +
               reference_rules(schema);
    for (const auto& [table, since] : kLaterTablesWithId) {
        if (since == schema) {
            sql += key_rules(table);
        }
    }
    return sql + feature_rules(schema);
}

std::string first_schema()
{
    std::string sql;
    for (const auto& file : embedded::schema().first(kFirstFiles)) {
        sql += expand(file.text);
    }
    sql += reference_rules(1);
    for (const auto table : kTablesWithId) {
        sql += key_rules(table);
    }
    return sql + feature_rules(1);
}

}  // namespace

std::vector<std::string> tables_with_key()
{
    std::vector<std::string> out{kTablesWithId.begin(), kTablesWithId.end()};
    for (const auto& [table, since] : kLaterTablesWithId) {
        out.emplace_back(table);
    }
    return out;
}

std::span<const Relation> relations() { return std::span{kRelations}; }

std::span<const Migration> standard_migrations()
{
    static const std::vector<Migration> kMigrations{
        {1, first_schema()},  {2, later_schema(2)},
        {3, later_schema(3)}, {4, later_schema(4), chain_what_was_sealed},
        {5, later_schema(5)}, {6, later_schema(6)},
        {7, later_schema(7)}, {8, later_schema(8)},
        {9, later_schema(9)}};
    return kMigrations;
}

std::vector<std::string> columns_of(Connection& connection, std::string_view table)
{
    std::vector<std::string> out;
    Query query = connection.query("SELECT name FROM pragma_table_info(?1)");
    query.bind(table);
    while (query.step()) {
        out.push_back(query.text());
    }
    return out;
}

}  // namespace nestround::book
