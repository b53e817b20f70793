// Readers that are not ours: Debian's validator, ogrinfo and Python's GDAL.
//
// Source: OGC GeoPackage 1.3, 12-128r17; its requirements as asked by validate_gpkg.py of the GDAL
// project (package python3-gdal), and its R-tree triggers from annex F.3.
#include <cstdlib>

#include "geocore/book/check.hpp"
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;

namespace {

struct Answer {
    int code;
    std::string text;  ///< stdout and stderr
};

Answer ask(const Folder& folder, const std::string& command)
{
    const auto out = folder / "answer";
    const int status = std::system((command + " >" + out + " 2>&1 </dev/null").c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, bytes_of(out)};
}

std::string validator(const std::string& path)
{
    return "/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg " + path;
}

struct Books {
    Folder folder;
    std::string empty = folder / "empty.gpkg";
    std::string full = folder / "full.gpkg";
    Books()
    {
        {
            const Book book = Book::create(empty, kNow);
        }
        Book book = Book::create(full, kNow);
        fill(book);
    }
};

}  // namespace

TEST_CASE("Validator, AcceptsAnEmptyAndAFilledBook")
{
    const Books books;
    for (const auto& path : {books.empty, books.full}) {
        const auto answer = ask(books.folder, validator(path));
        CHECK(answer.text.empty());
        CHECK(answer.code == 0);
    }
}

TEST_CASE("Validator, IsNotSilentAboutEverything")
{
    const Books books;
    Stranger{books.full}.run("DROP TRIGGER rtree_site_geom_update1");
    const auto answer = ask(books.folder, validator(books.full));
    CHECK(answer.code != 0);
    CHECK(answer.text.find("75") != std::string::npos);
}

TEST_CASE("Validator, OgrinfoReadsEveryTableWithoutAWarning")
{
    const Books books;
    for (const auto& path : {books.empty, books.full}) {
        const auto answer = ask(books.folder, "ogrinfo -ro -al " + path);
        CHECK(answer.code == 0);
        for (const auto* word : {"arning", "ERROR", "conformant"}) {
            CAPTURE(word);
            CHECK(answer.text.find(word) == std::string::npos);
        }
        CHECK(answer.text.find("Layer name: weather_day") != std::string::npos);
    }
    const auto sites = ask(books.folder, "ogrinfo -ro -so " + books.full + " site").text;
    CHECK(sites.find("Feature Count: 3") != std::string::npos);
    CHECK(sites.find("Extent: (9.510000, 47.070000) - (9.530000, 47.090000)") != std::string::npos);
}

TEST_CASE("Validator, PythonsGdalReadsFieldsMeaningsAndPlaces")
{
    const Books books;
    const auto script = books.folder.write("read.py", R"(
import sys
from osgeo import gdal, ogr
gdal.UseExceptions()
warnings = []
gdal.PushErrorHandler(lambda kind, code, text: warnings.append(text))
data = gdal.OpenEx(sys.argv[1], gdal.OF_VECTOR)
print(data.GetLayerCount(), 'layers')
site = data.GetLayer('site')
site.SetSpatialFilterRect(9.515, 47.0, 9.525, 47.2)
print([(f.GetGeometryRef().ExportToWkt(), f['label']) for f in site])
nest = data.GetLayer('nest').GetLayerDefn()
kind = nest.GetFieldDefn(nest.GetFieldIndex('kind'))
print(kind.GetDomainName(), sorted(data.GetFieldDomain(kind.GetDomainName()).GetEnumeration()))
visit = data.GetLayer('visit').GetNextFeature()
print(visit['begun_at'], data.GetLayer('weather_day').GetNextFeature()['day'])
print(warnings)
)");
    const auto answer = ask(books.folder, "/usr/bin/python3 " + script + " " + books.full);
    CHECK(answer.text ==
          "35 layers\n"
          "[('POINT (9.52 47.08)', 'mill barn')]\n"
          "nest_kind ['aerial', 'ground', 'unknown', 'void']\n"
          "2026/08/03 08:00:00+00 2026/08/01\n"
          "[]\n");
}

