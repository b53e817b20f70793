// nestround stage, rank and yield as typed: keys, own catches, heat, and what bad input gets.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround::test;
using Catch::Contains;
using Json = nlohmann::json;

namespace {

constexpr const char* kCalls =
    "key,received,lon,lat,place,species,nest_kind,width_cm,length_cm\n"
    "K1,2025-07-20,-77.1,41.2,mill,Vespula germanica,void,,\n"
    "K2,2025-07-25,-77.1,41.2,barn,Vespula germanica,void,,\n"
    "K3,2025-07-25,-77.1,41.2,eaves,Dolichovespula maculata,aerial,140,60\n"
    "K4,2025-07-25,-77.1,41.2,shed,,void,,\n";

std::string book_with_calls(const Folder& folder)
{
    const auto book = folder / "a.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    const auto imported = run_program({"call", "import", book, folder.write("calls.csv", kCalls)});
    INFO(imported.out << imported.err);
    REQUIRE(imported.code == 0);
    return book;
}

/// One word out of the book, by the independent sqlite3.
std::string run_shell_words(const std::string& book, const std::string& query)
{
    auto said =
        nestround::testing::run_shell(fmt::format("sqlite3 -readonly '{}' \"{}\"", book, query));
    INFO(said.words);
    REQUIRE(said.code == 0);
    while (!said.words.empty() && said.words.back() == '\n') {
        said.words.pop_back();
    }
    return said.words;
}

Json stage(const std::string& book, const std::string& nest, const std::string& day,
           std::vector<std::string> more = {})
{
    std::vector<std::string> words{"stage", book, "--nest", nest, "--on", day, "--json"};
    words.insert(words.end(), more.begin(), more.end());
    const auto said = run_program(words);
    INFO(said.err);
    REQUIRE(said.code == 0);
    return Json::parse(said.out);
}

bool warns(const Json& report, const std::string& words)
{
    const auto& all = report.at("warnings");
    return std::any_of(all.begin(), all.end(), [&](const Json& one) {
        return one.get<std::string>().find(words) != std::string::npos;
    });
}

double width_of(const Json& report)
{
    const auto& workers = report.at("workers");
    return workers.at("high").get<double>() - workers.at("low").get<double>();
}

}  // namespace

TEST_CASE("StageCommand, TakesTheKeyOfANestOrOfItsCall")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto by_name = stage(book, "K1", "2025-08-10");
    const auto nest = run_shell_words(book, "SELECT nest_id FROM call WHERE source_key LIKE '%K1'");
    const auto call = run_shell_words(book, "SELECT id FROM call WHERE source_key LIKE '%K1'");
    REQUIRE(nest.size() == 36);
    CHECK(stage(book, nest, "2025-08-10") == by_name);
    CHECK(stage(book, nest.substr(28), "2025-08-10") == by_name);
    CHECK(stage(book, call, "2025-08-10") == by_name);
    const auto none = run_program({"stage", book, "--nest", "ffffffff", "--on", "2025-08-10"});
    CHECK(none.code != 0);
    CHECK_THAT(none.err, Contains("no call is named 'ffffffff'"));
}

TEST_CASE("StageCommand, RestsOnOwnCatches")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto before = stage(book, "K2", "2025-08-20");
    CHECK(before.at("rests_on").empty());
    REQUIRE(run_program({"catch", "import", book,
                         folder.write("catches.csv",
                                      "call,taken,method,species,mass_g,count\n"
                                      "K1,2025-08-01,hand,VGER,,9000\n")})
                .code == 0);
    const auto after = stage(book, "K2", "2025-08-20");
    CHECK_THAT(after.at("rests_on").dump(), Contains("1 own records"));
    CHECK(after.at("workers").at("middle") > before.at("workers").at("middle"));
    // Never from a catch of the day itself or later.
    CHECK(stage(book, "K2", "2025-08-01").at("rests_on").empty());
}

TEST_CASE("StageCommand, AWaspThatIsNotInTheTableIsRefusedAndAnUnnamedOneIsWide")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto odd = stage(book, "K4", "2025-08-20");
    CHECK_THAT(odd.at("taxon").dump(), Contains("one of "));
    CHECK(width_of(odd) > width_of(stage(book, "K3", "2025-08-20")));
    const auto refused =
        run_program({"call", "import", book,
                     folder.write("more.csv",
                                  "key,received,lon,lat,place,species,nest_kind\n"
                                  "K9,2025-07-25,-77.1,41.2,den,Vespa imaginaria,void\n")});
    CHECK_THAT(refused.out + refused.err, Contains("Vespa imaginaria"));
}

TEST_CASE("StageCommand, ANestWiderThanAnyPublishedIsUsedWithAWarning")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto wide = stage(book, "K3", "2025-08-20");
    CHECK(warns(wide, "140 cm across is wider than"));
    CHECK_THAT(wide.at("steps").dump(), Contains("outer size of"));
}

