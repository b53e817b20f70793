// Addresses as a stranger types them: places build, where, call add --at and call import.
#include <chrono>
#include <filesystem>
#include <future>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

bool holds(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

std::string tagged(int id, double lat, double lon, const std::string& tags)
{
    return "<node id='" + std::to_string(id) + "' version='1' lat='" + std::to_string(lat) +
           "' lon='" + std::to_string(lon) + "'>" + tags + "</node>\n";
}

std::string tag(const std::string& key, const std::string& value)
{
    return "<tag k='" + key + "' v='" + value + "'/>";
}

/// The small town, with two villages and some numbers.
std::string town_with_houses()
{
    std::string osm = small_town_osm();
    std::string nodes;
    const auto house = [&](int id, double lat, double lon, const char* number, const char* street,
                           const char* city) {
        nodes += tagged(
            id, lat, lon,
            tag("addr:housenumber", number) + tag("addr:street", street) + tag("addr:city", city));
    };
    nodes += tagged(900, 41.21, -76.99, tag("place", "village") + tag("name", "Ostford"));
    nodes += tagged(901, 41.23, -76.97, tag("place", "village") + tag("name", "Westford"));
    house(910, 41.2101, -76.9901, "10", "Mill Lane", "Ostford");
    house(911, 41.2101, -76.9881, "14", "Mill Lane", "Ostford");
    house(912, 41.2301, -76.9701, "10", "Mill Lane", "Westford");
    house(913, 41.60, -76.40, "1", "Far Street", "Ostford");
    return osm.insert(osm.find("<node"), nodes);
}

struct Desk {
    Desk()
    {
        const auto osm = folder.write("town.osm", town_with_houses());
        REQUIRE(run_program({"book", "create", book}).code == 0);
        REQUIRE(run_program({"roads", "build", osm, "--to", roads}).code == 0);
        const auto built = run_program({"places", "build", osm, "--to", places});
        REQUIRE(built.code == 0);
        CHECK(holds(built.out, "2 settlements, 3 streets, 4 house numbers"));
        REQUIRE(run_program({"settings", "set", book, "places.file", places}).code == 0);
        REQUIRE(run_program({"settings", "set", book, "roads.file", roads}).code == 0);
    }
    [[nodiscard]] Outcome add(const std::string& at) const
    {
        return run_program({"call", "add", book, "--at", at, "--label", "a place"});
    }

    Folder folder;
    std::string book = folder / "desk.gpkg";
    std::string roads = folder / "town.roads";
    std::string places = folder / "town.places";
};

}  // namespace

TEST_CASE("Where, FindsWhatIsTyped")
{
    const Desk desk;
    const auto where = [&](const std::string& text) {
        return run_program({"where", text, "--places", desk.places});
    };
    CHECK(holds(where("10 Mill Lane, Ostford").out, "41.210100, -76.990100"));
    CHECK(holds(where("12 Mill Lane, Ostford").out, "between houses, within"));
    CHECK(holds(where("Mil Lane 10 Ostfrd").out, "not quite as written"));
    CHECK(holds(where("41.2, -77.1").out, "if not, -77.10000, 41.20000"));
    CHECK(holds(where("87H56226+22").out, "plus code"));
    CHECK(holds(where("6226+22 Ostford").out, "87H56226+22"));
    CHECK(where("Nowhere Alley").code == static_cast<int>(ErrorCode::NotFound));
    CHECK(run_program({"where", "10 Mill Lane"}).code == static_cast<int>(ErrorCode::InvalidInput));
    CHECK(run_program({"where", "x", "--places", desk.roads}).code ==
          static_cast<int>(ErrorCode::InvalidInput));
    const auto json = run_program(
        {"where", "10 Mill Lane", "--places", desk.places, "--json", "--near", "41.23,-76.97"});
    CHECK(holds(json.out, "\"found_as\": \"house\""));
    CHECK(json.out.find("Westford") < json.out.find("Ostford"));
}

