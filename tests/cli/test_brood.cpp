// nestround habitat, comb, collection and brood, as typed.
#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;
using nlohmann::json;

namespace {

constexpr const char* kCalls =
    "key,received,lon,lat,place,species,nest_kind\n"
    "K1,2025-08-10,-77.1,41.2,mill,Vespula maculifrons,void\n"
    "K2,2025-08-12,-77.1,41.2,barn,,aerial\n";

Outcome program(std::vector<std::string> words) { return run_program(words); }

/// A book with two calls and a warm box for two combs.
std::string book_with_box(const Folder& folder)
{
    const auto book = folder / "a.gpkg";
    REQUIRE(program({"book", "create", book}).code == 0);
    REQUIRE(program({"call", "import", book, folder.write("calls.csv", kCalls)}).code == 0);
    REQUIRE(program({"habitat", "add", book, "--name", "box", "--combs", "2", "--set-point", "30C"})
                .code == 0);
    return book;
}

/// The key of the first comb.
std::string comb_of(const std::string& book)
{
    return program({"comb", "list", book}).out.substr(0, 6);
}

json plan_of(const std::string& book, const std::string& on, std::vector<std::string> more = {})
{
    std::vector<std::string> words{"brood", "plan", book, "--on", on, "--json", "-"};
    words.insert(words.end(), more.begin(), more.end());
    const auto said = program(words);
    INFO(said.err);
    REQUIRE(said.code == 0);
    return json::parse(said.out);
}

}  // namespace

TEST_CASE("BroodCommand, LeadsOneCombFromTheDriveHomeToTheCleanedBox")
{
    const Folder folder;
    const auto book = book_with_box(folder);
    const auto added =
        program({"comb", "add", book, "--call", "K1", "--habitat", "box", "--on", "2025-08-20",
                 "--sealed", "800", "--sealed-large", "30", "--larvae", "300"});
    CHECK(added.code == 0);
    CHECK_THAT(added.out, Contains("the visit was recorded too") && Contains("room for 1 more"));
    const auto key = comb_of(book);
    auto plan = plan_of(book, "2025-08-23");
    const double before = plan["habitats"][0]["workers_left"]["p50"];
    CHECK(before > 400);
    CHECK(before < 800);
    CHECK_FALSE(plan["rounds"].empty());
    CHECK(plan["rounds"].back()["last"] == true);
    CHECK(plan["room"]["combs_standing"] == 1);

    CHECK_THAT(program({"collection", "add", book, "--comb", key, "--on", "2025-08-22", "--workers",
                        "60", "--reproductives", "1", "--grams", "4"})
                   .out,
               Contains("60 workers"));
    plan = plan_of(book, "2025-08-23");
    const double after = plan["habitats"][0]["combs"][0]["workers"]["p50"];
    CHECK(after < before);  // fewer came than were expected
    CHECK(plan["habitats"][0]["combs"][0]["collections"].size() == 1);
    // On a day before the collection it is not known.
    CHECK(plan_of(book, "2025-08-21")["habitats"][0]["combs"][0]["collections"].empty());

    const auto picture = folder / "b.png";
    CHECK(program({"brood", "plan", book, "--on", "2025-08-23", "--picture", picture}).code == 0);
    CHECK(bytes_of(picture).substr(1, 3) == "PNG");
    const auto calendar = folder / "b.ics";
    CHECK(program({"brood", "plan", book, "--on", "2025-08-23", "--calendar", calendar}).code == 0);
    CHECK_THAT(bytes_of(calendar), Contains("BEGIN:VEVENT") && Contains("end and clean"));
    CHECK(program({"comb", "end", book, key, "--on", "2025-09-12"}).code == 0);
    CHECK(plan_of(book, "2025-09-13")["room"]["combs_standing"] == 0);
    CHECK(program({"comb", "end", book, key, "--on", "2025-09-13"}).code == 10);
    CHECK(
        program({"collection", "add", book, "--comb", key, "--on", "2025-09-14", "--workers", "1"})
            .code == 10);
    CHECK(program({"book", "check", book}).code == 0);
}

