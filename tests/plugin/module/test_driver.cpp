// The driver as others use it: GDAL's tools and GDAL in Python, each in a process of its own.
#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;
using nestround::testing::run_shell;

namespace {

struct Crew {
    Crew()
    {
        REQUIRE(run_program({"book", "create", book}).code == 0);
        std::string calls = "key,received,lon,lat,species,name,phone,address,label\n";
        for (int i = 0; i < 24; ++i) {
            calls += fmt::format(
                "C{},{}-07-{:02},-77.0{},41.2{},{},Ada Quill,555 0100,Secret Lane {},barn {}\n", i,
                i < 12 ? 2025 : 2026, 1 + i % 9, 10 + 3 * (i % 12), 10 + 7 * (i % 7),
                i % 3 == 0 ? "VGER" : "VMAC", i, i);
        }
        const auto said = run_program({"call", "import", book, folder.write("calls.csv", calls)});
        INFO(said.err);
        REQUIRE(said.code == 0);
        const auto crews =
            folder.write("crews.csv", "crew,lon,lat,shift,people\nKite,-77.0,41.2,07:00-16:00,2\n");
        const auto crew = run_program({"crew", "import", book, crews});
        INFO(crew.err);
        REQUIRE(crew.code == 0);
        const auto roads_built =
            run_program({"roads", "build", folder.write("town.osm", small_town_osm()), "--to",
                         roads, "--attribution", "Invented town"});
        REQUIRE(roads_built.code == 0);
    }
    [[nodiscard]] std::string name(const std::string& words = {}) const
    {
        return "NESTROUND:" + book + "?on=2026-08-04" + words;
    }
    /// A command with the driver in GDAL's reach.
    [[nodiscard]] static nestround::testing::Said run(const std::string& command)
    {
        // A driver built for the sanitizers wants their library before all others; what GDAL's own
        // tools leave behind is not ours.
        const auto* preload = std::getenv("NESTROUND_PRELOAD");
        const auto first =
            preload == nullptr
                ? std::string{}
                : fmt::format("LD_PRELOAD='{}' ASAN_OPTIONS=detect_leaks=0 ", preload);
        return run_shell(fmt::format("{}GDAL_DRIVER_PATH='{}/gdalplugins' {}", first,
                                     NESTROUND_BINARY_DIR, command));
    }
    [[nodiscard]] nlohmann::json features(const std::string& options) const
    {
        const auto out = folder / "out.geojson";
        std::filesystem::remove(out);
        const auto said = run(fmt::format("ogr2ogr -f GeoJSON '{}' {}", out, options));
        INFO(said.words);
        REQUIRE(said.code == 0);
        return nlohmann::json::parse(bytes_of(out))["features"];
    }
    Folder folder;
    std::string book = folder / "crew.gpkg";
    std::string roads = folder / "town.roads";
};

}  // namespace

TEST_CASE("Driver, IsFoundAndLeavesTheBookToItsOwnDriver")
{
    const Crew crew;
    CHECK_THAT(Crew::run("ogrinfo --formats").words, Contains("Nestround -vector- (ro)"));
    CHECK_THAT(Crew::run(fmt::format("ogrinfo '{}'", crew.book)).words,
               Contains("using driver `GPKG'"));
    const auto where = run_program({"gis", "where", "--bare"});
    CHECK(where.code == 0);
    CHECK(where.out == std::string{NESTROUND_BINARY_DIR} + "/gdalplugins\n");
    CHECK_THAT(run_program({"gis", "where"}).out, Contains("GDAL_DRIVER_PATH="));
}

TEST_CASE("Driver, LayersAreThoseOfTheProgram")
{
    const Crew crew;
    const auto said = Crew::run(fmt::format("ogrinfo '{}'", crew.name("&roads=" + crew.roads)));
    CHECK_THAT(said.words, Contains("waiting_calls") && Contains("stops") && Contains("tours") &&
                               Contains("nests") && Contains("nest_density") &&
                               Contains("at_the_depot"));
    CHECK_THAT(Crew::run(fmt::format("ogrinfo '{}'", crew.name())).words, !Contains("tours"));

    const auto calls = crew.features(fmt::format("'{}' waiting_calls", crew.name()));
    const auto ranked = nlohmann::json::parse(
        run_program({"rank", crew.book, "--on", "2026-08-04", "--without-weather", "--json", "-"})
            .out);
    REQUIRE(calls.size() == ranked.at("calls").size());
    CHECK(calls[0]["properties"]["rank"] == 1);
    CHECK(calls[0]["properties"]["score"].get<double>() ==
          Approx(ranked.at("calls").at(0).at("call").at("score").get<double>()).margin(0.01));
    CHECK(calls[0]["properties"]["received_on"].get<std::string>().size() == 10);
}

