// nestround share as typed: what is in the file, and that nothing else is, byte for byte.
#include <fmt/format.h>

#include <array>
#include <cstring>
#include <filesystem>
#include <vector>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround::test;
using Catch::Contains;
using nestround::testing::run_shell;

namespace {

// Words that nobody else would write, and figures of so many digits that none comes by chance.
constexpr std::array kSecrets{
    "Zorbengast",    "555-019-2837",        "Quillmarsh Lane 77",    "behind Yttrium",
    "key-of-caller", "dog called Wuffelin", "under the Xanthic beam"};
constexpr double kLon = -77.0123456789;
constexpr double kLat = 41.1357924681;

/// As the list of calls has it.
double lon_of(int call) { return std::stod(fmt::format("{:.10f}", kLon + call * 1e-3)); }

std::string hostile_book(const Folder& folder)
{
    const auto book = folder / "a.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    std::string calls =
        "key,received,lon,lat,place,address,species,nest_kind,height_m,client_name,client_phone,"
        "note,entrance\n";
    for (int i = 0; i < 6; ++i) {
        calls += fmt::format(
            "key-of-caller{0},2026-07-2{0},{1:.10f},{2:.10f},behind Yttrium,Quillmarsh Lane 77,"
            "Vespula maculifrons,ground,0,Zorbengast,555-019-2837,dog called Wuffelin; at "
            "{1:.10f} {2:.10f},under the Xanthic beam\n",
            i, lon_of(i), kLat);
    }
    const auto said = run_program({"call", "import", book, folder.write("calls.csv", calls)});
    INFO(said.out << said.err);
    REQUIRE(said.code == 0);
    return book;
}

void set(const std::string& book, const std::string& name, const std::string& value)
{
    REQUIRE(run_program({"settings", "set", book, name, value}).code == 0);
}

/// A secret as it may lie in a file: as bytes, as UTF-16, turned round.
bool holds_words(const std::string& bytes, const std::string& words)
{
    std::string wide;
    for (const char letter : words) {
        wide += letter;
        wide += '\0';
    }
    return bytes.find(words) != std::string::npos || bytes.find(wide) != std::string::npos;
}

/// A coordinate as a double of either byte order, or as the first digits that tell it apart.
bool holds_number(const std::string& bytes, double number)
{
    std::array<char, sizeof(double)> raw{};
    std::memcpy(raw.data(), &number, sizeof number);
    const std::string little{raw.begin(), raw.end()};
    const std::string big{raw.rbegin(), raw.rend()};
    return bytes.find(little) != std::string::npos || bytes.find(big) != std::string::npos ||
           bytes.find(fmt::format("{:.6f}", number).substr(0, 8)) != std::string::npos;
}

std::string unpacked(const std::string& path)
{
    const auto said =
        run_shell("/usr/bin/python3 -c \"import zipfile,sys; z=zipfile.ZipFile('" + path +
                  "'); sys.stdout.write(''.join(z.read(n).decode() for n in z.namelist()))\"");
    REQUIRE(said.code == 0);
    return said.words;
}

}  // namespace

TEST_CASE("ShareCommand, NothingOfAClientOrOfAnExactPlaceIsLeftInTheBytes")
{
    const Folder folder;
    const auto book = hostile_book(folder);
    // The search finds what is there: the book itself holds every secret.
    const auto all =
        bytes_of(book) +
        (std::filesystem::exists(book + "-wal") ? bytes_of(book + "-wal") : std::string{});
    for (const auto* secret : kSecrets) {
        CHECK(holds_words(all, secret));
    }
    CHECK(holds_number(all, lon_of(0)));
    for (const char* tier : {"exact", "grid", "cells"}) {
        const std::string name{tier};
        set(book, "partners." + name + ".tier", tier);
        set(book, "partners." + name + ".at_least", "2");
        for (const char* form : {"geopackage", "dwca"}) {
            const bool archive = std::string{form} == "dwca";
            const auto path = folder / (name + (archive ? ".zip" : ".gpkg"));
            const auto said = run_program(
                {"share", book, "--with", name, "--to", path, "--as", form, "--on", "2026-08-04"});
            INFO(said.out << said.err);
            REQUIRE(said.code == 0);
            const auto bytes = archive ? unpacked(path) : bytes_of(path);
            CAPTURE(tier, form);
            CHECK(bytes.size() > 2000);
            CHECK(holds_words(bytes, "Vespula maculifrons"));  // something was shared
            for (const auto* secret : kSecrets) {
                CAPTURE(secret);
                CHECK_FALSE(holds_words(bytes, secret));
            }
            for (int i = 0; i < 6; ++i) {
                CHECK(holds_number(bytes, lon_of(i)) == (name == "exact"));
            }
            CHECK(holds_number(bytes, kLat) == (name == "exact"));
        }
    }
}

