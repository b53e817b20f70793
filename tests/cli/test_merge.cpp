// nestround book merge, conflicts and decide as typed.
#include <nlohmann/json.hpp>

#include <filesystem>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;

namespace {

std::string calls(const char* note, const char* more = "")
{
    return std::string{
               "key,received,lon,lat,species,nest_kind,height_m,client_name,note\n"
               "T-1,2026-07-20,-77.0,41.1,Vespula maculifrons,ground,0,Ada Example,"} +
           note + "\n" + more;
}

/// Two crews who read the same list of calls, each into a book of its own.
struct TwoCrews {
    Folder folder;
    std::string north = folder / "north.gpkg";
    std::string south = folder / "south.gpkg";

    TwoCrews()
    {
        read_in(north, "gate code 12", "T-2,2026-07-21,-77.1,41.2,,,2,Bo Example,\n");
        read_in(south, "ring twice", "T-3,2026-07-22,-77.2,41.3,,,3,Cy Example,\n");
    }
    void read_in(const std::string& book, const char* note, const char* more) const
    {
        REQUIRE(run_program({"book", "create", book}).code == 0);
        const auto said =
            run_program({"call", "import", book, folder.write("calls.csv", calls(note, more))});
        INFO(said.err);
        REQUIRE(said.code == 0);
    }
};

}  // namespace

TEST_CASE("MergeCommand, TwoBooksFromOneListBecomeOneAndTheSecondTimeNothingChanges")
{
    const TwoCrews crews;
    const auto before = bytes_of(crews.south);
    const auto looked = run_program({"book", "merge", crews.north, crews.south, "--look"});
    CHECK_THAT(looked.out, Contains("nothing was written"));
    const auto said = run_program({"book", "merge", crews.north, crews.south});
    INFO(said.out << said.err);
    REQUIRE(said.code == 0);
    CHECK_THAT(said.out, Contains("call: 1 new"));
    CHECK_THAT(said.out, Contains("gate code 12"));
    CHECK_THAT(said.out, Contains("ring twice"));
    CHECK(bytes_of(crews.south) == before);
    CHECK_THAT(run_program({"call", "list", crews.north, "--on", "2026-08-01"}).out, Contains("3"));
    CHECK(run_program({"book", "check", crews.north}).code == 0);

    const auto merged = bytes_of(crews.north);
    CHECK_THAT(run_program({"book", "merge", crews.north, crews.south}).out,
               Contains("nothing was changed"));
    CHECK(bytes_of(crews.north) == merged);
}

TEST_CASE("MergeCommand, AConflictIsListedAndDecidedByHand")
{
    const TwoCrews crews;
    const auto merged = run_program({"book", "merge", crews.north, crews.south, "--json"});
    const auto report = nlohmann::json::parse(merged.out);
    REQUIRE(report["conflicts"].size() == 1);
    const auto& conflict = report["conflicts"][0];
    CHECK(conflict["field"] == "note");
    const std::string other = conflict["stands"] == "first" ? "second" : "first";
    const std::string key = conflict["key"];

    auto listed = run_program({"book", "conflicts", crews.north});
    CHECK_THAT(listed.out, Contains(key.substr(30)));
    CHECK_THAT(listed.out, Contains("1 conflict that nobody has decided"));
    const auto decided = run_program(
        {"book", "decide", crews.north, key.substr(30), "--take", other, "--by", "ada"});
    INFO(decided.err);
    CHECK(decided.code == 0);
    CHECK_THAT(decided.out, Contains("decided by hand"));
    listed = run_program({"book", "conflicts", crews.north});
    CHECK_THAT(listed.out, Contains("0 conflicts"));
    // The other crew hears of it, and finds nothing more to decide.
    const auto there = run_program({"book", "merge", crews.south, crews.north, "--json"});
    REQUIRE(there.code == 0);
    CHECK(nlohmann::json::parse(there.out)["conflicts"].empty());
    const auto back = run_program({"book", "merge", crews.north, crews.south, "--json"});
    CHECK(nlohmann::json::parse(back.out)["conflicts"].empty());
    CHECK_FALSE(nlohmann::json::parse(back.out)["tables"].contains("call"));
}

TEST_CASE("MergeCommand, SaysWhatIsWrongAndTheWayOut")
{
    const TwoCrews crews;
    const auto before = bytes_of(crews.north);
    const auto refused = [&](const std::vector<std::string>& words, int code) {
        const auto said = run_program(words);
        INFO(said.err);
        CHECK(said.code == code);
        return said.err;
    };
    CHECK_THAT(refused({"book", "merge", crews.north, crews.north}, 10), Contains("itself"));
    CHECK_THAT(refused({"book", "merge", crews.north, crews.folder / "none.gpkg"}, 11),
               Contains("none.gpkg"));
    const auto text = crews.folder.write("text.gpkg", std::string(3000, 'x'));
    CHECK_THAT(refused({"book", "merge", crews.north, text}, 10), Contains("text.gpkg"));
    refused({"book", "merge", crews.north, crews.south, "--rule", "mine"}, 2);
    refused({"book", "decide", crews.north, "abcdef", "--take", "first"}, 11);
    CHECK(bytes_of(crews.north) == before);
}
