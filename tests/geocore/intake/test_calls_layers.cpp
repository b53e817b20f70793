// Lists of calls as layers of a map, made on the fly in several formats and coordinate systems.
#include <unistd.h>

#include <cmath>
#include <numbers>

#include "geocore/intake/calls.hpp"
#include "geocore/intake/gdal_quiet.hpp"
#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/layer_maker.hpp"
#include "tests/geocore/intake/scratch.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::tests;
using Catch::Contains;

namespace {

const std::vector<std::string> kColumns{"received",          "species",       "height_ft",
                                        "insecticide",       "allowed_hours", "client_name",
                                        "ladder_permission", "place"};

std::vector<std::string> cells(const std::string& place)
{
    return {"2026-08-04", "vulg", "10", "yes", "08:00-12:00", "Invented Person", "given", place};
}

void check_row(const intake::CallRow& row, double lon, double lat, const std::string& place)
{
    const auto& [call, nest, site] = row.sheet;
    // A ten-millionth of a degree is a centimetre.
    CHECK(site.place.lon.value() == Approx(lon).margin(1e-7));
    CHECK(site.place.lat.value() == Approx(lat).margin(1e-7));
    CHECK(site.label == place);
    CHECK(nest.taxon == "vulg");
    CHECK(nest.height->value() == Approx(3.048));
    CHECK(nest.insecticide);
    CHECK(call.allowed == std::vector{*parse_clock_span("08:00-12:00")});
    CHECK(call.ladder == LadderPermission::Given);
    REQUIRE(row.client);
    CHECK(row.client->name == "Invented Person");
}

/// Standard error while this lives.
class Overheard {
public:
    Overheard()
    {
        old_ = dup(STDERR_FILENO);
        file_ = std::tmpfile();
        dup2(fileno(file_), STDERR_FILENO);
    }
    ~Overheard()
    {
        stop();
        std::fclose(file_);
    }
    Overheard(const Overheard&) = delete;
    Overheard& operator=(const Overheard&) = delete;

    std::size_t stop()
    {
        if (old_ >= 0) {
            std::fflush(stderr);
            dup2(old_, STDERR_FILENO);
            close(old_);
            old_ = -1;
        }
        return static_cast<std::size_t>(lseek(fileno(file_), 0, SEEK_END));
    }

private:
    int old_ = -1;
    std::FILE* file_ = nullptr;
};

}  // namespace

TEST_CASE("Calls, ReadsLayersInAnySystem")
{
    struct Case {
        const char* format;
        const char* name;
        int epsg;
    };
    const auto given =
        GENERATE(Case{"GeoJSON", "calls.geojson", 4326}, Case{"GPKG", "calls.gpkg", 3857},
                 Case{"GPKG", "c.gpkg", 32632}, Case{"ESRI Shapefile", "calls.shp", 32632},
                 Case{"ESRI Shapefile", "calls.shp", 3857},
                 // Northing before easting by its definition.
                 Case{"GPKG", "calls.gpkg", 31467}, Case{"KML", "calls.kml", 4326});
    CAPTURE(given.format, given.epsg);
    const Scratch scratch;
    const auto file = scratch.path(given.name);
    make_layer(file, given.format, given.epsg, kColumns,
               {{projected(given.epsg, 9.52, 47.14), cells("mill")},
                {projected(given.epsg, 9.61, 47.21), cells("tower")}});
    const auto batch = read_calls(file, {});
    CAPTURE(batch.refused.empty() ? "" : batch.refused[0].text());
    REQUIRE(batch.rows.size() == 2);
    check_row(batch.rows[0], 9.52, 47.14, "mill");
    check_row(batch.rows[1], 9.61, 47.21, "tower");
    CHECK(batch.rows[1].row == 2);
}