TEST_CASE("ShareCommand, TheSameBookAndPartnerGiveTheSameValidBytes")
{
    const Folder folder;
    const auto book = hostile_book(folder);
    for (const char* tier : {"exact", "grid", "cells"}) {
        set(book, "partners.p.tier", tier);
        const auto first = folder / (std::string{tier} + "1.gpkg");
        const auto second = folder / (std::string{tier} + "2.gpkg");
        for (const auto& path : {first, second}) {
            REQUIRE(run_program({"share", book, "--with", "p", "--to", path, "--on", "2026-08-04"})
                        .code == 0);
        }
        CHECK(bytes_of(first) == bytes_of(second));
        const auto valid =
            run_shell("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg " + first);
        INFO(valid.words);
        CHECK(valid.code == 0);
        // Our own form of clauses of the standard's abstract tests (OGC 12-128r17, annex A).
        const std::vector<std::pair<std::string, std::string>> clauses{
            {"PRAGMA application_id", "1196444487"},  // A.1.1.1.1.2
            {"PRAGMA user_version", "10300"},         // the same, 1.3
            {"PRAGMA integrity_check", "ok"},         // A.1.1.1.1.6
            {"PRAGMA foreign_key_check", ""},         // A.1.1.1.1.7
            {"SELECT count(*) FROM gpkg_spatial_ref_sys WHERE srs_id IN (-1,0,4326)", "3"},
            {"SELECT count(*) FROM gpkg_contents c LEFT JOIN sqlite_master m ON m.name = "
             "c.table_name WHERE m.name IS NULL",
             "0"},
            {"SELECT count(*) FROM gpkg_geometry_columns WHERE column_name = 'geom' AND srs_id = "
             "4326",
             "1"},
            {"SELECT count(*) FROM gpkg_extensions WHERE extension_name = 'gpkg_rtree_index'", "1"},
            {"SELECT count(*) FROM gpkg_metadata_reference r JOIN gpkg_metadata m ON m.id = "
             "r.md_file_id WHERE r.reference_scope = 'geopackage' AND m.mime_type = 'text/xml'",
             "1"},
            {"SELECT count(*) FROM gpkg_data_columns WHERE coalesce(title, '') = '' OR "
             "coalesce(description, '') = ''",
             "0"},
            {"PRAGMA freelist_count", "0"}};
        for (const auto& [sql, wanted] : clauses) {
            const auto said = run_shell(fmt::format("sqlite3 '{}' \"{}\"", first, sql));
            CAPTURE(sql, tier);
            CHECK(said.code == 0);
            CHECK(said.words.substr(0, said.words.find('\n')) == wanted);
        }
    }
}

// The index is packed by us: SQLite's own check of it, windows beside a look at every row, and
// edits by another program through the triggers that come with the file.
TEST_CASE("ShareCommand, TheIndexOfManyNestsIsSoundAndCanBeEdited")
{
    const Folder folder;
    const auto book = folder / "many.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    std::string calls = "key,received,lon,lat,species\n";
    for (int i = 0; i < 3000; ++i) {
        calls += fmt::format("c{},2026-07-{:02},{:.6f},{:.6f},VMAC\n", i, 1 + i % 28,
                             -78 + (i * 7919 % 3000) / 1000.0, 40 + (i * 104729 % 3000) / 1000.0);
    }
    const auto said = run_program({"call", "import", book, folder.write("calls.csv", calls)});
    INFO(said.err);
    REQUIRE(said.code == 0);
    for (const char* tier : {"exact", "grid", "cells"}) {
        set(book, "partners.p.tier", tier);
        set(book, "partners.p.grid_m", "50000");
        const auto path = folder / (std::string{tier} + ".gpkg");
        REQUIRE(
            run_program({"share", book, "--with", "p", "--to", path, "--on", "2026-08-04"}).code ==
            0);
        const std::string layer = std::string{tier} == "cells" ? "nest_counts" : "nests";
        const auto sql = [&](const std::string& words) {
            const auto answer = run_shell(fmt::format("sqlite3 '{}' \"{}\"", path, words));
            CHECK(answer.code == 0);
            return answer.words.substr(0, answer.words.find('\n'));
        };
        CAPTURE(tier);
        CHECK(sql("SELECT rtreecheck('main', 'rtree_" + layer + "_geom')") == "ok");
        CHECK(sql("SELECT count(*) > 10 FROM " + layer) == "1");
        CHECK(sql("SELECT (SELECT count(*) FROM " + layer + ") = (SELECT count(*) FROM rtree_" +
                  layer + "_geom)") == "1");
        CHECK(sql("SELECT feature_count = (SELECT count(*) FROM " + layer +
                  ") FROM gpkg_ogr_contents WHERE table_name = '" + layer + "'") == "1");
        const auto python = run_shell(
            "/usr/bin/python3 -c \"\nfrom osgeo import ogr\nogr.UseExceptions()\n"
            "d = ogr.Open('" +
            path +
            "', 1)\nl = d.GetLayer(0)\nassert l.TestCapability("
            "'FastSpatialFilter')\ne = l.GetExtent()\nboxes = [f.GetGeometryRef().GetEnvelope() "
            "for f in l]\nassert all(abs(p - q) < 1e-9 for p, q in zip(e, "
            "(min(b[0] for b in boxes), max(b[1] for b in boxes), min(b[2] for b in boxes), "
            "max(b[3] for b in boxes)))), e\n"
            "for w in ((-77.5, 40.5, -77, 41), (-78, 40, -75, 43), (-76.2, 41.9, -76.1, 42), "
            "(0, 0, 1, 1)):\n"
            "    l.SetSpatialFilterRect(*w)\n"
            "    want = sum(b[0] <= w[2] and b[1] >= w[0] and b[2] <= w[3] and b[3] >= w[1] "
            "for b in boxes)\n"
            "    assert l.GetFeatureCount() == want == sum(1 for f in l), (w, want)\n"
            "l.SetSpatialFilter(None)\nn = l.GetFeatureCount()\n"
            "f = l.GetFeature(1).Clone()\nf.SetFID(-1)\nl.CreateFeature(f)\n"
            "l.DeleteFeature(2)\nl.DeleteFeature(3)\nassert l.GetFeatureCount() == n - 1\n\"");
        INFO(python.words);
        CHECK(python.code == 0);
        CHECK(sql("SELECT rtreecheck('main', 'rtree_" + layer + "_geom')") == "ok");
        CHECK(sql("SELECT count(*) FROM " + layer) ==
              sql("SELECT count(*) FROM rtree_" + layer + "_geom"));
    }
}