TEST_CASE("Driver, TheDepotShowsWhatTheBroodPlanForetells")
{
    const Crew crew;
    REQUIRE(
        run_program({"habitat", "add", crew.book, "--name", "box", "--set-point", "29C"}).code ==
        0);
    const auto added = run_program({"comb", "add", crew.book, "--call", "C1", "--habitat", "box",
                                    "--sealed", "400", "--on", "2026-08-02"});
    INFO(added.err);
    REQUIRE(added.code == 0);
    const auto rows = crew.features(fmt::format("'{}' at_the_depot", crew.name()));
    REQUIRE(rows.size() == 1);
    const auto& row = rows[0]["properties"];
    const auto said =
        run_program({"brood", "plan", crew.book, "--on", "2026-08-04", "--json", "-"});
    INFO(said.err);
    const auto plan = nlohmann::json::parse(said.out);
    INFO(plan.dump(1));
    CHECK(row["combs_standing"] == 1);
    CHECK(row["sealed_cells"] == 400);
    const auto& habitat = plan.at("habitats").at(0);
    CHECK(row["workers_left"].get<double>() ==
          Approx(habitat["workers_left"]["p50"].get<double>()).epsilon(1e-6));
    CHECK(row["workers_left_low"].get<double>() ==
          Approx(habitat["workers_left"]["p10"].get<double>()).epsilon(1e-6));
    CHECK(row["workers_left_high"].get<double>() ==
          Approx(habitat["workers_left"]["p90"].get<double>()).epsilon(1e-6));
    CHECK(row["adults_waiting"].get<double>() ==
          Approx(habitat["waiting"].get<double>()).epsilon(1e-6));
    CHECK(row["workers_in_7_days"].get<double>() > 50);
    CHECK(row["last_out_on"] == habitat["last_day"]);
}

TEST_CASE("Driver, NoClientLeavesThroughIt")
{
    const Crew crew;
    for (const auto* layer : {"waiting_calls", "nests", "nest_density", "at_the_depot"}) {
        const auto said = Crew::run(fmt::format("ogrinfo -al '{}' {}", crew.name(), layer));
        CHECK_THAT(said.words,
                   !Contains("Quill") && !Contains("555 0100") && !Contains("Secret Lane"));
    }
}

TEST_CASE("Driver, FiltersGoToTheBook")
{
    const Crew crew;
    CHECK(crew.features(fmt::format("'{}' nests", crew.name())).size() == 24);
    CHECK(crew.features(fmt::format("'{}' nests -where \"season = 2026\"", crew.name())).size() ==
          12);
    CHECK(crew.features(fmt::format("'{}' nests -where \"season >= 2025 AND taxon = 'vger'\"",
                                    crew.name()))
              .size() == 8);
    CHECK(crew.features(
                  fmt::format("'{}' nests -where \"season < 2026 OR taxon = 'VGER'\"", crew.name()))
              .size() == 16);
    // The window as an independent count over the points has it.
    const auto all = crew.features(fmt::format("'{}' nests", crew.name()));
    std::size_t inside = 0;
    for (const auto& nest : all) {
        const double lon = nest["geometry"]["coordinates"][0];
        const double lat = nest["geometry"]["coordinates"][1];
        inside += lon >= -77.03 && lon <= -77.01 && lat >= 41.21 && lat <= 41.23 ? 1 : 0;
    }
    REQUIRE(inside > 0);
    REQUIRE(inside < 24);
    CHECK(crew.features(fmt::format("-spat -77.03 41.21 -77.01 41.23 '{}' nests", crew.name()))
              .size() == inside);
    const auto info = Crew::run(fmt::format("ogrinfo -so '{}' nests", crew.name()));
    CHECK_THAT(info.words, Contains("Feature Count: 24") && Contains("Extent: (-77.0"));
}

TEST_CASE("Driver, TheDayHasStopsAndToursOnRoads")
{
    const Crew crew;
    const auto tours = crew.features(fmt::format("'{}' tours", crew.name("&roads=" + crew.roads)));
    REQUIRE(tours.size() == 1);
    const auto stops = crew.features(fmt::format("'{}' stops", crew.name("&roads=" + crew.roads)));
    CHECK(tours[0]["properties"]["stops"] == stops.size());
    const auto plan =
        nlohmann::json::parse(run_program({"morning", crew.book, "--on", "2026-08-04", "--roads",
                                           crew.roads, "--json", "-", "--without-weather"})
                                  .out);
    REQUIRE(plan.at("crews").at(0).at("stops").size() == stops.size());
    CHECK(stops.size() > 0);
}

