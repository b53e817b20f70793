// What a stranger gets who types the wrong thing: one line that names it and the way out, an exit
// code other than 0, and the book as it was.
#include <filesystem>
#include <sstream>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

bool one_line_of(const std::string& text)
{
    std::istringstream lines{text};
    std::string line;
    int errors = 0;
    while (std::getline(lines, line)) {
        errors += line.ends_with(" ...") ? 0 : 1;
    }
    return errors == 1;
}

/// A book with a crew, a week of weather, a town's roads and one call.
struct Office {
    Office()
    {
        REQUIRE(run_program({"book", "create", book}).code == 0);
        REQUIRE(run_program(
                    {"roads", "build", folder.write("town.osm", small_town_osm()), "--to", roads})
                    .code == 0);
        const auto crews = folder.write("crews.csv",
                                        "crew,lon,lat,shift,people\n"
                                        "North,-77.0,41.2,07:00-16:00,2\n");
        const auto gear = folder.write("gear.csv",
                                       "crew,kind,label,length_m,load_rating_kg,mass_kg,count\n"
                                       "North,pole,long pole,7,,3,1\n"
                                       "North,ladder,28 ft,8.53,136,22,1\n");
        REQUIRE(run_program({"crew", "import", book, crews, "--gear", gear}).code == 0);
        const auto weather = folder.write("weather.csv",
                                          "station,name,lon,lat,height_m,date,tmin_c,tmax_c\n"
                                          "S1,Town,-77.0,41.2,300,2026-08-03,14,26\n"
                                          "S1,Town,-77.0,41.2,300,2026-08-04,15,27\n");
        REQUIRE(run_program({"weather", "import", book, weather}).code == 0);
        REQUIRE(run_program({"call", "add", book, "--at", "41.215,-76.985", "--label", "old mill",
                             "--kind", "aerial", "--height", "4m", "--species", "DMAC",
                             "--received", "2026-08-01"})
                    .code == 0);
        before = bytes_of(book);
    }

    /// One line on standard error that has all of `words`, the given code, the book untouched.
    void refuses(const Outcome& outcome, ErrorCode code,
                 const std::vector<std::string>& words) const
    {
        CAPTURE(outcome.out, outcome.err);
        CHECK(outcome.code == static_cast<int>(code));
        // Steps told while working end in " ..."; beside them there is one line.
        CHECK(one_line_of(outcome.err));
        for (const auto& word : words) {
            CAPTURE(word);
            CHECK(outcome.err.find(word) != std::string::npos);
        }
        CHECK(bytes_of(book) == before);
    }

    Folder folder;
    std::string book = folder / "office.gpkg";
    std::string roads = folder / "town.roads";
    std::string before;
};

}  // namespace

TEST_CASE("Program, PlansADayInASmallTown")
{
    const Office office;
    const auto plan = run_program(
        {"morning", office.book, "--on", "2026-08-04", "--roads", office.roads, "--json", "-"});
    CAPTURE(plan.err);
    CHECK(plan.code == 0);
    CHECK(plan.out.find("old mill") != std::string::npos);
    CHECK(bytes_of(office.book) == office.before);
}

TEST_CASE("BadInput, MissingFile")
{
    const Office office;
    office.refuses(run_program({"rank", office.folder / "none.gpkg", "--on", "2026-08-04"}),
                   ErrorCode::NotFound, {"none.gpkg"});
    office.refuses(run_program({"call", "import", office.book, office.folder / "none.csv"}),
                   ErrorCode::NotFound, {"none.csv"});
    office.refuses(run_program({"morning", office.book, "--on", "2026-08-04", "--roads",
                                office.folder / "none.roads"}),
                   ErrorCode::NotFound, {"none.roads"});
}

TEST_CASE("BadInput, ForeignFile")
{
    const Office office;
    const auto letter = office.folder.write("letter.gpkg", "Dear crew, the nest is still there.\n");
    office.refuses(run_program({"rank", letter, "--on", "2026-08-04"}), ErrorCode::InvalidInput,
                   {"letter.gpkg"});
    office.refuses(run_program({"morning", office.book, "--on", "2026-08-04", "--roads", letter}),
                   ErrorCode::InvalidInput, {"letter.gpkg"});
}

TEST_CASE("BadInput, DateOutsideTheWeather")
{
    const Office office;
    office.refuses(run_program({"rank", office.book, "--on", "2025-08-04"}),
                   ErrorCode::InvalidInput, {"2025-08-04", "2026-08-03", "--without-weather"});
    CHECK(run_program({"rank", office.book, "--on", "2025-08-04", "--without-weather"}).code == 0);
}