// Readers of other makers: GDAL, and SpatiaLite on GeoPackage blobs.
TEST_CASE("ShareCommand, OtherReadersSeeTheNests")
{
    const Folder folder;
    const auto book = hostile_book(folder);
    set(book, "partners.p.tier", "grid");
    const auto path = folder / "p.gpkg";
    REQUIRE(run_program({"share", book, "--with", "p", "--to", path, "--on", "2026-08-04"}).code ==
            0);
    const auto gdal = run_shell("ogrinfo -ro -al -q " + path);
    CHECK_THAT(gdal.words, Contains("taxon (String) = Vespula maculifrons") &&
                               Contains("date (String) = 2026-07") && Contains("made for p"));
    const auto spatialite = run_shell(
        "sqlite3 -readonly '" + path +
        "' \"SELECT load_extension('mod_spatialite'); SELECT round(ST_Y(GeomFromGPB(geom)), 2) "
        "FROM nests LIMIT 1;\"");
    INFO(spatialite.words);
    CHECK_THAT(spatialite.words, Contains("41.1"));
}

TEST_CASE("ShareCommand, RefusesWhatNobodyAllowed")
{
    const Folder folder;
    const auto book = hostile_book(folder);
    const auto path = folder / "x.gpkg";
    const auto stranger = run_program({"share", book, "--with", "stranger", "--to", path});
    CHECK(stranger.code != 0);
    CHECK_THAT(stranger.err, Contains("no partner 'stranger'") && Contains("tier cells"));
    set(book, "partners.half.grid_m", "1000");
    const auto half = run_program({"share", book, "--with", "half", "--to", path});
    CHECK(half.code != 0);
    CHECK_THAT(half.err, Contains("partners.half.tier"));
    CHECK(run_program({"settings", "set", book, "partners.p.tier", "everything"}).code != 0);
    CHECK(run_program({"settings", "set", book, "partners.p.grid_m", "10"}).code != 0);
    CHECK(run_program({"settings", "set", book, "partners.p.at_least", "1"}).code != 0);
    CHECK(run_program({"settings", "set", book, "partners.p.clients", "yes"}).code != 0);
    set(book, "partners.p.tier", "cells");
    set(book, "partners.p.species", "Vespula nobody");
    const auto wasp = run_program({"share", book, "--with", "p", "--to", path});
    CHECK(wasp.code != 0);
    CHECK_THAT(wasp.err, Contains("Vespula nobody"));
    CHECK_FALSE(std::filesystem::exists(path));
    // No file that is there is written over, the book least of all.
    set(book, "partners.p.species", "");
    const auto before = bytes_of(book);
    CHECK(run_program({"share", book, "--with", "p", "--to", book}).code != 0);
    CHECK(bytes_of(book) == before);
    CHECK(run_program({"share", book, "--with", "p", "--to", folder / "x.txt"}).code != 0);
    CHECK(run_program({"share", book, "--with", "p", "--to", "/nowhere/x.gpkg"}).code != 0);
}

TEST_CASE("ShareCommand, AnEmptySeasonGivesAnEmptyValidFile")
{
    const Folder folder;
    const auto book = hostile_book(folder);
    set(book, "partners.p.tier", "grid");
    const auto path = folder / "none.gpkg";
    const auto said = run_program({"share", book, "--with", "p", "--to", path, "--season", "1999"});
    INFO(said.err);
    REQUIRE(said.code == 0);
    CHECK_THAT(said.out, Contains("0 nests for p, of 0 nests"));
    CHECK(run_shell("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg " + path).code == 0);
}
