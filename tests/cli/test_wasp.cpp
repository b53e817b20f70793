// nestround wasp, and taxa with a folder of one's own, as typed.
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;

namespace {

const std::string kHeader =
    "subject,parameter,low,typical,high,words,unit,latitude,condition,source,mark\n";

/// A made-up species that is forecast heavy, in a folder of its own.
void write_made_up(const Folder& folder)
{
    folder.write("sources.csv", "key,citation\nCREW,our own records\n");
    folder.write("glass.csv", kHeader +
                                  "XGLA,name,,,,Vespula glaucoptera,,,,CREW,assumption\n"
                                  "XGLA,english,,,,glass yellowjacket,,,,CREW,assumption\n"
                                  "XGLA,genus,,,,Vespula,,,,CREW,assumption\n"
                                  "XGLA,group,,,,Vespula,,,,CREW,assumption\n"
                                  "XGLA,region,,,,na_east,,,,CREW,assumption\n"
                                  "XGLA,site.aerial,,1.0,,,share,,,CREW,assumption\n"
                                  "XGLA,workers.peak,50000,60000,70000,,wasps,,,CREW,assumption\n");
}

}  // namespace

TEST_CASE("WaspCommand, WithoutOptionsListsTheTraits")
{
    const auto all = run_program({"wasp"});
    CHECK(all.code == 0);
    CHECK_THAT(all.out, Contains("--clypeus") && Contains("three small black dots"));
    const auto json = run_program({"wasp", "--json"});
    CHECK_THAT(json.out, Contains("\"trait\": \"clypeus\""));
}

TEST_CASE("WaspCommand, NamesFromTraitsPlaceAndDay")
{
    const auto name = run_program({"wasp", "--at", "41.2,-77.1", "--on", "2026-08-04", "--site",
                                   "aerial", "--colour", "white_black", "--body-length", "17mm"});
    CHECK(name.code == 0);
    CHECK_THAT(name.out, Contains("Probably Dolichovespula maculata"));
    const auto south = run_program({"wasp", "--at", "-40.4,175.6", "--on", "2026-04-15", "--site",
                                    "ground", "--paper", "gray", "--json"});
    CHECK(south.code == 0);
    CHECK_THAT(south.out, Contains("\"VGER\"") && !Contains("\"VMAC\""));
}

TEST_CASE("WaspCommand, SaysWhatIsWrong")
{
    const auto blue = run_program({"wasp", "--at", "41.2,-77.1", "--paper", "blue"});
    CHECK(blue.code == 10);
    CHECK_THAT(blue.err, Contains("trait paper") && Contains("gray, tan, brown, unknown"));
    CHECK(run_program({"wasp", "--paper", "gray"}).code == 2);
    CHECK(run_program({"wasp", "--call", "abcdef"}).code == 2);
    CHECK(run_program({"wasp", "--at", "41.2,-77.1", "--trait", "paper"}).code == 2);
    CHECK(run_program({"wasp", "--at", "41.2,-77.1", "--trait", "papper=gray"}).code == 10);
    CHECK(run_program({"wasp", "--at", "everywhere"}).code == 10);
}

TEST_CASE("WaspCommand, NamesAWaitingNestFromTheBook")
{
    const Folder folder;
    const auto book = folder / "a.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    REQUIRE(run_program({"call", "add", book, "--at", "41.2,-77.1", "--label", "mill gable",
                         "--kind", "aerial", "--height", "15ft", "--width", "35cm", "--received",
                         "2026-08-01", "--client-name", "Ann Other"})
                .code == 0);
    const auto list = run_program({"call", "list", book, "--on", "2026-08-04"});
    const auto key = list.out.substr(0, list.out.find(' '));
    const auto before = bytes_of(book);
    const auto name = run_program({"wasp", "--call", key, "--book", book, "--on", "2026-08-04"});
    CHECK(name.code == 0);
    CHECK_THAT(name.out, Contains("mill gable") && Contains("site aerial") &&
                             Contains("height middle") && Contains("nest_width large"));
    CHECK_THAT(name.out, !Contains("Ann Other"));
    CHECK(bytes_of(book) == before);
    const auto wrong = run_program({"wasp", "--call", "zzzzzz", "--book", book});
    CHECK(wrong.code == 11);
}

TEST_CASE("TaxaCommand, AFolderOfOnesOwnReachesEveryJob")
{
    const Folder folder;
    write_made_up(folder);
    const auto own = folder / "";
    CHECK_THAT(run_program({"taxa", "list", "--taxa", own}).out, Contains("glass yellowjacket"));
    CHECK_THAT(run_program({"taxa", "show", "XGLA", "--taxa", own}).out,
               Contains("50000 / 60000 / 70000 wasps") && Contains("our own records"));
    CHECK(run_program({"taxa", "show", "XGLA"}).code == 11);
    CHECK_THAT(run_program({"wasp", "--at", "41.2,-77.1", "--on", "2026-08-10", "--site", "aerial",
                            "--taxa", own})
                   .out,
               Contains("XGLA"));

    const Folder other;
    const auto book = other / "a.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    const std::vector<std::string> call{"call",       "add",    book,        "--at", "41.2,-77.1",
                                        "--label",    "mill",   "--species", "XGLA", "--received",
                                        "2026-08-01", "--kind", "aerial"};
    CHECK(run_program(call).code == 10);  // nobody knows it without the folder
    REQUIRE(run_program({"settings", "set", book, "taxa.folder", own}).code == 0);
    CHECK(run_program(call).code == 0);
    const auto rank = run_program({"rank", book, "--on", "2026-09-05", "--without-weather"});
    CHECK(rank.code == 0);
    CHECK_THAT(rank.out, Contains("Vespula glaucoptera"));

    // What was set may break later: then every job says so.
    folder.write("glass.csv", kHeader + "XGLA,name,,,,Vespula glaucoptera,,,,CREW,sure\n");
    const auto broken = run_program({"rank", book, "--on", "2026-09-05", "--without-weather"});
    CHECK(broken.code == 10);
    CHECK_THAT(broken.err, Contains("glass.csv:2, column mark") && Contains("'sure'"));
}