TEST_CASE("Validator, GdalIsHeldToTheRulesAndItsRowsAreRead")
{
    const Books books;
    const auto script = books.folder.write("write.py", R"(
import sys
from osgeo import gdal, ogr
gdal.PushErrorHandler('CPLQuietErrorHandler')
data = gdal.OpenEx(sys.argv[1], gdal.OF_VECTOR | gdal.OF_UPDATE)
site = data.GetLayer('site')
print(site.DeleteFeature(1) != 0, 'still named' in gdal.GetLastErrorMsg())
feature = ogr.Feature(site.GetLayerDefn())
feature.SetGeometry(ogr.CreateGeometryFromWkt('POINT (9.25 47.5)'))
feature['id'] = '01980000-0000-7000-8000-0000000000ff'
feature['created_at'] = '2026/08/04 10:00:00+00'
feature['changed_at'] = '2026/08/04 10:00:00+00'
feature['label'] = 'drawn in a GIS'
print(site.CreateFeature(feature))
visit = data.GetLayer('visit')
first = visit.GetNextFeature()
first['note'] = 'seen'
first['ended_at'] = '2026/08/03 09:00:00+00'
print(visit.SetFeature(first))
data = None
)");
    const auto answer = ask(books.folder, "/usr/bin/python3 " + script + " " + books.full);
    CHECK(answer.text == "True True\n0\n0\n");
    for (const auto& rule : book::check(books.full).broken) {
        UNSCOPED_INFO(rule.text());
    }
    CHECK(book::check(books.full).broken.empty());
    const Book book = Book::open(books.full);
    const auto drawn = book.site(key<SiteId>(0xff));
    REQUIRE(drawn);
    CHECK(drawn->place == LonLat{Longitude{9.25}, Latitude{47.5}});
    CHECK(book.visits(key<NestId>(1)).at(0).ended == at("2026-08-03T09:00:00Z"));
    CHECK(ask(books.folder, validator(books.full)).code == 0);
}

TEST_CASE("Validator, EveryColumnHasAMeaning")
{
    const Books books;
    Stranger stranger{books.empty};
    CHECK(stranger.ask("SELECT t.table_name, c.name FROM gpkg_contents t JOIN "
                       "pragma_table_info(t.table_name) c WHERE NOT EXISTS (SELECT 1 FROM "
                       "gpkg_data_columns d WHERE d.table_name = t.table_name AND d.column_name = "
                       "c.name AND length(d.title) > 0 AND length(d.description) > 0)") == "");
    // A column that holds a quantity names its unit.
    CHECK(stranger.ask("SELECT table_name, column_name FROM gpkg_data_columns WHERE "
                       "(column_name GLOB '*_m' AND description NOT LIKE '%metres%') OR "
                       "(column_name GLOB '*_g' AND description NOT LIKE '%grams%') OR "
                       "(column_name GLOB '*_c' AND description NOT LIKE '%Celsius%') OR "
                       "(column_name GLOB '*_at' AND description NOT LIKE '%UTC%')") == "");
}

TEST_CASE("Validator, AcceptsPhotosAndGdalFollowsTheirRelations")
{
    const Books books;
    {
        Book book = Book::open(books.full);
        Photo photo;
        photo.id = key<PhotoId>(1);
        photo.call = book.waiting_calls(day("2026-08-04")).front().call.id;
        photo.width = photo.height = 1;
        photo.content_type = "image/png";
        book::Change change{book, kNow};
        change.insert(photo, std::vector<std::uint8_t>{1, 2, 3});
        change.commit();
    }
    const auto answer = ask(books.folder, validator(books.full));
    CHECK(answer.text.empty());
    CHECK(answer.code == 0);
    // OGC 18-000: a reader finds the pictures of a call by the relation alone.
    const auto script =
        "import sys\nfrom osgeo import gdal\nd = gdal.OpenEx(sys.argv[1])\n"

        "names = d.GetRelationshipNames()\nprint(names)\n"
        "for n in names:\n"
        "  r = d.GetRelationship(n)\n"
        "  print(r.GetLeftTableName(), r.GetRightTableName(), r.GetMappingTableName(), "
        "r.GetRelatedTableType())\n";
    const auto file = books.folder.write("relations.py", script);
    const auto relations = ask(books.folder, "/usr/bin/python3 " + file + " " + books.full);
    CAPTURE(relations.text);
    CHECK(relations.text.find("call photo call_photo media") != std::string::npos);
}
