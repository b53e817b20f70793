// Files made to do harm: each gives one line that names it, and nothing is fetched.
#include <arpa/inet.h>
#include <fmt/format.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include "geocore/base/random.hpp"
#include "geocore/book/book.hpp"
#include "geocore/intake/area_layer.hpp"
#include "geocore/intake/calls.hpp"
#include "geocore/intake/foreign_file.hpp"
#include "geocore/intake/partner_layer.hpp"
#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/layer_maker.hpp"
#include "tests/geocore/intake/scratch.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::tests;
using Catch::Contains;

namespace {

PartnerBatch read(const std::filesystem::path& file)
{
    PartnerMapping mapping;
    mapping.on = value_or_throw(parse_day("2026-09-01"));
    return read_partner_layer(file, mapping);
}

std::string refusal(const std::filesystem::path& file)
{
    return failure_of([&] { return read(file); }).text();
}

/// A port of this machine that nobody should knock at.
class Door {
public:
    Door()
    {
        socket_ = ::socket(AF_INET, SOCK_STREAM, 0);
        sockaddr_in here{};
        here.sin_family = AF_INET;
        here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        REQUIRE(::bind(socket_, reinterpret_cast<sockaddr*>(&here), sizeof here) == 0);
        REQUIRE(::listen(socket_, 4) == 0);
        socklen_t size = sizeof here;
        REQUIRE(::getsockname(socket_, reinterpret_cast<sockaddr*>(&here), &size) == 0);
        port = ntohs(here.sin_port);
    }
    ~Door() { ::close(socket_); }
    Door(const Door&) = delete;
    Door& operator=(const Door&) = delete;
    [[nodiscard]] bool knocked() const
    {
        pollfd wait{socket_, POLLIN, 0};
        return ::poll(&wait, 1, 100) > 0;
    }
    int port = 0;

private:
    int socket_ = -1;
};

void python(const std::string& script)
{
    const auto said = testing::run_shell("/usr/bin/python3 -c \"" + script + "\"");
    INFO(said.words);
    REQUIRE(said.code == 0);
}

std::string good_layer(const Scratch& scratch, const char* name, const char* format)
{
    make_layer(scratch.path(name), format, 4326, {"id"}, {{std::pair{-77.0, 41.0}, {"a"}}});
    return scratch.path(name).string();
}

std::string bytes(const std::filesystem::path& path) { return testing::read_all(path.string()); }

}  // namespace

TEST_CASE("ForeignFile, NothingIsFetchedHoweverAFileAsksForIt")
{
    const Scratch scratch;
    const Door door;
    const auto url = fmt::format("http://127.0.0.1:{}/x", door.port);
    for (const auto& [kind, name] : {std::pair{"link", "href"}, std::pair{"url", "url"}}) {
        const auto linked = scratch.file(
            "a.geojson",
            fmt::format(R"({{"type":"FeatureCollection","crs":{{"type":"{}","properties":{{"{}":
                        "{}"}}}},"features":[{{"type":"Feature","properties":{{}},"geometry":
                        {{"type":"Point","coordinates":[0,0]}}}}]}})",
                        kind, name, url));
        CHECK_THAT(refusal(linked), Contains("points to another place"));
    }
    for (const auto& vrt :
         {scratch.file("a.vrt", "<OGRVRTDataSource><OGRVRTLayer name='x'><SrcDataSource>" + url +
                                    "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>"),
          scratch.file("b.geojson", "<OGRVRTDataSource><OGRVRTLayer name='x'><SrcDataSource>" +
                                        url + "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>"),
          scratch.file("a.gml",
                       "<gml:FeatureCollection xmlns:gml='http://www.opengis.net/gml' "
                       "xmlns:xsi='http://www.w3.org/2001/XMLSchema-instance' "
                       "xsi:schemaLocation='x " +
                           url + "'><gml:featureMember/></gml:FeatureCollection>")}) {
        CHECK_THAT(refusal(vrt), Contains("cannot be read as a layer"));
    }
    CHECK_THAT(refusal("/vsicurl/" + url), Contains("no such file"));
    CHECK_THAT(refusal(url), Contains("no such file"));
    // A link in KML is no nest, and is not followed.
    const auto kml = scratch.file(
        "a.kml", "<kml xmlns='http://www.opengis.net/kml/2.2'><Document><NetworkLink><Link><href>" +
                     url + "</href></Link></NetworkLink></Document></kml>");
    CHECK(read(kml).rows.empty());
    CHECK_FALSE(door.knocked());
}