TEST_CASE("Calls, MercatorMetresAreThoseOfItsFormula")
{
    // Spherical Mercator: x = R lon, y = R ln tan(pi/4 + lat/2), R = 6378137 m (EPSG guidance note
    // 7-2, method 1024); not PROJ against itself.
    const Scratch scratch;
    const auto file = scratch.path("calls.gpkg");
    constexpr double kRadius = 6378137;
    constexpr double kDegree = std::numbers::pi / 180;
    const double x = kRadius * 9.52 * kDegree;
    const double y = kRadius * std::log(std::tan(std::numbers::pi / 4 + 47.14 * kDegree / 2));
    make_layer(file, "GPKG", 3857, kColumns, {{{{x, y}}, cells("mill")}});
    check_row(read_calls(file, {}).rows.at(0), 9.52, 47.14, "mill");
}

TEST_CASE("Calls, ACopyInAnotherFormatHasTheSameKeys")
{
    const Scratch scratch;
    const auto layer = scratch.path("calls.gpkg");
    make_layer(layer, "GPKG", 32632, {"received", "species"},
               {{projected(32632, 9.52, 47.14), {"2026-08-04", "vulg"}}});
    const auto table =
        scratch.file("calls.csv", "lon,lat,received,species\n9.52,47.14,2026-08-04,vulg\n");
    CHECK(read_calls(layer, {}).rows.at(0).sheet.call.source_key ==
          read_calls(table, {}).rows.at(0).sheet.call.source_key);
}

TEST_CASE("Calls, ALayerWithoutSystemMustBeInDegrees")
{
    const Scratch scratch;
    const auto metres = scratch.path("metres.shp");
    make_layer(metres, "ESRI Shapefile", 0, {"received"}, {{{{539000, 5221000}}, {"2026-08-04"}}});
    const auto error = failure_of([&] { return read_calls(metres, {}); });
    CHECK_THAT(error.message, Contains("names no coordinate system") && Contains("539000"));
    CallMapping named;
    named.crs = "EPSG:32632";
    CHECK(read_calls(metres, named).rows.at(0).sheet.site.place.lat.value() ==
          Approx(47.14).margin(0.01));

    const auto degrees = scratch.path("degrees.shp");
    make_layer(degrees, "ESRI Shapefile", 0, {"received"}, {{{{9.52, 47.14}}, {"2026-08-04"}}});
    const auto batch = read_calls(degrees, {});
    CHECK(batch.rows.size() == 1);
    REQUIRE_FALSE(batch.notes.empty());
    CHECK_THAT(batch.notes.back(), Contains("names no coordinate system"));
}

TEST_CASE("Calls, FeaturesWithoutAPlaceAreRefused")
{
    const Scratch scratch;
    const auto file = scratch.path("calls.gpkg");
    make_layer(file, "GPKG", 4326, {"received"},
               {{{}, {"2026-08-04"}}, {{{9.5, 47.1}}, {"2026-08-04"}}});
    const auto batch = read_calls(file, {});
    CHECK(batch.rows.size() == 1);
    REQUIRE(batch.refused.size() == 1);
    CHECK(batch.refused[0].row == 1);
    CHECK_THAT(batch.refused[0].reason, Contains("no place"));

    const auto shapes = scratch.file("line.geojson", R"({"type":"FeatureCollection","features":[
        {"type":"Feature","properties":{"received":"2026-08-04"},
         "geometry":{"type":"LineString","coordinates":[[9,47],[9.1,47]]}},
        {"type":"Feature","properties":{"received":"2026-08-04","allergic":true},
         "geometry":{"type":"MultiPoint","coordinates":[[9,47]]}},
        {"type":"Feature","properties":{"received":"2026-08-04","allergic":false},
         "geometry":{"type":"Point","coordinates":[9,97]}}]})");
    const auto mixed = read_calls(shapes, {});
    REQUIRE(mixed.rows.size() == 1);
    CHECK(mixed.rows[0].sheet.call.allergic);
    REQUIRE(mixed.refused.size() == 2);
    CHECK_THAT(mixed.refused[0].reason, Contains("not a point"));
    CHECK_THAT(mixed.refused[1].reason, Contains("not on Earth"));
}

