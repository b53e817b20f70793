// places build from what map files and address layers really hold.
#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

bool holds(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

// Numbers 2 to 10 along Mill Lane as an interpolation of even numbers, 200 m apart each; a house as
// a building's outline; one as a relation with an outer way; and one that its street relation
// names.
const char* const kExtract = R"(<?xml version='1.0'?>
<osm version='0.6' generator='test'>
<node id='1' version='1' lat='41.2000' lon='-77.0000'><tag k='place' v='village'/><tag k='name' v='Ostford'/></node>
<node id='10' version='1' lat='41.2000' lon='-77.0000'><tag k='addr:housenumber' v='2'/><tag k='addr:street' v='Mill Lane'/><tag k='addr:city' v='Ostford'/></node>
<node id='11' version='1' lat='41.2000' lon='-76.9960'><tag k='addr:housenumber' v='10'/><tag k='addr:street' v='Mill Lane'/><tag k='addr:city' v='Ostford'/></node>
<node id='20' version='1' lat='41.2010' lon='-77.0010'/>
<node id='21' version='1' lat='41.2010' lon='-77.0008'/>
<node id='22' version='1' lat='41.2012' lon='-77.0008'/>
<node id='23' version='1' lat='41.2012' lon='-77.0010'/>
<node id='30' version='1' lat='41.2020' lon='-77.0020'/>
<node id='31' version='1' lat='41.2020' lon='-77.0018'/>
<node id='32' version='1' lat='41.2022' lon='-77.0018'/>
<node id='33' version='1' lat='41.2022' lon='-77.0020'/>
<node id='40' version='1' lat='41.2030' lon='-77.0030'><tag k='addr:housenumber' v='7'/><tag k='addr:city' v='Ostford'/></node>
<way id='100' version='1'><nd ref='10'/><nd ref='11'/><tag k='addr:interpolation' v='even'/></way>
<way id='101' version='1'><nd ref='20'/><nd ref='21'/><nd ref='22'/><nd ref='23'/><nd ref='20'/>
<tag k='building' v='yes'/><tag k='addr:housenumber' v='5'/><tag k='addr:street' v='Quarry Road'/><tag k='addr:city' v='Ostford'/></way>
<way id='102' version='1'><nd ref='30'/><nd ref='31'/><nd ref='32'/><nd ref='33'/><nd ref='30'/></way>
<relation id='200' version='1'><member type='way' ref='102' role='outer'/>
<tag k='type' v='multipolygon'/><tag k='building' v='yes'/><tag k='addr:housenumber' v='9'/><tag k='addr:street' v='Quarry Road'/><tag k='addr:city' v='Ostford'/></relation>
<relation id='201' version='1'><member type='node' ref='40' role='house'/>
<tag k='type' v='associatedStreet'/><tag k='name' v='Hill Street'/></relation>
</osm>
)";

}  // namespace

TEST_CASE("PlacesBuild, ReadsInterpolationsOutlinesRelationsAndStreetsOfHouses")
{
    const Folder folder;
    const auto places = folder / "town.places";
    const auto built =
        run_program({"places", "build", folder.write("town.osm", kExtract), "--to", places});
    CAPTURE(built.out, built.err);
    REQUIRE(built.code == 0);
    CHECK(holds(built.out, "1 settlements, 3 streets"));
    CHECK(holds(built.out, "(3 of them filled in between others)"));
    const auto where = [&](const std::string& text) {
        return run_program({"where", text, "--places", places}).out;
    };
    // Halfway between 2 and 10.
    CHECK(holds(where("6 Mill Lane, Ostford"), "41.200000, -76.998000"));
    CHECK(holds(where("5 Quarry Road, Ostford"), "41.201100, -77.000900"));
    CHECK(holds(where("9 Quarry Road, Ostford"), "41.202100, -77.001900"));
    CHECK(holds(where("7 Hill Street, Ostford"), "41.203000, -77.003000"));
}

TEST_CASE("PlacesBuild, ReadsALayerWithColumnsOfItsOwn")
{
    const Folder folder;
    const auto layer = folder.write("houses.geojson", R"({"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"nr":"12","road":"Mill Lane","town":"Ostford","zip":"17001"},
 "geometry":{"type":"Point","coordinates":[-77.0,41.2]}},
{"type":"Feature","properties":{"nr":"14","road":"Mill Lane","town":"Ostford","zip":"17001"},
 "geometry":{"type":"Point","coordinates":[-77.001,41.2]}},
{"type":"Feature","properties":{"nr":"","road":"Mill Lane","town":"Ostford","zip":"17001"},
 "geometry":{"type":"Point","coordinates":[-77.002,41.2]}}]})");
    const auto places = folder / "town.places";
    const auto built =
        run_program({"places", "build", layer, "--to", places, "--number-column", "nr",
                     "--street-column", "road", "--city-column", "town", "--postcode-column", "zip",
                     "--attribution", "Town of Ostford"});
    CAPTURE(built.out, built.err);
    REQUIRE(built.code == 0);
    CHECK(holds(built.out, "2 house numbers"));
    CHECK(holds(run_program({"where", "14 Mill Lane, 17001 Ostford", "--places", places}).out,
                "41.200000, -77.001000"));
    CHECK(holds(run_program({"places", "info", places}).out, "Town of Ostford"));
    const auto wrong = run_program(
        {"places", "build", layer, "--to", folder / "x.places", "--street-column", "lane"});
    CHECK(wrong.code != 0);
    CHECK(holds(wrong.err, "lane"));
}

TEST_CASE("PlacesBuild, OverlappingExtractsGiveEachHouseOnce")
{
    const Folder folder;
    const auto town = folder.write("town.osm", kExtract);
    const auto copy = folder.write("copy.osm", kExtract);
    const auto report = [&](const std::vector<std::string>& files) {
        std::vector<std::string> words{"places", "build", "--json", "--to", folder / "p.places"};
        words.insert(words.end(), files.begin(), files.end());
        const auto outcome = run_program(words);
        REQUIRE(outcome.code == 0);
        return nlohmann::json::parse(outcome.out);
    };
    const auto one = report({town});
    const auto two = report({town, copy});
    for (const char* what : {"settlements", "streets", "houses", "filled_in"}) {
        CAPTURE(what);
        CHECK(one[what] == two[what]);
    }
    CHECK(one["houses"] > 0);
    CHECK(one["known_twice"] == 0);
    CHECK(two["known_twice"] == two["files"][1]["rows"]);
}
