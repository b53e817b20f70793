// roads reach as a stranger types it; what it writes is read back by GDAL's own tools.
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

bool holds(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

struct Town {
    Town()
    {
        const auto osm = folder.write("town.osm", small_town_osm());
        REQUIRE(
            run_program({"roads", "build", osm, "--to", roads, "--attribution", "Invented town"})
                .code == 0);
    }
    [[nodiscard]] Outcome reach(std::vector<std::string> words) const
    {
        words.insert(words.begin(), {"roads", "reach", roads});
        return run_program(words);
    }
    Folder folder;
    std::string roads = folder / "town.roads";
};

}  // namespace

TEST_CASE("RoadsReach, WritesNestedValidAreasThatGdalReads")
{
    const Town town;
    for (const char* name : {"areas.gpkg", "areas.geojson"}) {
        CAPTURE(name);
        const auto file = town.folder / name;
        const auto outcome =
            town.reach({"--from", "41 13 12 N 76 58 48 W", "--minutes", "3,1,2", "--to", file});
        CAPTURE(outcome.out, outcome.err);
        REQUIRE(outcome.code == 0);
        CHECK(holds(outcome.out, "written: " + file));
        // Another library's eyes: number, order, validity, nesting, right-hand rule.
        const auto script = town.folder.write("look.py", R"(import sys
from osgeo import ogr
ogr.UseExceptions()
d = ogr.Open(sys.argv[1])
layer = d.GetLayer(0)
assert layer.GetSpatialRef().GetAuthorityCode(None) == '4326'
rows = [(f['minutes'], f['area_km2'], f['road_km'], f['attribution'], f.GetGeometryRef().Clone()) for f in layer]
assert [r[0] for r in rows] == [3, 2, 1], rows
assert rows[0][1] > rows[1][1] > rows[2][1] > 0
assert rows[0][2] > rows[1][2] > rows[2][2] > 0
for r in rows:
    assert r[3] == 'Invented town'
    assert r[4].IsValid()
    assert r[4].GetGeometryName() == 'MULTIPOLYGON'
    for p in r[4]:
        for i in range(p.GetGeometryCount()):
            ring = p.GetGeometryRef(i)
            c = ring.GetPoints()
            turn = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(c, c[1:]))
            assert (turn < 0) == (i > 0)
for small, great in ((rows[2], rows[1]), (rows[1], rows[0])):
    assert great[4].Buffer(2e-7).Contains(small[4])
print('all well')
)");
        const auto said = testing::run_shell("/usr/bin/python3 " + script + " " + file);
        CHECK(said.words == "all well\n");
    }
}

TEST_CASE("RoadsReach, DrawsAPicture")
{
    const Town town;
    const auto file = town.folder / "reach.svg";
    REQUIRE(town.reach({"--from", "41.22,-76.98", "--minutes", "1,2", "--picture", file}).code ==
            0);
    const auto svg = bytes_of(file);
    CHECK(holds(svg, "<svg"));
    const auto again = town.folder / "again.svg";
    REQUIRE(town.reach({"--from", "41.22,-76.98", "--minutes", "2,1", "--picture", again}).code ==
            0);
    CHECK(bytes_of(again) == svg);
}

TEST_CASE("RoadsReach, SaysWhatIsWrongAndWritesNothing")
{
    const Town town;
    const auto refuses = [&](const std::vector<std::string>& words, ErrorCode code,
                             const std::string& part) {
        const auto outcome = town.reach(words);
        CAPTURE(outcome.out, outcome.err);
        CHECK(outcome.code == static_cast<int>(code));
        CHECK(holds(outcome.err, part));
    };
    const auto file = town.folder / "x.gpkg";
    refuses({"--from", "42.5,-77", "--minutes", "10", "--to", file}, ErrorCode::InvalidInput,
            "start '42.5,-77'");
    refuses({"--from", "nowhere", "--minutes", "10", "--to", file}, ErrorCode::InvalidInput,
            "'nowhere' is no coordinates");
    refuses({"--from", "41.22,-76.98", "--minutes", "0", "--to", file}, ErrorCode::BadUsage,
            "1 to 1440");
    refuses({"--from", "41.22,-76.98", "--minutes", "5", "--to", town.folder / "x.shp"},
            ErrorCode::BadUsage, ".gpkg or .geojson");
    refuses({"--from", "41.22,-76.98", "--minutes", "5", "--to", town.folder / "none/x.gpkg"},
            ErrorCode::OutputFailed, "create the folder first");
    CHECK_FALSE(std::filesystem::exists(file));
    // A book, or any GeoPackage, is never written over.
    const auto book = town.folder / "book.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    const auto before = bytes_of(book);
    refuses({"--from", "41.22,-76.98", "--minutes", "5", "--to", book}, ErrorCode::OutputFailed,
            "is there already");
    CHECK(bytes_of(book) == before);
}