TEST_CASE("ForeignFile, ALayerOfCallsOrOfLandFetchesNothingEither")
{
    const Scratch scratch;
    const Door door;
    const auto linked = scratch.file(
        "a.geojson",
        fmt::format(R"({{"type":"FeatureCollection","crs":{{"type":"link","properties":{{"href":
                    "http://127.0.0.1:{}/x"}}}},"features":[{{"type":"Feature","properties":
                    {{"received":"2026-08-04"}},"geometry":{{"type":"Polygon","coordinates":
                    [[[0,0],[1,0],[1,1],[0,0]]]}}}}]}})",
                    door.port));
    try {
        (void)read_calls(linked, {});
    } catch (const Failure&) {
        // Whether it is taken without its system is not the point here.
    }
    try {
        (void)read_area(linked.string());
    } catch (const Failure&) {
    }
    CHECK_FALSE(door.knocked());
}

TEST_CASE("ForeignFile, HalfOfAFileIsNoFile")
{
    const Scratch scratch;
    const auto gpkg = bytes(good_layer(scratch, "a.gpkg", "GPKG"));
    const auto fgb = bytes(good_layer(scratch, "a.fgb", "FlatGeobuf"));
    const auto json = bytes(good_layer(scratch, "a.geojson", "GeoJSON"));
    for (const auto share : {0.1, 0.3, 0.5, 0.9}) {
        CAPTURE(share);
        const auto part = [&](const std::string& whole) {
            return std::string_view{whole}.substr(
                0, static_cast<std::size_t>(share * static_cast<double>(whole.size())));
        };
        for (const auto& [name, whole] : {std::pair{"h.gpkg", &gpkg}, std::pair{"h.fgb", &fgb},
                                          std::pair{"h.geojson", &json}}) {
            const auto half = scratch.file(name, part(*whole));
            CHECK_THAT(refusal(half), Contains(name));
        }
    }
    CHECK_THAT(refusal(scratch.file("e.gpkg", "")), Contains("empty"));
    CHECK_THAT(refusal(scratch.file("r.gpkg", std::string(4096, '\x7f'))), Contains("r.gpkg"));
    CHECK_THAT(refusal(scratch.file("z.zip", "PK\x03\x04 nothing behind")), Contains("z.zip"));
    CHECK_THAT(refusal(scratch.path(".")), Contains("folder"));
    CHECK_THAT(refusal("/dev/zero"), Contains("not a plain file"));
}

TEST_CASE("ForeignFile, AMillionColumnsAreRefusedBeforeTheyAreBuilt")
{
    const Scratch scratch;
    std::string json =
        R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{)";
    for (int i = 0; i < 1'000'000; ++i) {
        json += fmt::format("{}\"c{}\":1", i == 0 ? "" : ",", i);
    }
    json += R"(},"geometry":{"type":"Point","coordinates":[0,0]}}]})";
    CHECK_THAT(refusal(scratch.file("a.json", json)), Contains("2000 columns"));
    std::string header = "lon,lat";
    for (int i = 0; i < 3000; ++i) {
        header += fmt::format(",c{}", i);
    }
    CHECK_THAT(refusal(scratch.file("a.csv", header + "\n")), Contains("2000 columns"));
    std::vector<std::string> many;
    for (int i = 0; i < 2100; ++i) {
        many.push_back(fmt::format("c{}", i));
    }
    make_layer(scratch.path("a.fgb"), "FlatGeobuf", 4326, many, {});
    CHECK_THAT(refusal(scratch.path("a.fgb")), Contains("2100 columns"));
}

