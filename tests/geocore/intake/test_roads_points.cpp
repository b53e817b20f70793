#include "geocore/intake/roads_points.hpp"

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::test;

namespace {
Error error_of(const std::string& path)
{
    try {
        (void)read_points(path);
    } catch (const Failure& failure) {
        return failure.error();
    }
    return {ErrorCode::Internal, "nothing was refused", ""};
}
}  // namespace

TEST_CASE("RoadsPoints, ReadsATableOfNamesAndDegrees")
{
    const ScratchFolder folder;
    const auto places = read_points(folder.write(
        "p.csv", "name,lon,lat\nDepot,9.5,47.1\n\"Farm, old\",9.61,47.2\n,9.7,47.3\n"));
    REQUIRE(places.size() == 3);
    CHECK(places[0].name == "Depot");
    CHECK(places[0].at.lon.value() == 9.5);
    CHECK(places[0].at.lat.value() == 47.1);
    CHECK(places[1].name == "Farm, old");
    CHECK(places[2].name == "place 3");
}

TEST_CASE("RoadsPoints, ReadsAPointLayer")
{
    const ScratchFolder folder;
    const auto places = read_points(folder.write(
        "p.geojson",
        R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Barn"},)"
        R"("geometry":{"type":"Point","coordinates":[9.5,47.1]}}]})"));
    REQUIRE(places.size() == 1);
    CHECK(places[0].name == "Barn");
    CHECK(places[0].at.lat.value() == 47.1);
}

TEST_CASE("RoadsPoints, ARowWithoutAPlaceIsNamed")
{
    const ScratchFolder folder;
    for (const char* row : {"Barn,,", "Barn,abc,47", "Barn,9.5,97", "Barn,nan,47"}) {
        CAPTURE(row);
        const auto error = error_of(
            folder.write("p.csv", std::string{"name,lon,lat\nDepot,9.5,47.1\n"} + row + "\n"));
        CHECK(error.code == ErrorCode::InvalidInput);
        CHECK(error.message.find("row 2 (Barn)") != std::string::npos);
    }
    CHECK(
        error_of(folder.write("p.csv", "name,a,b\nDepot,9.5,47.1\n")).message.find("lon and lat") !=
        std::string::npos);
    CHECK(error_of(folder.write("q.csv", "name,lon,lat\n")).code == ErrorCode::InvalidInput);
    CHECK(error_of(folder.file("none.csv")).code == ErrorCode::NotFound);
}