TEST_CASE("Calls, OneOfSeveralLayersIsNamed")
{
    const Scratch scratch;
    const auto file = scratch.path("two.gpkg");
    make_layer(file, "GPKG", 4326, {"received"}, {{{{9.5, 47.1}}, {"2026-08-04"}}}, wkbPoint,
               "north");
    make_layer(file, "GPKG", 4326, {"received"}, {{{{9.5, 46.1}}, {"2026-08-04"}}}, wkbPoint,
               "south");
    CHECK_THAT(failure_of([&] { return read_calls(file, {}); }).message, Contains("north, south"));
    CallMapping mapping;
    mapping.layer = "south";
    CHECK(read_calls(file, mapping).rows.at(0).sheet.site.place.lat.value() == 46.1);
    mapping.layer = "west";
    CHECK(failure_of([&] { return read_calls(file, mapping); }).code == ErrorCode::NotFound);
}

TEST_CASE("Calls, TablesWithoutGeometryUseTheirColumns")
{
    const Scratch scratch;
    const auto file = scratch.path("table.gpkg");
    make_layer(file, "GPKG", 0, {"lon", "lat", "received"}, {{{}, {"9.5", "47.1", "2026-08-04"}}},
               wkbNone);
    CHECK(read_calls(file, {}).rows.at(0).sheet.site.place ==
          LonLat{Longitude{9.5}, Latitude{47.1}});
}

TEST_CASE("Calls, DamagedAndForeignFilesSayWhyAndPrintNothing")
{
    const Scratch scratch;
    const auto whole = scratch.path("whole.gpkg");
    make_layer(whole, "GPKG", 4326, {"received"}, {{{{9.5, 47.1}}, {"2026-08-04"}}});
    std::ifstream in{whole, std::ios::binary};
    const std::string bytes{std::istreambuf_iterator<char>{in}, {}};
    const std::vector<std::filesystem::path> bad{
        scratch.file("cut.gpkg", bytes.substr(0, 5000)),
        scratch.file("cut.zip", std::string("PK\3\4\24\0\0\0\10\0", 10)),
        scratch.file("cut.geojson", R"({"type":"FeatureCollection","features":[{"type":"Fe)"),
        scratch.file("words.gpkg", "not a database"), scratch.file("lone.shp", "junk"),
        scratch.file("picture.png", "\x89PNG\r\n\x1a\n"), scratch.file("empty.gpkg", ""),
        // A file that only leads to other files.
        scratch.file("leads.vrt", "<OGRVRTDataSource><OGRVRTLayer name=\"calls\"><SrcDataSource>" +
                                      whole.string() +
                                      "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>")};
    for (const auto& file : bad) {
        CAPTURE(file.filename().string());
        Overheard overheard;
        std::string message;
        try {
            (void)read_calls(file, {});
        } catch (const Failure& failure) {
            message = failure.error().text();
        }
        const auto printed = overheard.stop();
        CHECK(printed == 0);
        CHECK_THAT(message, Contains(file.filename().string()));
        CHECK(message.find('\n') == std::string::npos);
    }
}

TEST_CASE("GdalQuiet, CollectsAndRestores")
{
    Overheard overheard;
    {
        GdalQuiet outer;
        {
            GdalQuiet inner;
            CPLError(CE_Warning, CPLE_AppDefined, "careful");
            CHECK_FALSE(inner.failed());
            CPLError(CE_Failure, CPLE_AppDefined, "two\nlines");
            CHECK(inner.failed());
            CHECK(inner.text("") == "careful; two lines");
        }
        CHECK(outer.text("nothing") == "nothing");
        CHECK_FALSE(outer.failed());
        CPLDebug("X", "debug");
        CHECK(outer.messages().empty());
    }
    CHECK(overheard.stop() == 0);
}