TEST_CASE("StageCommand, BeforeAnyColonyAndLongAfterItSaysSo")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto early = stage(book, "K3", "2025-01-20");
    CHECK(warns(early, "hardly any such colony has been founded"));
    CHECK(early.at("workers").at("high") == 0);
}

TEST_CASE("StageCommand, WhatContradictsWidensTheForecast")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto plain = stage(book, "K3", "2025-08-20");
    // 900 flights a minute speak of 29,000 workers: no Dolichovespula has them.
    const auto odd = stage(book, "K3", "2025-08-20", {"--traffic", "900"});
    CHECK(odd.at("widened") == true);
    CHECK(warns(odd, "traffic at the entrance: next to no such colony"));
    CHECK(warns(odd, "the forecast is widened"));
    CHECK(odd.at("workers").at("low") <= plain.at("workers").at("low"));
    CHECK(odd.at("workers").at("high") >= plain.at("workers").at("high"));
    CHECK(width_of(odd) > width_of(plain));
    // And one that fits narrows it.
    const auto fits = stage(book, "K3", "2025-08-20", {"--traffic", "9"});
    CHECK(fits.at("widened") == false);
    CHECK(width_of(fits) < width_of(plain));
}

TEST_CASE("StageCommand, WeatherThatEndedMonthsAgoIsSaidWhereItMatters")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    std::string text = "station,lon,lat,elevation_m,date,tmin_c,tmax_c\n";
    for (int day = 1; day <= 31; ++day) {
        text += std::string{"S1,-77.1,41.2,200,2025-03-"} + (day < 10 ? "0" : "") +
                std::to_string(day) + ",5,15\n";
    }
    REQUIRE(run_program({"weather", "import", book, folder.write("weather.csv", text)}).code == 0);
    CHECK_FALSE(warns(stage(book, "K1", "2025-08-20"), "the weather in the book ends"));
    REQUIRE(run_program({"settings", "set", book, "heat.spring_shift", "true"}).code == 0);
    const auto late = stage(book, "K1", "2025-08-20");
    CHECK(warns(late, "the weather in the book ends on 2025-03-31, 142 days before"));
    const auto rank = run_program({"rank", book, "--on", "2025-08-20"});
    CHECK(rank.code != 0);
    CHECK_THAT(rank.err, Contains("lies outside the weather in the book"));
}

TEST_CASE("StageCommand, AWarmSpringMovesTheSeasonOnlyWhenAsked")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    std::string text = "station,lon,lat,elevation_m,date,tmin_c,tmax_c\n";
    for (int day = 1; day <= 30; ++day) {
        text += fmt::format("S1,-77.1,41.2,200,2024-04-{0:02},5,15\n", day);
        text += fmt::format("S1,-77.1,41.2,200,2025-04-{0:02},9,19\n", day);
    }
    REQUIRE(run_program({"weather", "import", book, folder.write("weather.csv", text)}).code == 0);
    REQUIRE(run_program({"crew", "import", book,
                         folder.write("crews.csv",
                                      "crew,lon,lat,shift,people\n"
                                      "Mill crew,-77.1,41.2,07:00-16:00,2\n")})
                .code == 0);
    const auto calendar = stage(book, "K1", "2025-07-25");
    CHECK(calendar.at("rests_on").dump().find("spring") == std::string::npos);
    REQUIRE(run_program({"settings", "set", book, "heat.spring_shift", "true"}).code == 0);
    const auto moved = stage(book, "K1", "2025-07-25");
    CHECK_THAT(moved.at("rests_on").dump(), Contains("spring 4.0 C warmer than in 1 other year") &&
                                                Contains("starts -12 days (-21 to +0)") &&
                                                Contains("an assumption"));
    // A growing colony that began earlier is larger.
    CHECK(moved.at("workers").at("middle").get<double>() >
          calendar.at("workers").at("middle").get<double>());
}

TEST_CASE("RankCommand, ShowsBroodQueensAndTheChanceOfTheStage")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto json =
        Json::parse(run_program({"rank", book, "--on", "2025-08-20", "--json", "-"}).out);
    for (const auto& entry : json.at("calls")) {
        const auto& outlook = entry.at("call").at("outlook");
        double sum = 0;
        for (const auto& chance : outlook.at("stage_chances")) {
            sum += chance.at("chance").get<double>();
        }
        CHECK(sum == Approx(1));
        for (const char* part : {"sealed_workers", "sealed_sexuals", "gynes", "males"}) {
            const std::string name = part;
            CHECK(outlook.at(name + "_p10") <= outlook.at(name + "_p50"));
            CHECK(outlook.at(name + "_p50") <= outlook.at(name + "_p90"));
        }
        CHECK(outlook.at("sexuals_out_chance") >= 0);
        CHECK(outlook.at("sexuals_out_chance") <= 1);
    }
    const auto text = run_program({"rank", book, "--on", "2025-08-20"}).out;
    CHECK_THAT(text, Contains("sealed workers"));
    CHECK_THAT(text, Contains("queens or males out: "));
}
