#include "plugin/share/share_file.hpp"

#include <cpl_conv.h>
#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include <memory>
#include <vector>

#include "geocore/base/error.hpp"
#include "planner/sheets/gdal_memory.hpp"
#include "planner/sheets/morning_gpx.hpp"
#include "planner/sheets/write_file.hpp"
#include "plugin/share/load_rows.hpp"
#include "plugin/share/style.hpp"

namespace nestround::share {

namespace {

struct DropDataset {
    void operator()(GDALDataset* file) const { GDALClose(file); }
};
using File = std::unique_ptr<GDALDataset, DropDataset>;

/// GDAL stamps a GeoPackage with the time of day unless it is told one.
class StampedWith {
public:
    explicit StampedWith(const std::string& instant)
    {
        CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", instant.c_str());
    }
    ~StampedWith() { CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", nullptr); }
    StampedWith(const StampedWith&) = delete;
    StampedWith& operator=(const StampedWith&) = delete;
};

struct Column {
    const char* name;
    OGRFieldType type;
    const char* title;
    const char* meaning;
};

constexpr Column kNestColumns[]{
    {"id", OFTString, "Nest", "the same nest in each share with this partner; of no other use"},
    {"taxon", OFTString, "Taxon", "scientific name; Vespidae where the wasp is not known"},
    {"season", OFTInteger, "Season", "year in which the colony peaks"},
    {"sits", OFTString, "Sits", "aerial, ground, void or unknown"},
    {"date", OFTString, "Reported", "ISO 8601 day or month in which the nest was reported"},
    {"outcome", OFTString, "Outcome", "waiting, taken alive or given_up"},
    {"uncertainty_m", OFTReal, "Uncertainty",
     "metres around the place within which the nest lies; empty: not known"},
    {"height_m", OFTReal, "Height", "metres above where one stands; negative below ground"},
    {"caught_g", OFTReal, "Caught", "grams of frozen workers"},
};

constexpr Column kCountColumns[]{
    {"square", OFTString, "Square", "its name: side, row from the equator, column from 180 W"},
    {"taxon", OFTString, "Taxon", "scientific name; Vespidae where the wasp is not known"},
    {"season", OFTInteger, "Season", "year in which the colonies peak"},
    {"nests", OFTInteger, "Nests", "that became known there; counts of few houses are held back"},
};

void run(GDALDataset& file, const std::string& sql, const std::string& path)
{
    CPLErrorReset();
    auto* none = file.ExecuteSQL(sql.c_str(), nullptr, nullptr);
    if (none != nullptr) {
        file.ReleaseResultSet(none);
    }
    if (CPLGetLastErrorType() >= CE_Failure) {
        sheets::refuse_output(path);
    }
}

std::string quoted(const std::string& words)
{
    std::string out = "'";
    for (const char letter : words) {
        out += letter;
        if (letter == '\'') {
            out += '\'';
        }
    }
    return out + "'";
}

OGRLayer& new_layer(GDALDataset& file, const char* name, const std::string& title,
                    const std::string& description, OGRwkbGeometryType shape, const Column* first,
                    std::size_t count, const std::string& path)
{
    OGRSpatialReference wgs84;
    wgs84.importFromEPSG(4326);
    wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    CPLStringList options;
    options.SetNameValue("IDENTIFIER", title.c_str());
    options.SetNameValue("DESCRIPTION", description.c_str());
    options.SetNameValue("GEOMETRY_NAME", "geom");
    auto* layer = file.CreateLayer(name, &wgs84, shape, options.List());
    if (layer == nullptr) {
        sheets::refuse_output(path);
    }
    for (std::size_t i = 0; i < count; ++i) {
        OGRFieldDefn field{first[i].name, first[i].type};
        if (layer->CreateField(&field) != OGRERR_NONE) {
            sheets::refuse_output(path);
        }
    }
    return *layer;
}

std::string dublin_core(const Shared& shared, const Statement& statement)
{
    const auto element = [](const char* name, const std::string& words) {
        return words.empty()
                   ? std::string{}
                   : fmt::format("  <dc:{0}>{1}</dc:{0}>\n", name, sheets::xml_text(words));
    };
    return "<metadata xmlns:dc=\"http://purl.org/dc/elements/1.1/\">\n" +
           element("title", title_of(statement)) + element("creator", statement.from) +
           element("date", format_day(statement.on)) + element("type", "Dataset") +
           element("description", held_back_words(shared)) +
           element("relation", "made for " + statement.to) + element("rights", statement.licence) +
           "</metadata>\n";
}

void register_extension(GDALDataset& file, const char* table, const char* name,
                        const char* definition, const std::string& path)
{
    run(file,
        "CREATE TABLE IF NOT EXISTS gpkg_extensions (table_name TEXT, column_name TEXT, "
        "extension_name TEXT NOT NULL, definition TEXT NOT NULL, scope TEXT NOT NULL, CONSTRAINT "
        "ge_tce UNIQUE (table_name, column_name, extension_name))",
        path);
    run(file,
        fmt::format("INSERT INTO gpkg_extensions (table_name, column_name, extension_name, "
                    "definition, scope) VALUES ('{}', NULL, '{}', '{}', 'read-write')",
                    table, name, definition),
        path);
}

/// The tables of the metadata extension, as annex F.8 has their columns, and one row on the whole.
void add_metadata(GDALDataset& file, const Shared& shared, const Statement& statement,
                  const std::string& stamp, const std::string& path)
{
    run(file,
        "CREATE TABLE gpkg_metadata (id INTEGER CONSTRAINT m_pk PRIMARY KEY ASC NOT NULL, "
        "md_scope TEXT NOT NULL DEFAULT 'dataset', md_standard_uri TEXT NOT NULL, "
        "mime_type TEXT NOT NULL DEFAULT 'text/xml', metadata TEXT NOT NULL DEFAULT '')",
        path);
    run(file,
        "CREATE TABLE gpkg_metadata_reference (reference_scope TEXT NOT NULL, table_name TEXT, "
        "column_name TEXT, row_id_value INTEGER, timestamp DATETIME NOT NULL DEFAULT "
        "(strftime('%Y-%m-%dT%H:%M:%fZ','now')), md_file_id INTEGER NOT NULL, md_parent_id "
        "INTEGER, CONSTRAINT crmr_mfi_fk FOREIGN KEY (md_file_id) REFERENCES gpkg_metadata(id), "
        "CONSTRAINT crmr_mpi_fk FOREIGN KEY (md_parent_id) REFERENCES gpkg_metadata(id))",
        path);
    for (const char* table : {"gpkg_metadata", "gpkg_metadata_reference"}) {
        register_extension(file, table, "gpkg_metadata",
                           "http://www.geopackage.org/spec120/#extension_metadata", path);
    }
    run(file,
        "INSERT INTO gpkg_metadata (id, md_scope, md_standard_uri, mime_type, metadata) VALUES "
        "(1, 'dataset', 'http://purl.org/dc/elements/1.1/', 'text/xml', " +
            quoted(dublin_core(shared, statement)) + ")",
        path);
    run(file,
        "INSERT INTO gpkg_metadata_reference (reference_scope, timestamp, md_file_id) VALUES "
        "('geopackage', " +
            quoted(stamp) + ", 1)",
        path);
}

/// Of the schema extension.
void make_schema_tables(GDALDataset& file, const std::string& path)
{
    run(file,
        "CREATE TABLE gpkg_data_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, "
        "name TEXT, title TEXT, description TEXT, mime_type TEXT, constraint_name TEXT, "
        "CONSTRAINT pk_gdc PRIMARY KEY (table_name, column_name), CONSTRAINT gdc_tn UNIQUE "
        "(table_name, name))",
        path);
    run(file,
        "CREATE TABLE gpkg_data_column_constraints (constraint_name TEXT NOT NULL, "
        "constraint_type TEXT NOT NULL, value TEXT, min NUMERIC, min_is_inclusive BOOLEAN, max "
        "NUMERIC, max_is_inclusive BOOLEAN, description TEXT, CONSTRAINT gdcc_ntv UNIQUE "
        "(constraint_name, constraint_type, value))",
        path);
    for (const char* table : {"gpkg_data_columns", "gpkg_data_column_constraints"}) {
        register_extension(file, table, "gpkg_schema",
                           "http://www.geopackage.org/spec121/#extension_schema", path);
    }
}

void describe(GDALDataset& file, const char* layer, const Column* first, std::size_t count,
              const std::string& path)
{
    for (std::size_t i = 0; i < count; ++i) {
        run(file,
            fmt::format("INSERT INTO gpkg_data_columns (table_name, column_name, name, title, "
                        "description) VALUES ('{0}', '{1}', '{1}', {2}, {3})",
                        layer, first[i].name, quoted(first[i].title), quoted(first[i].meaning)),
            path);
    }
}

/// As a desktop GIS reads it: it draws by QML; SLD is for whoever takes it out.
void add_style(GDALDataset& file, const char* layer, const std::string& qml, const std::string& sld,
               const std::string& stamp, const std::string& path)
{
    run(file,
        "CREATE TABLE layer_styles (id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, "
        "f_table_catalog TEXT(256), f_table_schema TEXT(256), f_table_name TEXT(256), "
        "f_geometry_column TEXT(256), styleName TEXT(30), styleQML TEXT, styleSLD TEXT, "
        "useAsDefault BOOLEAN, description TEXT, owner TEXT(30), ui TEXT(30), update_time "
        "DATETIME DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')))",
        path);
    run(file,
        fmt::format("INSERT INTO gpkg_contents (table_name, data_type, identifier, description, "
                    "last_change) VALUES ('layer_styles', 'attributes', 'layer_styles', "
                    "'How the layers look', {})",
                    quoted(stamp)),
        path);
    run(file,
        fmt::format("INSERT INTO layer_styles (f_table_catalog, f_table_schema, f_table_name, "
                    "f_geometry_column, styleName, styleQML, styleSLD, useAsDefault, description, "
                    "owner, update_time) VALUES ('', '', '{0}', 'geom', '{0}', {1}, {2}, 1, "
                    "'{0}', '', {3})",
                    layer, quoted(qml), quoted(sld), quoted(stamp)),
        path);
}

constexpr Column kPhotoColumns[]{
    {"data", OFTBinary, "Picture", "drawn anew from the photo's pixels"},
    {"content_type", OFTString, "Form", "media type of the picture"},
    {"width_px", OFTInteger, "Width", "pixels"},
    {"height_px", OFTInteger, "Height", "pixels"},
};

/// Photos as media of their nests: OGC 18-000.
void add_photo_tables(GDALDataset& file, const std::string& stamp, const std::string& path)
{
    constexpr const char* related = "gpkg_related_tables";
    constexpr const char* definition = "http://www.geopackage.org/18-000.html";
    run(file,
        "CREATE TABLE photos (id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, data BLOB NOT NULL, "
        "content_type TEXT NOT NULL, width_px INTEGER NOT NULL, height_px INTEGER NOT NULL)",
        path);
    run(file,
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change) "
        "VALUES ('photos', 'attributes', 'Photos of nests', 'JPEG pictures; nests_photos says of "
        "which nest', " +
            quoted(stamp) + ")",
        path);
    run(file, "CREATE TABLE nests_photos (base_id INTEGER NOT NULL, related_id INTEGER NOT NULL)",
        path);
    run(file,
        "CREATE TABLE gpkgext_relations (id INTEGER PRIMARY KEY AUTOINCREMENT, base_table_name "
        "TEXT NOT NULL, base_primary_column TEXT NOT NULL DEFAULT 'id', related_table_name TEXT "
        "NOT NULL, related_primary_column TEXT NOT NULL DEFAULT 'id', relation_name TEXT NOT NULL, "
        "mapping_table_name TEXT NOT NULL UNIQUE)",
        path);
    run(file,
        "INSERT INTO gpkgext_relations (base_table_name, base_primary_column, related_table_name, "
        "related_primary_column, relation_name, mapping_table_name) VALUES ('nests', 'fid', "
        "'photos', 'id', 'media', 'nests_photos')",
        path);
    register_extension(file, "gpkgext_relations", related, definition, path);
    register_extension(file, "nests_photos", related, definition, path);
    describe(file, "photos", kPhotoColumns, std::size(kPhotoColumns), path);
}

/// Everything but the rows.
void make_tables(const Shared& shared, const Statement& statement, const std::string& draft,
                 const std::string& path)
{
    const sheets::GdalSilence quiet;
    const auto stamp = format_day(statement.on) + "T00:00:00.000Z";
    const StampedWith stamped{stamp};
    auto* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    if (driver == nullptr) {
        sheets::refuse_output(path);
    }
    CPLStringList options;
    options.SetNameValue("VERSION", "1.3");
    const File file{driver->Create(draft.c_str(), 0, 0, 0, GDT_Unknown, options.List())};
    if (!file || file->StartTransaction() != OGRERR_NONE) {
        sheets::refuse_output(path);
    }
    const bool cells = shared.tier == app::PrivacyTier::Cells;
    const char* name = cells ? "nest_counts" : "nests";
    const auto* columns = cells ? kCountColumns : kNestColumns;
    const auto count = cells ? std::size(kCountColumns) : std::size(kNestColumns);
    auto& layer = new_layer(*file, name, title_of(statement), held_back_words(shared),
                            cells ? wkbPolygon : wkbPoint, columns, count, path);
    // Makes the table and its empty index, too.
    if (layer.SyncToDisk() != OGRERR_NONE) {
        sheets::refuse_output(path);
    }
    add_metadata(*file, shared, statement, stamp, path);
    make_schema_tables(*file, path);
    describe(*file, name, columns, count, path);
    if (!shared.photos.empty()) {
        add_photo_tables(*file, stamp, path);
    }
    add_style(*file, name, cells ? counts_qml() : nests_qml(), cells ? counts_sld() : nests_sld(),
              stamp, path);
    if (file->CommitTransaction() != OGRERR_NONE) {
        sheets::refuse_output(path);
    }
}

}  // namespace

void check_share_name(const std::string& path)
{
    if (!path.ends_with(".gpkg")) {
        throw Failure{ErrorCode::BadUsage,
                      "a share as GeoPackage goes to a file that ends in .gpkg", path};
    }
    sheets::refuse_present(path);
}

std::size_t write_share(const Shared& shared, const Statement& statement,
                        const nature::TaxaTable& table, const std::string& path,
                        const PictureSource& pictures)
{
    check_share_name(path);
    const bool cells = shared.tier == app::PrivacyTier::Cells;
    std::size_t photos = 0;
    sheets::make_file(path, [&](const std::string& draft) {
        make_tables(shared, statement, draft, path);
        (cells ? load_counts : load_nests)(draft, path, shared, table);
        if (!shared.photos.empty()) {
            photos = load_photos(draft, path, shared, pictures);
        }
    });
    return photos;
}

}  // namespace nestround::share