TEST_CASE("BadInput, DateThatIsNone")
{
    const Office office;
    office.refuses(run_program({"rank", office.book, "--on", "2026-02-30"}), ErrorCode::BadUsage,
                   {"2026-02-30"});
}

TEST_CASE("BadInput, CallInTheSea")
{
    const Office office;
    office.refuses(run_program({"call", "add", office.book, "--at", "38.0,-70.0", "--label", "buoy",
                                "--roads", office.roads}),
                   ErrorCode::InvalidInput, {"38.0,-70.0", "water"});
}

TEST_CASE("BadInput, ExtractWithoutRoads")
{
    const Office office;
    const auto empty = office.folder.write(
        "empty.osm", "<?xml version='1.0'?>\n<osm version='0.6' generator='test'></osm>\n");
    const auto made = office.folder / "empty.roads";
    office.refuses(run_program({"roads", "build", empty, "--to", made}), ErrorCode::InvalidInput,
                   {"empty.osm"});
    CHECK_FALSE(std::filesystem::exists(made));
}

TEST_CASE("BadInput, MinimumAboveMaximum")
{
    const Office office;
    const auto swapped = office.folder.write("swapped.csv",
                                             "station,name,lon,lat,height_m,date,tmin_c,tmax_c\n"
                                             "S1,Town,-77.0,41.2,300,2026-08-05,27,15\n");
    const auto outcome = run_program({"weather", "import", office.book, swapped});
    CAPTURE(outcome.err);
    CHECK(outcome.code == static_cast<int>(ErrorCode::InvalidInput));
    CHECK(outcome.err.find("swapped.csv") != std::string::npos);
    CHECK(outcome.err.find("row 2") != std::string::npos);
    CHECK(bytes_of(office.book) == office.before);
}

TEST_CASE("BadInput, FullDisk")
{
    const Office office;
    std::string rows = "key,received,lon,lat,place,nest_kind\n";
    for (int i = 0; i < 3000; ++i) {
        rows += "k" + std::to_string(i) + ",2026-08-01,-76.98,41.21,barn " + std::to_string(i) +
                ",ground\n";
    }
    const auto file = office.folder.write("many.csv", rows);
    // No file may grow past 600 kB; the signal that goes with it is ignored, as on a full disk.
    const auto outcome =
        run_program({"call", "import", office.book, file}, "trap '' XFSZ; ulimit -f 1200;");
    office.refuses(outcome, ErrorCode::BookFailed, {"office.gpkg"});
    CHECK(run_program({"book", "check", office.book}).code == 0);
}

TEST_CASE("BadInput, OutputThatCannotBeWritten")
{
    const Office office;
    office.refuses(run_program({"morning", office.book, "--on", "2026-08-04", "--roads",
                                office.roads, "--gpx", office.folder / "no/such/folder.gpx"}),
                   ErrorCode::OutputFailed, {"folder.gpx"});
}

TEST_CASE("BadInput, NoCrewNoRoadsNothingWaiting")
{
    const Folder folder;
    const auto book = folder / "empty.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    CHECK(run_program({"rank", book, "--on", "2026-08-04"}).code == 0);
    const auto no_roads = run_program({"morning", book, "--on", "2026-08-04"});
    CHECK(no_roads.code == static_cast<int>(ErrorCode::NotFound));
    CHECK(no_roads.err.find("roads build") != std::string::npos);
    const auto again = run_program({"book", "create", book});
    CHECK(again.code != 0);
}

TEST_CASE("Import, TheSameFileTwiceAddsNothingTwice")
{
    const Office office;
    const auto file = office.folder.write("calls.csv",
                                          "received,lon,lat,place,nest_kind,height_m\n"
                                          "2026-08-01,-76.99,41.22,barn,ground,\n"
                                          "2026-08-02,-76.98,41.23,shed,aerial,3\n"
                                          "2026-08-02,-76.98,99,nowhere,aerial,3\n");
    const auto first = run_program({"call", "import", office.book, file});
    CAPTURE(first.err);
    CHECK(first.code == 0);
    CHECK(first.out.find("2 calls added, 0 already in the book, 1 refused") != std::string::npos);
    CHECK(first.err.find("row 4") != std::string::npos);
    const auto second = run_program({"call", "import", office.book, file});
    CHECK(second.out.find("0 calls added, 2 already in the book, 1 refused") != std::string::npos);
    const auto strict = run_program({"call", "import", office.book, file, "--all-or-none"});
    CHECK(strict.code == static_cast<int>(ErrorCode::InvalidInput));
}
