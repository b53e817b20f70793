// roads path and times for a certain truck at a certain hour, as a stranger types it.
#include <fmt/format.h>

#include <cstdlib>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

bool has(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

/// A street of three junctions with a way round in the south; `tags` are on its first half.
std::string town(const std::string& tags)
{
    return fmt::format(
        R"(<?xml version='1.0'?><osm version='0.6'>
<node id='1' version='1' lat='41.20' lon='-77.00'/><node id='2' version='1' lat='41.20' lon='-76.99'/>
<node id='3' version='1' lat='41.20' lon='-76.98'/><node id='4' version='1' lat='41.19' lon='-77.00'/>
<node id='5' version='1' lat='41.19' lon='-76.99'/>
<way id='1' version='1'><nd ref='1'/><nd ref='2'/><tag k='highway' v='residential'/>{}</way>
<way id='2' version='1'><nd ref='2'/><nd ref='3'/><tag k='highway' v='residential'/></way>
<way id='3' version='1'><nd ref='1'/><nd ref='4'/><nd ref='5'/><nd ref='2'/>
<tag k='highway' v='residential'/></way></osm>)",
        tags);
}

struct Town {
    explicit Town(const std::string& tags)
    {
        roads = folder / "town.roads";
        const auto built =
            run_program({"roads", "build", folder.write("town.osm", town(tags)), "--to", roads});
        CAPTURE(built.err);
        REQUIRE(built.code == 0);
    }

    [[nodiscard]] Outcome path(std::vector<std::string> more) const
    {
        std::vector<std::string> words{"roads",      "path", roads,        "--from",
                                       "-77.0,41.2", "--to", "-76.98,41.2"};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words);
    }
    [[nodiscard]] long seconds(std::vector<std::string> more = {}) const
    {
        const auto outcome = path(std::move(more));
        CAPTURE(outcome.err);
        REQUIRE(outcome.code == 0);
        return std::stol(outcome.out);
    }

    Folder folder;
    std::string roads;
};

}  // namespace

TEST_CASE("Drive, AHighTruckGoesRoundALowBridgeAndIsTold")
{
    const Town town{"<tag k='maxheight' v='3.2'/>"};
    const auto quick = town.seconds();
    CHECK(town.seconds({"--truck-height", "3.2"}) == quick);
    CHECK(town.seconds({"--truck-height", "3.3"}) > quick + 60);
    const auto told = town.path({"--truck-height", "3.3"});
    CHECK(has(told.err, "roads: 1 stretch of road closed to a truck of this size"));

    // The same from the settings of a book; what is typed goes first.
    const auto book = town.folder / "b.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    REQUIRE(run_program({"settings", "set", book, "truck.height_m", "3.3"}).code == 0);
    CHECK(town.seconds({"--book", book}) > quick + 60);
    CHECK(town.seconds({"--book", book, "--truck-height", "2.5"}) == quick);
    const auto bad = run_program({"settings", "set", book, "truck.height_m", "33"});
    CHECK(bad.code == static_cast<int>(ErrorCode::InvalidInput));
    CHECK(has(bad.err, "truck.height_m"));
}

TEST_CASE("Drive, ARoadClosedByHourIsClosedAtItsHour")
{
    const Town town{"<tag k='access:conditional' v='no @ (Mo-Fr 07:00-09:00)'/>"};
    const auto quick = town.seconds();
    CHECK(town.seconds({"--depart", "10:00", "--on", "2026-08-04"}) == quick);
    CHECK(town.seconds({"--depart", "08:00", "--on", "2026-08-04"}) > quick + 60);
    CHECK(town.seconds({"--depart", "08:00", "--on", "2026-08-08"}) == quick);  // a Saturday
    const auto bad = town.path({"--depart", "8 o'clock"});
    CHECK(bad.code == static_cast<int>(ErrorCode::BadUsage));
    CHECK(has(bad.err, "--depart wants"));
    const Town odd{"<tag k='access:conditional' v='no @ (PH)'/>"};
    const auto told = odd.path({"--depart", "08:00", "--on", "2026-08-04"});
    CHECK(told.code == 0);
    CHECK(has(told.err, "1 condition by hour not understood (such as 'no @ (PH)')"));
}

TEST_CASE("Drive, TrafficAndTurnsAddTime")
{
    const Town town{""};
    const auto quick = town.seconds();
    const auto table = town.folder.write(
        "rush.csv", "days,from,to,class,factor\nMo-Fr,07:00,09:00,residential,2\n");
    const auto rush = town.seconds({"--depart", "08:00", "--on", "2026-08-04", "--traffic", table});
    CHECK(std::abs(rush - 2 * quick) <= 1);
    CHECK(town.seconds({"--depart", "09:00", "--on", "2026-08-04", "--traffic", table}) == quick);
    const auto without = town.path({"--traffic", table});
    CHECK(without.code == static_cast<int>(ErrorCode::BadUsage));
    CHECK(has(without.err, "--traffic needs an hour"));
    const auto bad = town.folder.write("bad.csv", "from,to,factor\n07:00,09:00,fast\n");
    const auto refused = town.path({"--depart", "08:00", "--traffic", bad});
    CHECK(refused.code == static_cast<int>(ErrorCode::InvalidInput));
    CHECK(has(refused.err, "row 2, column 'factor': 'fast'"));

    // South from the start, then round: two lefts, then right onto the street. Straight on: none.
    CHECK(town.seconds({"--left-turn", "30", "--right-turn", "30"}) == quick);
    const Town bend{"<tag k='maxheight' v='3'/>"};
    const auto round = bend.seconds({"--truck-height", "3.5"});
    CHECK(bend.seconds({"--truck-height", "3.5", "--left-turn", "10", "--right-turn", "7"}) ==
          round + 7);
}