TEST_CASE("BroodCommand, CountsCellsOfSizesAndPhotographs")
{
    const Folder folder;
    const auto photo = folder.write("a.pgm", "P5\n4 4\n255\nabcdefghijklmnop");
    // 2 pixels are 10 cm: the square of 2 by 2 pixels is 100 cm2.
    const auto said = program({"comb", "count", "--photo", photo, "--scale", "1,1", "3,1", "10cm",
                               "--outline", "1,1 3,1 3,3 1,3", "--cell", "4.8mm"});
    CHECK_THAT(said.out, Contains("100.0 cm2") && Contains("501 cells"));
    const auto crossed = program({"comb", "count", "--photo", photo, "--scale", "1,1", "3,1",
                                  "10cm", "--outline", "1,1 3,3 3,1 1,3"});
    CHECK(crossed.code == 10);
    CHECK_THAT(crossed.err, Contains("crosses itself"));
    const auto no_scale = program({"comb", "count", "--photo", photo, "--scale", "1,1", "1,1",
                                   "10cm", "--outline", "1,1 3,1 3,3"});
    CHECK(no_scale.code == 10);
    CHECK_THAT(program({"comb", "count", "--diameter", "20cm", "--cell", "4.8mm"}).out,
               Contains("314.2 cm2"));
    CHECK(program({"comb", "count"}).code == 2);
    CHECK(program({"comb", "count", "--diameter", "18"}).code == 2);
    CHECK(program({"comb", "count", "--outline", "1,1 3,1 3,3"}).code == 2);
}

TEST_CASE("BroodCommand, TakesCombThatNobodyCounted")
{
    const Folder folder;
    const auto book = book_with_box(folder);
    const auto said = program({"comb", "add", book, "--call", "K2", "--habitat", "box", "--on",
                               "2025-08-20", "--diameter", "18cm", "--species", "DMAC"});
    CHECK(said.code == 0);
    CHECK_THAT(said.out, Contains("give or take"));
    CHECK_THAT(said.err, Contains("count them to halve the doubt"));
    CHECK_THAT(program({"call", "list", book, "--all"}).out + program({"comb", "list", book}).out,
               Contains("area"));
    CHECK(program({"comb", "add", book, "--call", "K2", "--habitat", "box", "--sealed", "3",
                   "--species", "VGER"})
              .code == 10);
}

TEST_CASE("BroodCommand, ALoggersTableWarmsOrCoolsTheForecast")
{
    const Folder folder;
    const auto book = book_with_box(folder);
    REQUIRE(program({"comb", "add", book, "--call", "K1", "--habitat", "box", "--on", "2025-08-20",
                     "--at", "00:00", "--sealed", "800"})
                .code == 0);
    const double warm = plan_of(book, "2025-08-24")["habitats"][0]["workers_left"]["p50"];
    std::string log = "Logger 7\nDate/Time;Temperature (C)\n";
    for (int day = 20; day < 24; ++day) {
        for (int hour = 0; hour < 24; hour += 2) {
            if (day == 22 && hour > 4 && hour < 14) {
                continue;
            }
            log += std::to_string(day) + ".08.2025 " + (hour < 10 ? "0" : "") +
                   std::to_string(hour) + ":00;20,5\n";
        }
    }
    const auto file = folder.write("log.csv", log);
    const auto said = program({"habitat", "import-log", book, file, "--habitat", "box"});
    CHECK(said.code == 0);
    CHECK_THAT(said.out, Contains("44 readings added") && Contains("gap: 2025-08-22T04:00"));
    CHECK_THAT(program({"habitat", "import-log", book, file, "--habitat", "box"}).out,
               Contains("0 readings added"));
    const auto plan = plan_of(book, "2025-08-24");
    CHECK(plan["habitats"][0]["combs"][0]["workers"]["p50"] > 0.9 * 640 * 0.9);
    // Half as fast for four days: less waits now.
    CHECK(plan["habitats"][0]["waiting"] < 150);
    CHECK(warm > 0);
}

