// The demo's past season: what learning makes of a truth that it was not told.
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "demo-region/osm_file.hpp"
#include "demo-region/tables.hpp"
#include "geocore/intake/catches.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;

namespace {

const std::string& folder_of_demo()
{
    static const Folder folder;
    static const std::string path = [] {
        const std::string at = folder / "";
        demo::write_tables(*demo::build_county(20260804), at);
        return at;
    }();
    return path;
}

intake::CatchBatch catches()
{
    return intake::read_catches(folder_of_demo() + "/past_catches.csv", [](std::string_view name) {
        return std::optional{std::string{name}};
    });
}

/// A book with crews and the past season, as demo-region/run fills it.
std::string filled_book()
{
    const std::string& at = folder_of_demo();
    static const std::string path = [&] {
        const std::string book = at + "/past.gpkg";
        for (const auto& words :
             {std::vector<std::string>{"book", "create", book},
              {"settings", "import", book, at + "/settings.toml"},
              {"crew", "import", book, at + "/crews.csv", "--gear", at + "/gear.csv"},
              {"call", "import", book, at + "/past_calls.csv"},
              {"catch", "import", book, at + "/past_catches.csv"},
              {"call", "import", book, at + "/calls.csv"}}) {
            const auto ran = run_program(words);
            CAPTURE(words[0], ran.err);
            REQUIRE(ran.code == 0);
        }
        return book;
    }();
    return path;
}

double number_after(const std::string& text, const std::string& word)
{
    const auto at = text.find(word);
    REQUIRE(at != std::string::npos);
    return std::stod(text.substr(at + word.size()));
}

}  // namespace

TEST_CASE("Demo past season, IsOneVisitACallAndAllOf2025")
{
    const auto batch = catches();
    CHECK(batch.refused.empty());
    REQUIRE(batch.rows.size() == 120);
    std::set<std::string> calls;
    for (const auto& row : batch.rows) {
        calls.insert(row.call);
        CHECK(format_day(std::chrono::floor<std::chrono::days>(row.visit.begun)).substr(0, 4) ==
              "2025");
        CHECK(row.taken.mass.has_value());
    }
    CHECK(calls.size() == 120);
}

TEST_CASE("Demo past season, LeavesTheWaitingCallsOf2026AsTheyAre")
{
    const auto list = run_program({"rank", filled_book(), "--on", "2026-08-04", "--brief",
                                   "--without-weather", "--limit", "1"});
    CHECK(list.code == 0);
    CHECK_THAT(list.out, Contains("1 of 67"));
    const auto check = run_program({"book", "check", filled_book()});
    CHECK(check.code == 0);
}

TEST_CASE("Demo past season, TeachesWhatTheGeneratorDrew")
{
    const auto show = run_program({"yield", "show", filled_book(), "--on", "2026-08-04"});
    REQUIRE(show.code == 0);
    // The generator's River crew catches more, its eastern yellowjackets are many, its German few.
    const double river = number_after(show.out, "VMAC     hand              River crew  ");
    const double hill = number_after(show.out, "VMAC     hand              Hill crew   ");
    CHECK(river > hill + 5);
    const auto level = [&](const std::string& taxon) {
        const auto row = show.out.substr(show.out.find("\n" + taxon + " ") + 6);
        return std::stod(
            row.substr(row.find_first_not_of(' ', row.find_first_of("0123456789") + 2)));
    };
    CHECK(level("VMAC") > 1.2);
    CHECK(level("VGER") < level("VMAC") / 1.4);
}

TEST_CASE("Demo past season, IsForecastBetterThanByTheMeanOfTheSpecies")
{
    const auto test =
        run_program({"yield", "backtest", filled_book(), "--on", "2026-08-04", "--json"});
    REQUIRE(test.code == 0);
    const double all = number_after(test.out, "\"catches\":");
    CHECK(all > 100);
    CHECK(number_after(test.out, "\"inside\":") / all > 0.7);
    CHECK(number_after(test.out, "\"median_error_where_naive\":") <
          number_after(test.out, "\"naive_median_error\":"));
}

TEST_CASE("Demo past season, SeasonForecastsWithOwnCatchesAsHoldDoes")
{
    const Folder folder;
    const auto county = demo::build_county(20260804);
    demo::write_osm(*county, folder / "a.osm.pbf");
    const auto roads = folder / "a.roads";
    REQUIRE(run_program({"roads", "build", folder / "a.osm.pbf", "--to", roads, "--attribution",
                         "invented"})
                .code == 0);
    const auto season =
        run_program({"season", filled_book(), "--from", "2026-08-04", "--to", "2026-08-05",
                     "--roads", roads, "--iterations", "200", "--json", "-"});
    const auto hold =
        run_program({"hold", filled_book(), "--on", "2026-08-04", "--days", "2", "--json", "-"});
    REQUIRE(season.code == 0);
    REQUIRE(hold.code == 0);
    const auto held = nlohmann::json::parse(hold.out);
    const auto planned = nlohmann::json::parse(season.out);
    std::map<std::string, double> worth;  // by call and day
    for (const auto& call : held.at("calls")) {
        for (const auto& day : call.at("days")) {
            worth[call.at("call_id").get<std::string>() + day.at("day").get<std::string>()] =
                day.at("worth").get<double>();
        }
    }
    int compared = 0;
    for (const auto& call : planned.at("calls")) {
        if (call.at("day").is_string() && !call.at("call_id").get<std::string>().empty()) {
            const auto key =
                call.at("call_id").get<std::string>() + call.at("day").get<std::string>();
            CAPTURE(key);
            CHECK(call.at("worth").get<double>() == Approx(worth.at(key)));
            ++compared;
        }
    }
    CHECK(compared > 15);

    // A rehearsal lives through the calls of 2026 alone: 67 wait on the first day, and 120 of 2025
    // would be more than all that are taken or lost.
    const auto rehearsed =
        run_program({"season", filled_book(), "--from", "2026-08-04", "--to", "2026-11-20",
                     "--roads", roads, "--rehearse", "--iterations", "1"});
    REQUIRE(rehearsed.code == 0);
    const auto row = rehearsed.out.substr(rehearsed.out.find("first come, first served"));
    std::istringstream figures{row.substr(24)};
    double points = 0, grams = 0, ordered = 0, taken = 0, lost = 0;
    figures >> points >> grams >> ordered >> taken >> lost;
    CHECK(taken > 30);
    CHECK(taken + lost <= 150);
}
