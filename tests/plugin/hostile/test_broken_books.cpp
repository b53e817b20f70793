// Broken and foreign books through the driver and through `share`, in this very process: whatever
// the bytes, the answer is rows or an error that names the file, never the end of the process.
// Under the sanitizers the same corpus looks for reads beyond what is there.
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>
#include <sqlite3.h>

#include <chrono>
#include <filesystem>
#include <fstream>

#include "geocore/base/random.hpp"
#include "geocore/book/book.hpp"
#include "planner/app/preferences.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "plugin/share/make_share.hpp"
#include "plugin/share/share_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

extern "C" void GDALRegister_Nestround();

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;
namespace fs = std::filesystem;

namespace {

const Instant kNow{std::chrono::sys_days{std::chrono::year{2026} / 8 / 4}};

/// A small book without its write-ahead log: 12 nests, of which 6 wait.
std::string sound_book(const std::string& path)
{
    auto book = book::Book::create(path, kNow);
    Random random{5};
    book::Change change{book, kNow};
    for (int i = 0; i < 12; ++i) {
        Site site;
        site.id = SiteId{Uuid::make(kNow, random)};
        site.place = {Longitude{-77 + 0.01 * i}, Latitude{41.2}};
        change.insert(site);
        Nest nest;
        nest.id = NestId{Uuid::make(kNow, random)};
        nest.site = site.id;
        nest.season = 2025 + i % 2;
        nest.taxon = i % 3 == 0 ? "VGER" : "VMAC";
        change.insert(nest);
        Call call;
        call.id = CallId{Uuid::make(kNow, random)};
        call.nest = nest.id;
        call.received = Day{std::chrono::year{nest.season} / 7 / 20};
        call.state = i % 2 == 0 ? CallState::Taken : CallState::Waiting;
        if (call.state == CallState::Taken) {
            call.closed = call.received;
        }
        change.insert(call);
    }
    change.set_setting("partners.p.tier", "exact");
    change.commit();
    return path;
}

/// Everything that a GIS might ask; the features seen, or -1 when it does not open.
int look_through_driver(const std::string& path, std::string& words)
{
    CPLErrorReset();
    const auto name = "NESTROUND:" + path + "?on=2026-08-04";
    auto* data = static_cast<GDALDataset*>(
        GDALOpenEx(name.c_str(), GDAL_OF_VECTOR, nullptr, nullptr, nullptr));
    words = CPLGetLastErrorMsg();
    if (data == nullptr) {
        return -1;
    }
    int seen = 0;
    for (int i = 0; i < data->GetLayerCount(); ++i) {
        auto* layer = data->GetLayer(i);
        CPLErrorReset();
        for (OGRFeature* feature = nullptr; (feature = layer->GetNextFeature()) != nullptr;) {
            ++seen;
            OGRFeature::DestroyFeature(feature);
        }
        if (words.empty()) {
            words = CPLGetLastErrorMsg();
        }
        OGREnvelope extent;
        CPL_IGNORE_RET_VAL(layer->GetExtent(&extent, TRUE));
        CPL_IGNORE_RET_VAL(layer->GetFeatureCount(TRUE));
        layer->SetSpatialFilterRect(-77.05, 41, -76.9, 42);
        CPL_IGNORE_RET_VAL(layer->GetFeatureCount(TRUE));
        layer->SetSpatialFilter(nullptr);
        CPL_IGNORE_RET_VAL(layer->SetAttributeFilter("season = 2026 AND taxon = 'VGER'"));
        CPL_IGNORE_RET_VAL(layer->GetFeatureCount(TRUE));
        OGRFeature::DestroyFeature(layer->GetFeature(3));
    }
    GDALClose(data);
    return seen;
}

/// Nests shared, or -1 and the error's words.
int look_through_share(const std::string& path, const std::string& to, std::string& words)
{
    std::error_code ignored;
    fs::remove(to, ignored);
    try {
        const auto book = book::Book::open(path, book::Mode::ReadOnly);
        const auto preferences = app::preferences(book.settings());
        const auto table = app::taxa_in_use(book, preferences);
        share::ShareWishes wishes;
        wishes.partner = "p";
        wishes.on = std::chrono::floor<std::chrono::days>(kNow);
        const auto made = share::make_share(book, preferences, *table, wishes);
        share::write_share(made.shared, made.statement, *table, to);
        return static_cast<int>(made.shared.nests.size());
    } catch (const Failure& failure) {
        words = failure.error().text();
        CHECK_FALSE(fs::exists(to));  // a failed share leaves nothing behind
        return -1;
    }
}

class Corpus {
public:
    Corpus()
    {
        GDALAllRegister();
        GDALRegister_Nestround();
        CPLPushErrorHandler(CPLQuietErrorHandler);
        whole_ = bytes_of(sound_book(folder_ / "sound.gpkg"));
    }
    ~Corpus() { CPLPopErrorHandler(); }
    Corpus(const Corpus&) = delete;
    Corpus& operator=(const Corpus&) = delete;

