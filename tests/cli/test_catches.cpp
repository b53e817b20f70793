// nestround catch import, yield show, yield backtest and heat, as typed.
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;

namespace {

constexpr const char* kCalls =
    "key,received,lon,lat,place,species,nest_kind\n"
    "K1,2025-07-20,-77.1,41.2,mill,Vespula germanica,void\n"
    "K2,2025-07-25,-77.1,41.2,barn,Vespula germanica,void\n"
    "K3,2025-08-02,-77.1,41.2,shed,Vespula germanica,void\n";

constexpr const char* kCatches =
    "call,taken,method,species,mass_g,count\n"
    "K1,2025-08-01,hand,VGER,22,300\n"
    "K2,2025-08-08,ladder,Vespula germanica,30,\n"
    "K3,2025-08-15,hand,VGER,41,\n";

std::string empty_book(const Folder& folder)
{
    const auto book = folder / "a.gpkg";
    REQUIRE(run_program({"book", "create", book}).code == 0);
    return book;
}

std::string book_with_calls(const Folder& folder)
{
    const auto book = empty_book(folder);
    REQUIRE(run_program({"call", "import", book, folder.write("calls.csv", kCalls)}).code == 0);
    return book;
}

std::string book_with_catches(const Folder& folder)
{
    const auto book = book_with_calls(folder);
    REQUIRE(run_program({"catch", "import", book, folder.write("catches.csv", kCatches)}).code ==
            0);
    return book;
}

/// April and May 2025 at one station, 10 to 20 C each day.
std::string weather_file(const Folder& folder)
{
    std::string text = "station,lon,lat,elevation_m,date,tmin_c,tmax_c\n";
    for (const auto& [month, days] : {std::pair{"04", 30}, std::pair{"05", 31}}) {
        for (int day = 1; day <= days; ++day) {
            const std::string two = (day < 10 ? "0" : "") + std::to_string(day);
            text += std::string{"S1,-77.1,41.2,200,2025-"} + month + "-" + two + ",10,20\n";
        }
    }
    return folder.write("weather.csv", text);
}

}  // namespace

TEST_CASE("CatchCommand, ImportsOnceAndClosesTheCalls")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto file = folder.write("catches.csv", kCatches);
    CHECK_THAT(run_program({"call", "list", book, "--on", "2025-08-20"}).out, Contains("barn"));
    const auto first = run_program({"catch", "import", book, file});
    CHECK(first.code == 0);
    CHECK_THAT(first.out, Contains("3 catches added, 0 already in the book, 0 refused"));
    const auto again = run_program({"catch", "import", book, file});
    CHECK(again.code == 0);
    CHECK_THAT(again.out, Contains("0 catches added, 3 already in the book, 0 refused"));
    CHECK_THAT(run_program({"call", "list", book, "--on", "2025-08-20"}).out, !Contains("barn"));
    CHECK(run_program({"book", "check", book}).code == 0);
}

TEST_CASE("CatchCommand, SaysWhichRowAndWhatToDo")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    const auto before = bytes_of(book);
    const auto none = run_program({"catch", "import", book, folder / "no.csv"});
    CHECK(none.code != 0);
    CHECK_THAT(none.err, Contains("no.csv"));
    // Not a list of catches: weather by mistake.
    const auto wrong = run_program({"catch", "import", book, weather_file(folder)});
    CHECK(wrong.code == 10);
    CHECK_THAT(wrong.err, Contains("weather.csv") && Contains("call"));
    // No call of that key: no row is taken, and the book is as it was.
    const auto strange = run_program(
        {"catch", "import", book,
         folder.write("strange.csv",
                      "call,taken,method,species,mass_g\nK9,2025-08-01,hand,VGER,22\n")});
    CHECK(strange.code == 10);
    CHECK_THAT(strange.err, Contains("K9") && Contains("nestround call import"));
    CHECK(bytes_of(book) == before);
    CHECK(run_program({"catch", "import", folder / "none.gpkg", folder / "catches.csv"}).code != 0);
}

TEST_CASE("YieldCommand, AnEmptyBookSaysWhatToImport")
{
    const Folder folder;
    const auto book = empty_book(folder);
    const auto show = run_program({"yield", "show", book});
    CHECK(show.code == 0);
    CHECK_THAT(show.out, Contains("0 own records") && Contains("nestround catch import"));
    const auto picture = folder / "bt.png";
    const auto test = run_program({"yield", "backtest", book, "--picture", picture});
    CHECK(test.code == 0);
    CHECK_THAT(test.out, Contains("nestround catch import"));
    CHECK_THAT(run_program({"yield", "backtest", book, "--json"}).out, Contains("\"catches\": 0"));
}

TEST_CASE("YieldCommand, ShowsWhatWasLearnedBeforeTheDayAskedFor")
{
    const Folder folder;
    const auto book = book_with_catches(folder);
    const auto all = run_program({"yield", "show", book, "--on", "2026-01-01"});
    CHECK(all.code == 0);
    CHECK_THAT(all.out, Contains("3 own records before 2026-01-01") && Contains("VGER") &&
                            Contains("ladder"));
    CHECK_THAT(run_program({"yield", "show", book, "--on", "2025-08-08"}).out,
               Contains("1 own records before 2025-08-08") && !Contains("ladder"));
    CHECK_THAT(run_program({"yield", "show", book, "--on", "2024-08-08"}).out,
               Contains("0 own records"));
    CHECK(run_program({"yield", "show", book, "--on", "yesterday"}).code == 2);
}