TEST_CASE("ForeignFile, DeepAndHugeTextIsNoTrouble")
{
    const Scratch scratch;
    const std::string deep = std::string(200'000, '[') + std::string(200'000, ']');
    CHECK_THAT(refusal(scratch.file("deep.json", deep)), Contains("deep.json"));
    const auto batch = read(scratch.file(
        "a.geojson",
        R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"taxon":")" +
            std::string(100'000, 'x') +
            R"("},"geometry":{"type":"Point","coordinates":[0,0]}},
            {"type":"Feature","properties":{"taxon":"Vespula"},
            "geometry":{"type":"Point","coordinates":[0,0]}}]})"));
    CHECK(batch.rows.size() == 1);
    REQUIRE(batch.refused.size() == 1);
    CHECK_THAT(batch.refused.front().text(), Contains("row 1, column taxon") && Contains("longer"));
}

TEST_CASE("ForeignFile, APackedFileThatGrowsBeyondSenseIsRefused")
{
    const Scratch scratch;
    const auto zip = scratch.path("bomb.zip").string();
    python("import zipfile; z=zipfile.ZipFile('" + zip +
           "','w',zipfile.ZIP_DEFLATED); z.writestr('a.geojson','0'*60000000); z.close()");
    CHECK_THAT(refusal(zip), Contains("times its size"));
    const auto crowd = scratch.path("crowd.zip").string();
    python("import zipfile; z=zipfile.ZipFile('" + crowd +
           "','w'); [z.writestr('f%d.txt' % i,'x') for i in range(1500)]; z.close()");
    CHECK_THAT(refusal(crowd), Contains("more than 1000 files"));
    const auto two = scratch.path("two.zip").string();
    python("import zipfile; z=zipfile.ZipFile('" + two +
           "','w'); z.writestr('a.geojson','{}'); z.writestr('b.geojson','{}'); z.close()");
    CHECK_THAT(refusal(two), Contains("packs 2 layers"));
    CHECK_THAT(refusal(scratch.file("a.kmz", "PK")), Contains("unpack it"));
}

TEST_CASE("ForeignFile, APackedLayerIsReadAndNamesThatLeadOutOfThePackageAreNot")
{
    const Scratch scratch;
    good_layer(scratch, "a.geojson", "GeoJSON");
    const auto zip = scratch.path("a.zip").string();
    python("import zipfile; z=zipfile.ZipFile('" + zip + "','w'); z.write('" +
           scratch.path("a.geojson").string() + "','folder/a.geojson'); z.close()");
    CHECK(read(zip).rows.size() == 1);
    const auto out = scratch.path("out.zip").string();
    python("import zipfile; z=zipfile.ZipFile('" + out +
           "','w'); z.writestr('../../etc/a.geojson','nothing'); z.close()");
    CHECK_THAT(refusal(out), Contains("out.zip"));
}

TEST_CASE("ForeignFile, ViewsVirtualTablesAndBooksAreNoLayers")
{
    const Scratch scratch;
    const auto view = good_layer(scratch, "v.gpkg", "GPKG");
    python("import sqlite3; c=sqlite3.connect('" + view +
           "'); c.execute('ALTER TABLE calls RENAME TO hidden') if False else None; "
           "c.execute('DROP TRIGGER IF EXISTS x'); c.execute('CREATE VIEW endless AS WITH "
           "RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i+1 FROM n) SELECT i AS fid, NULL AS geom "
           "FROM n'); c.execute(\\\"INSERT INTO gpkg_contents (table_name,data_type,identifier,"
           "srs_id) VALUES ('endless','features','endless',4326)\\\"); c.execute(\\\"INSERT INTO "
           "gpkg_geometry_columns VALUES ('endless','geom','POINT',4326,0,0)\\\"); c.commit()");
    PartnerMapping mapping;
    mapping.on = value_or_throw(parse_day("2026-09-01"));
    mapping.layer = "endless";
    CHECK_THAT(failure_of([&] { return read_partner_layer(view, mapping); }).text(),
               Contains("is a view"));
    mapping.layer = "calls";
    CHECK(read_partner_layer(view, mapping).rows.size() == 1);
    mapping.layer = "no'such; DROP TABLE calls";
    CHECK_THAT(failure_of([&] { return read_partner_layer(view, mapping); }).text(),
               Contains("has no layer"));
    const auto book = scratch.path("book.gpkg");
    (void)book::Book::create(book, value_or_throw(parse_instant("2026-08-04T06:30:00Z")));
    CHECK_THAT(refusal(book), Contains("whole book"));
}