    [[nodiscard]] const std::string& whole() const { return whole_; }
    [[nodiscard]] std::string path() const { return folder_ / "broken.gpkg"; }

    void write(const std::string& bytes)
    {
        for (const char* companion : {"-wal", "-shm", "-journal"}) {
            std::error_code ignored;
            fs::remove(path() + companion, ignored);
        }
        std::ofstream{path(), std::ios::binary}.write(bytes.data(),
                                                      static_cast<std::streamsize>(bytes.size()));
    }
    /// The sound book with a change that no rule of it would let through.
    void change(const std::string& sql)
    {
        write(whole_);
        sqlite3* handle = nullptr;
        REQUIRE(sqlite3_open(path().c_str(), &handle) == SQLITE_OK);
        sqlite3_db_config(handle, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
        const auto all =
            "PRAGMA ignore_check_constraints = ON; PRAGMA foreign_keys = OFF; "
            "PRAGMA legacy_alter_table = ON; " +
            sql;
        char* complaint = nullptr;
        const int done = sqlite3_exec(handle, all.c_str(), nullptr, nullptr, &complaint);
        INFO(sql << ": " << (complaint == nullptr ? "" : complaint));
        CHECK(done == SQLITE_OK);
        sqlite3_free(complaint);
        sqlite3_close(handle);
    }
    /// Both ways; an answer that is not rows must name the file.
    void look(const std::string& what)
    {
        CAPTURE(what);
        driver_words.clear();
        features = look_through_driver(path(), driver_words);
        {
            INFO(driver_words);
            CHECK((features >= 0 || names(driver_words)));
        }
        share_words.clear();
        shared = look_through_share(path(), folder_ / "out.gpkg", share_words);
        {
            INFO(share_words);
            CHECK((shared >= 0 || names(share_words)));
        }
        ++looked;
        refused += features < 0 || shared < 0 ? 1 : 0;
    }

    int features = 0;
    int shared = 0;
    int looked = 0;
    int refused = 0;
    std::string driver_words;
    std::string share_words;

private:
    /// The file, or the setting of it that cannot be.
    [[nodiscard]] static bool names(const std::string& words)
    {
        return words.find("broken.gpkg") != std::string::npos ||
               words.find("partner") != std::string::npos ||
               words.find("setting") != std::string::npos;
    }

    Folder folder_;
    std::string whole_;
};

}  // namespace

TEST_CASE("BrokenBooks, TheSoundOneIsReadBothWays")
{
    Corpus corpus;
    corpus.write(corpus.whole());
    corpus.look("sound");
    CHECK(corpus.features >= 12 + 6);
    CHECK(corpus.shared == 12);
    INFO(corpus.driver_words);
    CHECK(corpus.driver_words.empty());
}

TEST_CASE("BrokenBooks, CutAnywhere")
{
    Corpus corpus;
    const auto& whole = corpus.whole();
    std::vector<std::size_t> sizes{0, 1, 15, 16, 99, 100, 101, 4095, 4096, 4097};
    for (std::size_t part = 1; part < 20; ++part) {
        sizes.push_back(whole.size() * part / 20);
        sizes.push_back(whole.size() * part / 20 / 4096 * 4096);
    }
    sizes.push_back(whole.size() - 1);
    sizes.push_back(whole.size() - 4096);
    for (const auto size : sizes) {
        corpus.write(whole.substr(0, size));
        corpus.look(fmt::format("the first {} bytes", size));
    }
    CHECK(corpus.refused > corpus.looked / 2);
}

TEST_CASE("BrokenBooks, PagesAndBytesOverwritten")
{
    Corpus corpus;
    Random random{11};
    const auto& whole = corpus.whole();
    const auto pages = whole.size() / 4096;
    for (std::size_t round = 0; round < 60; ++round) {
        auto bytes = whole;
        // The first ten pages hold the schema and are met by all who open it.
        const auto page = round < 30 ? round % 10 : random.below(pages);
        for (std::size_t i = page == 0 ? 100 : 0; i < 4096; ++i) {
            bytes[page * 4096 + i] =
                round % 3 == 0 ? '\0'
                               : static_cast<char>(round % 3 == 1 ? 0xff : random.below(256));
        }
        corpus.write(bytes);
        corpus.look(fmt::format("page {} in round {}", page, round));
    }
    for (int round = 0; round < 100; ++round) {
        auto bytes = whole;
        const auto changes = 1 + random.below(60);
        for (std::uint64_t i = 0; i < changes; ++i) {
            bytes[random.below(bytes.size())] = static_cast<char>(random.below(256));
        }
        corpus.write(bytes);
        corpus.look(fmt::format("some bytes in round {}", round));
    }
    CHECK(corpus.refused > 0);
}

TEST_CASE("BrokenBooks, TablesThatAreMissing")
{
    Corpus corpus;
    for (const std::string table :
         {"site", "nest", "call", "crew", "visit", "catch", "comb_piece", "collection", "lot",
          "shipment", "setting", "app_meta", "gpkg_contents", "gpkg_geometry_columns",
          "gpkg_spatial_ref_sys", "rtree_site_geom", "weather_day"}) {
        corpus.change(fmt::format("DROP TABLE \"{}\"", table));
        corpus.look("no " + table);
        if (table == "nest" || table == "site" || table == "app_meta") {
            CHECK(corpus.shared < 0);
        }
    }
}

TEST_CASE("BrokenBooks, RowsThatNoRuleAllows")
{
    Corpus corpus;
    const std::vector<std::string> changes{
        "UPDATE app_meta SET value = '1' WHERE key = 'schema_version'",
        "UPDATE app_meta SET value = '-4' WHERE key = 'schema_version'",
        "UPDATE app_meta SET value = 'seven' WHERE key = 'schema_version'",
        "UPDATE app_meta SET value = zeroblob(3) WHERE key = 'schema_version'",
        "DELETE FROM app_meta", "PRAGMA application_id = 7", "PRAGMA user_version = 99999",
        "UPDATE site SET geom = X''", "UPDATE site SET geom = X'47'",
        "UPDATE site SET geom = X'47500001E6100000'", "UPDATE site SET geom = 'text'",
        "UPDATE site SET geom = 7", "UPDATE site SET geom = randomblob(28)",
        "UPDATE site SET geom = zeroblob(1000000)",
        // A point of NaN, one of infinity, one beyond the pole; a line where a point should be.
        "UPDATE site SET geom = X'47500001E61000000101000000000000000000F87F000000000000F87F'",
        "UPDATE site SET geom = X'47500001E61000000101000000000000000000F07F0000000000000000'",
        "UPDATE site SET geom = X'47500001E610000001010000000000000000000000000000000000F940'",
        "UPDATE site SET geom = "
        "X'47500001E610000001020000000200000000000000000000000000000000000000"
        "000000000000F03F000000000000F03F'",
        // Two milliards of points announced, and none there.
        "UPDATE site SET geom = X'47500001E61000000102000000FFFFFF7F'",
        "UPDATE nest SET id = 'no key ' || fid", "UPDATE nest SET id = fid",
        "UPDATE nest SET season = 'summer'", "UPDATE nest SET season = 9e99",
        "UPDATE nest SET season = -9223372036854775808", "UPDATE nest SET kind = X'00ff'",
        "UPDATE nest SET taxon = printf('%.*c', 2000000, 'x')",
        "UPDATE nest SET taxon = CAST(X'C3' AS TEXT)", "UPDATE nest SET site_id = 'nowhere'",
        "UPDATE nest SET height_m = 9e999", "UPDATE nest SET height_m = 'high'",
        "UPDATE nest SET first_seen_on = '2026-02-31'", "UPDATE call SET received_on = 'yesterday'",
        "UPDATE call SET received_on = '9999-12-31'", "UPDATE call SET state = 'eaten'",
        "UPDATE call SET allowed_hours = '25:00-03:00,,,'",
        "UPDATE call SET nest_id = (SELECT id FROM nest LIMIT 1)",
        "DELETE FROM rtree_site_geom_node", "UPDATE rtree_site_geom_node SET data = X''",
        "UPDATE rtree_site_geom_node SET data = zeroblob(1228)",
        "UPDATE rtree_site_geom_node SET data = X'0000FFFF'",
        "UPDATE rtree_site_geom_node SET data = randomblob(1228)",
        "UPDATE setting SET value = '{{{'", "UPDATE setting SET key = 'no.such'",
        "DROP TABLE nest; CREATE TABLE nest (a, b, c)",
        "DROP TABLE nest; CREATE VIEW nest AS SELECT * FROM nest",
        "DROP TABLE nest; CREATE VIEW nest AS SELECT fid, id FROM site",
        "ALTER TABLE nest RENAME COLUMN season TO year",
        "CREATE TABLE \"'; DROP TABLE nest; --\" (fid INTEGER PRIMARY KEY, geom BLOB); "
        "INSERT INTO gpkg_contents (table_name, data_type, identifier) VALUES "
        "('''; DROP TABLE nest; --', 'features', '../../etc/passwd')",
        "CREATE TABLE \"<script>alert(1)</script>\" (\"%s%n%s\" TEXT)",
        "UPDATE gpkg_contents SET srs_id = 2056",
        "UPDATE gpkg_contents SET min_x = 'wide', max_y = X'00'"};
    for (const auto& sql : changes) {
        corpus.change(sql);
        corpus.look(sql);
        if (sql.find("geom = ") != std::string::npos) {
            // A nest that is nowhere is never shared as if it were somewhere.
            CHECK(corpus.shared < 0);
        }
    }
    corpus.change("UPDATE app_meta SET value = '999' WHERE key = 'schema_version'");
    corpus.look("newer");
    CHECK(corpus.features < 0);
    CHECK_THAT(corpus.driver_words, Contains("999") && Contains("broken.gpkg"));
    // What a layer cannot read is said when it is read.
    corpus.change("UPDATE site SET geom = X'47'");
    corpus.look("half a point");
    CHECK_THAT(corpus.driver_words, Contains("geom") && Contains("broken.gpkg"));
}

TEST_CASE("BrokenBooks, WhatIsNoBook")
{
    Corpus corpus;
    for (const std::string& bytes :
         {std::string{}, std::string{"fid,lon,lat\n1,2,3\n"}, std::string(5000, '\0'),
          std::string{"SQLite format 3"} + '\0',
          std::string{"SQLite format 3"} + '\0' + std::string(84, '\xff'),
          std::string{"PK\x03\x04"} + std::string(200, 'x')}) {
        corpus.write(bytes);
        corpus.look(fmt::format("{} bytes", bytes.size()));
        CHECK(corpus.features < 0);
        CHECK(corpus.shared < 0);
    }
    // Another program's GeoPackage, with layers of the names that ours has, and very wide ones.
    fs::remove(corpus.path());
    auto* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    REQUIRE(driver != nullptr);
    auto* foreign = driver->Create(corpus.path().c_str(), 0, 0, 0, GDT_Unknown, nullptr);
    REQUIRE(foreign != nullptr);
    for (const char* name : {"nest", "site", "call", "crew"}) {
        auto* layer = foreign->CreateLayer(name, nullptr, wkbUnknown, nullptr);
        INFO(name << ": " << CPLGetLastErrorMsg());
        REQUIRE(layer != nullptr);
        for (int i = 0; i < 300; ++i) {
            OGRFieldDefn field{fmt::format("f{}", i).c_str(), OFTString};
            layer->CreateField(&field);
        }
    }
    GDALClose(foreign);
    corpus.look("a foreign GeoPackage");
    CHECK(corpus.features < 0);
    CHECK(corpus.shared < 0);
    fs::remove(corpus.path());
    corpus.look("nothing");
    CHECK(corpus.features < 0);
    fs::create_directory(corpus.path());
    corpus.look("a folder");
    CHECK(corpus.features < 0);
    fs::remove(corpus.path());
}

TEST_CASE("BrokenBooks, OneThatIsLockedIsReadOrNamed")
{
    Corpus corpus;
    corpus.write(corpus.whole());
    sqlite3* writer = nullptr;
    REQUIRE(sqlite3_open(corpus.path().c_str(), &writer) == SQLITE_OK);
    const auto run = [&](const char* sql) {
        CHECK(sqlite3_exec(writer, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
    };
    // A writer in the middle of a change: readers see what was committed.
    run("BEGIN IMMEDIATE; UPDATE setting SET changed_at = changed_at");
    corpus.look("a writer is at it");
    CHECK(corpus.shared == 12);
    CHECK(corpus.features >= 18);
    run("ROLLBACK");
    // One that lets nobody in: patience ends, and the file is named.
    run("PRAGMA journal_mode = DELETE; PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE");
    std::string words;
    CHECK(look_through_driver(corpus.path(), words) < 0);
    INFO(words);
    CHECK(words.find("broken.gpkg") != std::string::npos);
    sqlite3_close(writer);
}