TEST_CASE("CallAdd, TakesAnAddressAndSaysHowItWasFound")
{
    const Desk desk;
    const auto added = desk.add("10 Mill Lane, Ostford");
    CHECK(added.code == 0);
    CHECK(holds(added.out, "place found as house from '10 Mill Lane, Ostford', within 15 m"));
    const auto before = bytes_of(desk.book);
    const auto refused = [&](const std::string& at, const std::string& words) {
        const auto outcome = desk.add(at);
        CAPTURE(at, outcome.out, outcome.err);
        CHECK(outcome.code == static_cast<int>(ErrorCode::InvalidInput));
        CHECK(holds(outcome.err, words));
        CHECK(bytes_of(desk.book) == before);
    };
    refused("10 Mill Lane", "may be 2 places: ");
    refused("10 Mil Lane, Ostford", "nearest: 10 Mill Lane, Ostford");
    refused("99 Mill Lane, Ostford", "not found as written");
    refused("Ostford", "only as a settlement");
    refused("1 Far Street, Ostford", "in the water");
    refused("-76.99, 41.21", "in the water");
}

TEST_CASE("CallImport, FindsRowsThatHaveAnAddressAlone")
{
    const Desk desk;
    const auto file = desk.folder.write("calls.csv",
                                        "received,place,address\n"
                                        "2026-08-01,barn,\"10 Mill Lane, Westford\"\n"
                                        "2026-08-02,shed,10 Mill Lane\n"
                                        "2026-08-03,porch,\"12 Mill Lane, Ostford\"\n");
    const auto outcome = run_program({"call", "import", desk.book, file});
    CAPTURE(outcome.out, outcome.err);
    CHECK(outcome.code == 0);
    CHECK(holds(outcome.out, "2 calls added, 0 already in the book, 1 refused"));
    CHECK(holds(outcome.err, "may be 2 places"));
    CHECK(holds(outcome.err, "between 10 and 14"));
}

TEST_CASE("CallImport, HoldsNoBookWhileTheFileIsRead")
{
    const Desk desk;
    // Misspelt addresses take long enough to be looked up that the program is met at it.
    std::string rows = "received,place,address\n";
    for (int i = 0; i < 1500; ++i) {
        rows += "2026-08-01,barn " + std::to_string(i) + ",\"" + std::to_string(i) +
                " Nill Lame, Ostfrod\"\n";
    }
    const auto file = desk.folder.write("calls.csv", rows);
    auto running = std::async(std::launch::async, [&] {
        return run_program({"call", "import", desk.book, file});
    });
    namespace fs = std::filesystem;
    const auto book = fs::canonical(desk.book);
    const auto places = fs::canonical(desk.places);
    int looking_up = 0;
    int without_book = 0;
    while (running.wait_for(std::chrono::milliseconds{2}) != std::future_status::ready) {
        std::error_code ignored;
        for (const auto& process : fs::directory_iterator{"/proc", ignored}) {
            bool has_places = false;
            bool has_book = false;
            std::error_code gone;
            for (fs::directory_iterator i{process.path() / "fd", gone}, end; !gone && i != end;
                 i.increment(gone)) {
                std::error_code unread;
                const auto target = fs::read_symlink(i->path(), unread);
                has_places = has_places || target == places;
                has_book = has_book || target == book;
            }
            looking_up += has_places ? 1 : 0;
            without_book += has_places && !has_book ? 1 : 0;
        }
    }
    const auto outcome = running.get();
    CAPTURE(outcome.out, outcome.err.substr(0, 300), looking_up);
    CHECK(looking_up > 0);
    CHECK(without_book > 0);
}

TEST_CASE("Where, UsesTheSettingOfABook")
{
    const Desk desk;
    const auto by_book = run_program({"where", "10 Mill Lane", desk.book});
    CAPTURE(by_book.out, by_book.err);
    CHECK(by_book.code == 0);
    CHECK(by_book.out == run_program({"where", "10 Mill Lane", "--places", desk.places}).out);
    const auto no_file = run_program({"where", "10 Mill Lane", "--places", desk.places + ".none"});
    CHECK(no_file.code == static_cast<int>(ErrorCode::NotFound));
    CHECK(no_file.err.find("places build") != std::string::npos);
    const auto empty = run_program({"where", "", "--places", desk.places});
    CHECK(empty.code != 0);
    CHECK(empty.err.find('\n') + 1 == empty.err.size());
    const auto no_book = run_program({"where", "10 Mill Lane", desk.book + ".none"});
    CHECK(no_book.code == static_cast<int>(ErrorCode::NotFound));
}