TEST_CASE("ForeignFile, HostileNamesAreWordsAndNothingMore")
{
    const Scratch scratch;
    make_layer(scratch.path("a.gpkg"), "GPKG", 4326, {"id", "wasp"},
               {{std::pair{-77.0, 41.0}, {"'); DROP TABLE nest; --", "Vespula\n\x1b[31mred"}},
                {std::pair{-77.0, 41.0}, {"../../etc/passwd", "%s%n%x"}}},
               wkbPoint, "na'me; DROP TABLE x");
    const auto batch = read(scratch.path("a.gpkg"));
    REQUIRE(batch.rows.size() == 2);
    CHECK(batch.layer == "na'me; DROP TABLE x");
    CHECK(batch.rows[0].source_key == "'); DROP TABLE nest; --");
    CHECK(batch.rows[0].taxon_as_sent == "Vespula  [31mred");
    CHECK(batch.rows[1].source_key == "../../etc/passwd");
}

TEST_CASE("ForeignFile, CoordinatesThatAreNoPlaceAreRefusedByRow")
{
    const Scratch scratch;
    constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
    constexpr double kFar = std::numeric_limits<double>::infinity();
    make_layer(scratch.path("a.gpkg"), "GPKG", 4326, {"id"},
               {{std::pair{kNaN, 41.0}, {"a"}},
                {std::pair{-77.0, kFar}, {"b"}},
                {std::pair{-77.0, 95.0}, {"c"}},
                {std::pair{1e300, 0.0}, {"d"}},
                {std::nullopt, {"e"}},
                {std::pair{-77.0, 41.0}, {"f"}}});
    const auto batch = read(scratch.path("a.gpkg"));
    CHECK(batch.rows.size() == 1);
    CHECK(batch.refused.size() == 5);
    for (const auto& row : batch.refused) {
        CHECK(row.column == "place");
    }
}

TEST_CASE("ForeignFile, SpoiledBytesGiveRowsOrOneLineAndNeverACrash")
{
    const Scratch scratch;
    Random dice{41};
    for (const auto& [name, format] :
         {std::pair{"a.gpkg", "GPKG"}, std::pair{"a.fgb", "FlatGeobuf"},
          std::pair{"a.geojson", "GeoJSON"}, std::pair{"a.shp", "ESRI Shapefile"}}) {
        const auto whole = bytes(good_layer(scratch, name, format));
        int refused = 0;
        for (int round = 0; round < 60; ++round) {
            auto spoiled = whole;
            const auto wounds = 1 + dice.below(8);
            for (std::uint64_t i = 0; i < wounds; ++i) {
                spoiled[dice.below(spoiled.size())] = static_cast<char>(dice.below(256));
            }
            const auto file = scratch.file(name, spoiled);
            try {
                const auto rows = read(file).rows.size();
                CHECK(rows < 1000);
            } catch (const Failure& failure) {
                ++refused;
                CHECK(failure.error().text().find('\n') == std::string::npos);
            }
        }
        CAPTURE(name);
        CHECK(refused > 5);
    }
}

TEST_CASE("ForeignFile, AShapefilesTableIsPartOfItsDigest")
{
    const Scratch scratch;
    const auto shp = good_layer(scratch, "a.shp", "ESRI Shapefile");
    const auto before = digest_of(shp);
    CHECK(before == digest_of(shp));
    auto table = bytes(scratch.path("a.dbf"));
    table.back() = table.back() == ' ' ? 'x' : ' ';
    (void)scratch.file("a.dbf", table);
    CHECK(digest_of(shp) != before);
}