TEST_CASE("Driver, InPythonWithTitlesDomainsAndStyles")
{
    const Crew crew;
    const auto script = crew.folder.write("look.py", R"(
import sys
from osgeo import gdal, ogr
gdal.UseExceptions()
data = gdal.OpenEx(sys.argv[1], gdal.OF_VECTOR, open_options=['SEASON=2025..2026'])
layer = data.GetLayerByName('waiting_calls')
field = layer.GetLayerDefn().GetFieldDefn(layer.GetLayerDefn().GetFieldIndex('taxon'))
print(field.GetAlternativeName(), '|', field.GetDomainName())
print(data.GetFieldDomain('taxon').GetEnumeration()['VGER'])
feature = layer.GetNextFeature()
print(feature.GetStyleString())
layer.SetSpatialFilterRect(-77.02, 41.2, -77.0, 41.3)
print(len(layer) == len([f for f in layer]))
print(data.GetLayerByName('nest_density').GetNextFeature().GetField('first_season'))
try:
    gdal.OpenEx(sys.argv[1], gdal.OF_VECTOR | gdal.OF_UPDATE)
    print('opened for writing')
except RuntimeError as error:
    print(error)
)");
    const auto said = Crew::run(fmt::format("/usr/bin/python3 '{}' '{}'", script, crew.name()));
    INFO(said.words);
    CHECK(said.code == 0);
    CHECK_THAT(said.words, Contains("species by its code | taxon") &&
                               Contains("Vespula germanica") && Contains("SYMBOL(") &&
                               Contains("True") && Contains("2025") &&
                               Contains("can only be read"));
}

TEST_CASE("Driver, ReadsWhileAnotherWritesAndChangesNothing")
{
    const Crew crew;
    const auto before = bytes_of(crew.book);
    const auto more = crew.folder.write(
        "more.csv", "key,received,lon,lat,species\nLATE,2026-08-01,-77.02,41.22,VGER\n");
    // Another process commits between two looks of one that holds the book open.
    const auto script = crew.folder.write("watch.py", R"(
import subprocess, sys
from osgeo import ogr
ogr.UseExceptions()
data = ogr.Open(sys.argv[1])
layer = data.GetLayerByName('nests')
layer.GetNextFeature()
first = layer.GetFeatureCount()
subprocess.check_call(sys.argv[2:], stdout=subprocess.DEVNULL)
layer.ResetReading()
print('nests', first, len([f for f in layer]), layer.GetFeatureCount())
)");
    const auto said =
        Crew::run(fmt::format("/usr/bin/python3 '{}' '{}' '{}' call import '{}' '{}'", script,
                              crew.name(), NESTROUND_PROGRAM, crew.book, more));
    INFO(said.words);
    CHECK_THAT(said.words, Contains("nests 24 25 25"));
    const Crew still;
    const auto untouched = bytes_of(still.book);
    CHECK(Crew::run(fmt::format("ogrinfo -al '{}' nests", still.name())).code == 0);
    const bool same = bytes_of(still.book) == untouched;
    CHECK(same);
    const bool grown = bytes_of(crew.book) != before || std::filesystem::exists(crew.book + "-wal");
    CHECK(grown);
}

TEST_CASE("Driver, BrokenBooksAreNamedAndNeverCrash")
{
    const Crew crew;
    const auto foreign = crew.folder / "foreign.gpkg";
    REQUIRE(run_shell(fmt::format("ogr2ogr -f GPKG '{}' '{}' site", foreign, crew.book)).code == 0);
    CHECK_THAT(Crew::run(fmt::format("ogrinfo 'NESTROUND:{}'", foreign)).words,
               Contains("another program"));
    CHECK_THAT(Crew::run("ogrinfo NESTROUND:nowhere.gpkg").words, Contains("nowhere.gpkg"));
    CHECK_THAT(Crew::run(fmt::format("ogrinfo '{}'", crew.name("&colour=red"))).words,
               Contains("'colour' is not a word"));
    CHECK_THAT(Crew::run(fmt::format("ogrinfo 'NESTROUND:{}?on=someday'", crew.book)).words,
               Contains("someday"));
    // Cut and bitten files: told, or read as far as they are good; no signal ends the reader.
    const auto whole = bytes_of(crew.book);
    for (const std::size_t share : {3U, 7U, 50U, 97U}) {
        const auto cut = crew.folder.write("cut.gpkg", whole.substr(0, whole.size() * share / 100));
        CHECK(Crew::run(fmt::format("ogrinfo -al -so 'NESTROUND:{}'", cut)).code < 128);
    }
    for (std::size_t i = 1; i < 12; ++i) {
        auto bitten = whole;
        for (std::size_t k = 0; k < 40; ++k) {
            bitten[(i * 7919 * 131 + k * 104'729) % bitten.size()] = static_cast<char>(i * 37 + k);
        }
        const auto path = crew.folder.write("bitten.gpkg", bitten);
        const auto said = Crew::run(fmt::format("ogrinfo -al 'NESTROUND:{}?on=2026-08-04'", path));
        CHECK(said.code >= 0);
        CHECK(said.code < 128);
    }
}
