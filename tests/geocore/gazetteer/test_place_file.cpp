#include "geocore/gazetteer/place_file.hpp"

#include "geocore/base/error.hpp"
#include "geocore/place/geodesic.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using namespace nestround::gazetteer;

namespace {

LonLat at(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }

/// Ostford and Westford, each with a Mill Lane; Old Mill Lane in Ostford.
place::RawAddresses two_villages()
{
    place::RawAddresses raw;
    raw.settlements = {{"Ostford", "village", at(-77.00, 41.20)},
                       {"Westford", "village", at(-77.20, 41.20)}};
    const auto house = [&](double lon, double lat, const char* number, const char* street,
                           const char* city, const char* postcode = "") {
        raw.houses.push_back({at(lon, lat), number, street, city, postcode});
    };
    house(-77.001, 41.200, "10", "Mill Lane", "Ostford", "17001");
    house(-77.003, 41.200, "14", "Mill Lane", "Ostford", "17001");
    house(-77.004, 41.200, "15a", "Mill Lane", "Ostford", "17001");
    house(-77.201, 41.200, "10", "Mill Lane", "", "17002");
    house(-77.005, 41.201, "10", "Old Mill Lane", "Ostford");
    house(-77.006, 41.201, "3;5", "Sankt-Müller-Straße", "Ostford");
    house(-77.007, 41.202, "20-24", "Church Street", "Ostford");
    raw.stretches = {{"Long Road", at(-77.02, 41.20), at(-77.01, 41.21)}};
    raw.runs = {{{at(-77.010, 41.203), "2", "Run Street", "Ostford", ""},
                 {at(-77.012, 41.203), "10", "", "", ""},
                 2,
                 {at(-77.010, 41.203), at(-77.012, 41.203)}}};
    return raw;
}

struct Villages {
    Villages()
    {
        save_places(folder.file("p.places"), place::join_addresses(two_villages()), "made",
                    "© nobody");
        file.emplace(folder.file("p.places"));
    }
    [[nodiscard]] std::vector<Answer> ask(const std::string& text,
                                          std::optional<LonLat> near = {}) const
    {
        return file->find({text, near});
    }
    test::ScratchFolder folder;
    std::optional<PlaceFile> file;
};

}  // namespace

TEST_CASE("PlaceFile, FindsAHouseHoweverItIsWritten")
{
    const Villages villages;
    for (const auto* text :
         {"10 Mill Lane, Ostford", "mill lane 10 ostford", "Ostford, Mill Ln 10",
          "10 mill lane 17001", "MILL LANE 10, 17001 OSTFORD", "10 Mïll Lané Ostford"}) {
        CAPTURE(text);
        const auto answers = villages.ask(text);
        REQUIRE_FALSE(answers.empty());
        CHECK(answers[0].shown == "10 Mill Lane, Ostford");
        CHECK(answers[0].found == Found::House);
        CHECK(answers[0].exact());
        CHECK(answers[0].at.lon.value() == Approx(-77.001));
    }
    CHECK(villages.ask("st. mueller str 5 ostford").size() == 1);
    CHECK(villages.ask("sankt muller strasse 5")[0].exact());
    CHECK(villages.ask("15 a Mill Lane Ostford")[0].shown == "15a Mill Lane, Ostford");
    CHECK(villages.ask("22 Church St")[0].remark == "written 20-24 there");
    CHECK(villages.ask("10 Mill Lane Westford")[0].at.lon.value() == Approx(-77.201));
}

TEST_CASE("PlaceFile, PutsTheNearFirstAndTheExactBeforeTheFuzzy")
{
    const Villages villages;
    const auto west = villages.ask("10 Mill Lane", at(-77.2, 41.2));
    REQUIRE(west.size() == 3);
    CHECK(west[0].at.lon.value() == Approx(-77.201));
    CHECK(west[1].at.lon.value() == Approx(-77.001));
    CHECK(west[2].shown == "10 Old Mill Lane, Ostford");  // a word more than asked for
    CHECK(villages.ask("10 Mill Lane", at(-77, 41.2))[0].at.lon.value() == Approx(-77.001));
    const auto fuzzy = villages.ask("10 Mill Lane, Ostfrod");
    REQUIRE_FALSE(fuzzy.empty());
    CHECK(fuzzy[0].shown == "10 Mill Lane, Ostford");
    CHECK(fuzzy[0].edits == 1);
    CHECK_FALSE(fuzzy[0].exact());
    const auto foreign = villages.ask("10 Mill Lane, Ostford, Neverland");
    REQUIRE_FALSE(foreign.empty());
    CHECK(foreign[0].unmatched == "neverland");
    CHECK(villages.ask("Zzyzx Qwrtp").empty());
    CHECK(villages.ask("Ostford")[0].found == Found::Settlement);
    CHECK(villages.ask("'; DROP TABLE house; --").empty());
}

TEST_CASE("PlaceFile, FillsInNumbersAndSaysSo")
{
    const Villages villages;
    const auto between = villages.ask("12 Mill Lane Ostford").at(0);
    CHECK(between.found == Found::FilledIn);
    CHECK(between.remark == "between 10 and 14");
    CHECK(between.at.lon.value() == Approx(-77.002));
    // half of the way between the neighbours, and the plot
    const double half = place::geodesic_distance(at(-77.001, 41.2), at(-77.002, 41.2)).value();
    CHECK(between.uncertainty.value() == Approx(half + 15).margin(0.5));
    const auto run = villages.ask("4 Run Street").at(0);
    CHECK(run.found == Found::FilledIn);
    CHECK(run.at.lon.value() == Approx(-77.0105));
    const auto missing = villages.ask("98 Mill Lane Ostford").at(0);
    CHECK(missing.number_missing);
    CHECK(missing.found == Found::Street);
    CHECK_FALSE(missing.exact());
    const auto street = villages.ask("Long Road").at(0);
    CHECK(street.shown == "Long Road, Ostford");
    CHECK(street.uncertainty.value() > 600);
}

TEST_CASE("PlaceFile, CompletesWhatIsBeingTyped")
{
    const Villages villages;
    const auto answers = villages.file->find({"mill la", at(-77, 41.2), true});
    REQUIRE_FALSE(answers.empty());
    CHECK(answers[0].shown == "Mill Lane, Ostford");
    // Without typing, three letters are no misspelling of four.
    CHECK(villages.ask("10 Mill Lan").at(0).unmatched == "lan");
}

TEST_CASE("PlaceFile, RefusesWhatIsNoFileOfPlaces")
{
    const test::ScratchFolder folder;
    CHECK_THROWS_AS(PlaceFile{folder.file("none")}, Failure);
    CHECK_THROWS_AS(PlaceFile{folder.write("text", "not a database, not at all")}, Failure);
    CHECK_THROWS_AS(PlaceFile{folder.write("empty", "")}, Failure);
    CHECK_THROWS_AS(save_places(folder.file("no/such/folder"), {}, "", ""), Failure);
}
