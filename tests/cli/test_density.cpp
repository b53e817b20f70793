// nestround density as a stranger types it.
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround::test;
using Catch::Contains;
using nestround::testing::run_shell;

namespace {

struct Crew {
    Crew()
    {
        REQUIRE(run_program({"book", "create", book}).code == 0);
        std::string calls = "key,received,lon,lat,species,name,phone\n";
        for (int i = 0; i < 24; ++i) {
            calls += "C" + std::to_string(i) + "," + (i < 12 ? "2025" : "2026") + "-08-0" +
                     std::to_string(1 + i % 9) + ",-77.0" + std::to_string(10 + 3 * (i % 12)) +
                     ",41.2" + std::to_string(10 + 7 * (i % 7)) + "," +
                     (i % 3 == 0 ? "VGER" : "VMAC") + ",Ada Quill,555 0100\n";
        }
        const auto file = folder.write("calls.csv", calls);
        const auto said = run_program({"call", "import", book, file});
        INFO(said.err);
        REQUIRE(said.code == 0);
    }
    [[nodiscard]] Outcome density(std::vector<std::string> words) const
    {
        words.insert(words.begin(), {"density", book});
        return run_program(words);
    }
    Folder folder;
    std::string book = folder / "crew.gpkg";
};

}  // namespace

TEST_CASE("DensityCommand, CountsEachNestOnce")
{
    const Crew crew;
    const auto said = crew.density({"--season", "2025..2026", "--json", "-"});
    INFO(said.err);
    REQUIRE(said.code == 0);
    const auto json = nlohmann::json::parse(said.out);
    CHECK(json["nests"] == 24);
    CHECK(json["seasons"].size() == 2);
    const auto one = nlohmann::json::parse(
        crew.density({"--season", "2026", "--species", "Vespula germanica", "--json", "-"}).out);
    CHECK(one["nests"] == 4);
    CHECK(one["known"] == 12);
    CHECK_THAT(said.out, !Contains("Quill") && !Contains("555 0100"));
}

TEST_CASE("DensityCommand, WritesCellsSurfaceAndPicture")
{
    const Crew crew;
    const auto said =
        crew.density({"--season", "2025..2026", "--to", crew.folder / "cells.gpkg", "--raster",
                      crew.folder / "surface.tif", "--picture", crew.folder / "map.png",
                      "--each-season", "--smoothing", "2000ft", "--columns", "60"});
    INFO(said.err);
    REQUIRE(said.code == 0);
    CHECK_THAT(said.out, Contains("smoothed over 610 m"));
    CHECK(bytes_of(crew.folder / "cells.gpkg").substr(0, 6) == "SQLite");
    CHECK(bytes_of(crew.folder / "surface.tif").substr(0, 2) == "II");
    CHECK(bytes_of(crew.folder / "map.png").substr(1, 3) == "PNG");
    const auto cells = bytes_of(crew.folder / "cells.gpkg");
    CHECK(cells.find("Quill") == std::string::npos);
}

TEST_CASE("DensityCommand, TheLandSearchedIsALayerOfPolygons")
{
    const Crew crew;
    const auto land = crew.folder.write(
        "land.geojson",
        R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":)"
        R"({"type":"Polygon","coordinates":[[[-77.2,41.1],[-76.9,41.1],[-76.9,41.4],[-77.2,41.4],[-77.2,41.1]]]}}]})");
    const auto json = nlohmann::json::parse(
        crew.density({"--season", "2026", "--searched", land, "--json", "-"}).out);
    // A box of 0.3 by 0.3 degrees at 41.25 N.
    CHECK(json["searched_km2"].get<double>() == Approx(838).epsilon(0.01));
    CHECK(json["searched"] == "the land of land.geojson");

    const auto point =
        crew.folder.write("point.geojson", R"({"type":"Point","coordinates":[-77.0,41.2]})");
    CHECK_THAT(crew.density({"--season", "2026", "--searched", point}).err,
               Contains("point.geojson") && Contains("holds no polygon"));
    CHECK_THAT(crew.density({"--season", "2026", "--searched", crew.book}).err,
               Contains("is the book itself"));
    CHECK(crew.density({"--season", "2026", "--searched", "nowhere.gpkg"}).code == 11);
}

TEST_CASE("DensityCommand, SaysWhatIsWrong")
{
    const Crew crew;
    CHECK_THAT(crew.density({"--season", "2019"}).err,
               Contains("no call about a nest of season 2019"));
    CHECK_THAT(crew.density({"--season", "2026..2025"}).err, Contains("ends before it begins"));
    CHECK_THAT(crew.density({"--season", "summer"}).err, Contains("is no season"));
    CHECK_THAT(crew.density({"--season", "2026", "--species", "unicorn"}).err,
               Contains("no wasp is called unicorn"));
    CHECK_THAT(crew.density({"--season", "2026", "--cell-km2", "0"}).err, Contains("a cell is"));
    CHECK_THAT(crew.density({"--season", "2026", "--cell-km2", "nan"}).err, Contains("a cell is"));
    CHECK_THAT(crew.density({"--season", "2026", "--picture", "map.bmp"}).err, Contains("map.bmp"));
    const auto before = bytes_of(crew.book);
    CHECK_THAT(crew.density({"--season", "2026", "--to", crew.book}).err,
               Contains("is there already"));
    const bool same = bytes_of(crew.book) == before;
    CHECK(same);
    const auto empty = crew.folder / "empty.gpkg";
    REQUIRE(run_program({"book", "create", empty}).code == 0);
    CHECK_THAT(run_program({"density", empty, "--season", "2026"}).err, Contains("no call about"));
}

TEST_CASE("DensityCommand, APictureForPrintIsAPdfWithTheSameBytesEachTime")
{
    const Crew crew;
    const auto first = crew.folder / "first.pdf";
    const auto second = crew.folder / "second.pdf";
    REQUIRE(crew.density({"--season", "2026", "--picture", first}).code == 0);
    // A date within the file would be that of the clock.
    CHECK(run_shell("sleep 1.1").code == 0);
    REQUIRE(crew.density({"--season", "2026", "--picture", second}).code == 0);
    CHECK(bytes_of(first) == bytes_of(second));
    const auto words = run_shell("pdftotext -layout '" + first + "' -");
    REQUIRE(words.code == 0);
    CHECK_THAT(words.words, Contains("2026") && Contains("km"));
    CHECK_THAT(run_shell("pdfinfo '" + first + "'").words, Contains("Pages:           1"));
}