TEST_CASE("BroodCommand, RefusesWithAWayOutAndLeavesTheBookAsItWas")
{
    const Folder folder;
    const auto book = book_with_box(folder);
    const auto bytes = bytes_of(book);
    const auto fails = [&](std::vector<std::string> words, int code, const char* part) {
        const auto said = program(words);
        CHECK(said.code == code);
        CHECK_THAT(said.err, Contains(part));
    };
    fails({"comb", "add", book, "--call", "K1", "--habitat", "bax", "--sealed", "3"}, 11,
          "there are: box");
    fails({"comb", "add", book, "--call", "K9", "--habitat", "box", "--sealed", "3"}, 11, "K9");
    fails({"comb", "add", book, "--call", "K1", "--habitat", "box"}, 2, "--sealed");
    fails({"comb", "add", book, "--call", "K1", "--habitat", "box", "--sealed", "3", "--sealed-age",
           "9", "2"},
          13, "age");
    fails({"comb", "end", book, "abcdef"}, 11, "comb list");
    fails({"collection", "add", book, "--habitat", "box", "--workers", "3"}, 10, "no comb stands");
    fails({"collection", "add", book, "--workers", "3"}, 2, "--comb");
    fails({"habitat", "add", book, "--name", "box"}, 10, "already");
    fails({"habitat", "add", book, "--name", "b2", "--set-point", "99C"}, 13, "set point");
    fails({"habitat", "import-log", book, folder.write("x.csv", "a,b\n1,2\n"), "--habitat", "box"},
          10, "time,temperature_c");
    fails({"habitat", "import-log", book, folder / "none.csv", "--habitat", "box"}, 11, "none.csv");
    fails({"brood", "plan", book, "--days", "0"}, 2, "--days");
    fails({"brood", "plan", book, "--off", "funday"}, 2, "--off");
    fails({"brood", "plan", book, "--picture", "a.gif"}, 2, ".png");
    fails({"brood", "plan", folder / "none.gpkg"}, 11, "none.gpkg");
    CHECK(program({"brood", "plan", book, "--on", "2020-01-01"}).code == 0);
    CHECK(bytes_of(book) == bytes);
}

TEST_CASE("BroodCommand, OrdersCountOnWhatIsStillToEmerge")
{
    const Folder folder;
    const auto book = book_with_box(folder);
    REQUIRE(program({"order", "add", book, "--laboratory", "LAB-2", "--species", "VMAC", "--grams",
                     "200", "--placed", "2025-08-20"})
                .code == 0);
    const auto status = [&] {
        const auto said = program({"order", "status", book, "--on", "2025-08-23"});
        INFO(said.err);
        REQUIRE(said.code == 0);
        return said.out;
    };
    CHECK_THAT(status(), Contains("0 g (0 to 0) from brood"));
    REQUIRE(program({"comb", "add", book, "--call", "K1", "--habitat", "box", "--on", "2025-08-20",
                     "--sealed", "800"})
                .code == 0);
    CHECK_THAT(status(), Contains(" from brood") && !Contains("0 g (0 to 0)"));
}

// Common practice, without a source: most nests taken are incubated, so each nest's comb finds its
// place, and adults emerge on the way home already.
TEST_CASE("BroodCommand, MostNestsAreIncubatedAndSomeEmergeOnTheWay")
{
    const Folder folder;
    const auto book = book_with_box(folder);
    for (const auto* call : {"K1", "K2"}) {
        CHECK(program({"comb", "add", book, "--call", call, "--habitat", "box", "--on",
                       "2025-08-20", "--sealed", "2000"})
                  .code == 0);
    }
    const auto plan = plan_of(book, "2025-08-20");
    CHECK(plan["room"]["combs_standing"] == 2);
    const auto cargo = program(
        {"cargo", "--air", "28C", "--leave", "14:00", "--home", "15:30", "--sealed", "2000"});
    INFO(cargo.err);
    CHECK(cargo.code == 0);
    CHECK_THAT(cargo.out, Contains("emerge"));
}