TEST_CASE("YieldCommand, BacktestsAndDraws")
{
    const Folder folder;
    const auto book = book_with_catches(folder);
    const auto before = bytes_of(book);
    const auto png = folder / "bt.png";
    const auto test =
        run_program({"yield", "backtest", book, "--on", "2026-01-01", "--picture", png});
    CHECK(test.code == 0);
    CHECK_THAT(test.out, Contains("3 catches;") && Contains("median error"));
    CHECK(bytes_of(png).substr(1, 3) == "PNG");
    CHECK_THAT(run_program({"yield", "backtest", book, "--on", "2025-08-08"}).out,
               Contains("1 catches;"));
    CHECK_THAT(run_program({"yield", "backtest", book, "--on", "2024-08-08"}).out,
               Contains("no weighed catch"));
    // A picture that cannot be: told, before any output.
    const auto gif = run_program({"yield", "backtest", book, "--picture", folder / "bt.gif"});
    CHECK(gif.code == 2);
    CHECK(gif.out.empty());
    CHECK_THAT(gif.err, Contains(".png"));
    CHECK(bytes_of(book) == before);
}

TEST_CASE("HeatCommand, SumsAndTellsGaps")
{
    const Folder folder;
    const auto book = empty_book(folder);
    REQUIRE(run_program({"weather", "import", book, weather_file(folder)}).code == 0);
    const auto heat = run_program({"heat", book, "--at", "41.2,-77.1", "--elevation", "200m",
                                   "--from", "2025-04-01", "--to", "2025-05-31", "--method",
                                   "average", "--low", "10", "--json"});
    CHECK(heat.code == 0);
    // 61 days of a mean of 15: 5 degree-days each.
    CHECK_THAT(heat.out, Contains("\"sum\": 305.0") && Contains("\"missing_days\": 0"));
    const auto text = run_program(
        {"heat", book, "--at", "41.2,-77.1", "--from", "2025-04-01", "--to", "2025-04-30"});
    CHECK(text.code == 0);
    CHECK_THAT(text.out, Contains("2025-04") && Contains("S1"));
    // Far into another year: no past year to go on with, and it says so.
    const auto later = run_program(
        {"heat", book, "--at", "41.2,-77.1", "--from", "2025-04-01", "--to", "2025-07-31"});
    CHECK(later.code == 0);
    CHECK_THAT(later.err, Contains("after 2025-05-31"));
}

TEST_CASE("HeatCommand, SaysWhatIsWrong")
{
    const Folder folder;
    const auto book = empty_book(folder);
    const auto asked = [&](const std::string& at, const std::string& from, const std::string& to) {
        return run_program({"heat", book, "--at", at, "--from", from, "--to", to});
    };
    const auto empty = asked("41.2,-77.1", "2025-04-01", "2025-05-31");
    CHECK(empty.code == 11);
    CHECK_THAT(empty.err, Contains("nestround weather import"));
    REQUIRE(run_program({"weather", "import", book, weather_file(folder)}).code == 0);
    const auto far = asked("10,10", "2025-04-01", "2025-05-31");
    CHECK(far.code == 11);
    CHECK_THAT(far.err, Contains("no station"));
    const auto turned = asked("41.2,-77.1", "2025-05-31", "2025-04-01");
    CHECK(turned.code == 10);
    CHECK_THAT(turned.err, Contains("swap them"));
    CHECK(asked("everywhere", "2025-04-01", "2025-05-31").code == 10);
    CHECK(asked("41.2,-77.1", "spring", "2025-05-31").code == 2);
    CHECK(run_program({"heat", folder / "no.gpkg", "--at", "41.2,-77.1", "--from", "2025-04-01",
                       "--to", "2025-05-01"})
              .code != 0);
}

TEST_CASE("HeatSettings, MoveForecastsOnlyWhenOnAndSaySo")
{
    const Folder folder;
    const auto book = book_with_calls(folder);
    // Three Aprils; that of 2025 is four degrees warmer.
    std::string text = "station,lon,lat,elevation_m,date,tmin_c,tmax_c\n";
    for (const int year : {2023, 2024, 2025}) {
        for (int day = 1; day <= 30; ++day) {
            text += "S1,-77.1,41.2,200," + std::to_string(year) + "-04-" + (day < 10 ? "0" : "") +
                    std::to_string(day) + (year == 2025 ? ",9,19\n" : ",5,15\n");
        }
    }
    const auto ranked = [&] {
        const auto out =
            run_program({"rank", book, "--on", "2025-08-04", "--without-weather", "--json", "-"});
        CHECK(out.code == 0);
        return out.out;
    };
    const auto grams = [](const std::string& json) {
        const auto at = json.find("\"grams_p50\":");
        REQUIRE(at != std::string::npos);
        return std::stod(json.substr(at + 12));
    };
    const auto set = [&](const std::string& value) {
        REQUIRE(run_program({"settings", "set", book, "heat.spring_shift", value}).code == 0);
    };
    const auto plain = ranked();
    set("on");
    // Asked for, but there is nothing to go by: the same figures, and it says so.
    const auto blind = ranked();
    CHECK(grams(blind) == grams(plain));
    CHECK_THAT(blind, Contains("no crew or no weather") && !Contains("the season starts"));
    REQUIRE(run_program({"crew", "import", book,
                         folder.write("crews.csv",
                                      "crew,lon,lat,shift,people\n"
                                      "Mill crew,-77.1,41.2,07:00-16:00,2\n")})
                .code == 0);
    REQUIRE(run_program({"weather", "import", book, folder.write("three.csv", text)}).code == 0);
    const auto early = ranked();
    CHECK(grams(early) > grams(plain));  // colonies are further on
    CHECK_THAT(early, Contains("spring 4.0 C warmer") && Contains("assumption"));
    set("off");
    CHECK(ranked() == plain);
    CHECK(run_program({"settings", "set", book, "heat.spring_shift", "maybe"}).code == 10);
    CHECK(ranked() == plain);
}
