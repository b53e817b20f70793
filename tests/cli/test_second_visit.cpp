// nestround call second-visit as typed, and what a visit makes of such a call.
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;

namespace {

struct Scene {
    Folder folder;
    std::string book = folder / "crew.gpkg";

    Scene()
    {
        REQUIRE(run_program({"book", "create", book}).code == 0);
        const auto said =
            run_program({"call", "import", book,
                         folder.write("calls.csv",
                                      "key,received,lon,lat,species,nest_kind,height_m\n"
                                      "T-1,2026-07-20,-77.0,41.1,Vespula maculifrons,ground,0\n")});
        INFO(said.err);
        REQUIRE(said.code == 0);
    }
    [[nodiscard]] auto second(std::vector<std::string> words) const
    {
        std::vector<std::string> all{"call", "second-visit", book, "T-1"};
        all.insert(all.end(), words.begin(), words.end());
        return run_program(all);
    }
    [[nodiscard]] std::string ranked() const
    {
        return run_program({"rank", book, "--on", "2026-08-04"}).out;
    }
};

}  // namespace

TEST_CASE("SecondVisitCommand, IsAskedForToldByRankAndTakenBack")
{
    const Scene scene;
    CHECK_THAT(scene.second({"--after", "4h", "--min", "20"}).out, Contains("is asked for"));
    CHECK_THAT(scene.ranked(), Contains("a second visit the same day is asked for, 240 min"));
    CHECK_THAT(scene.second({"--none"}).out, Contains("no second visit is asked for"));
    CHECK_THAT(scene.ranked(), !Contains("second visit"));
}

TEST_CASE("SecondVisitCommand, WordsThatMeanNothingAreRefused")
{
    const Scene scene;
    for (const std::vector<std::string>& words : {std::vector<std::string>{},
                                                  {"--after", "4d"},
                                                  {"--after", "25h"},
                                                  {"--min", "20"},
                                                  {"--due", "2026-08-40"},
                                                  {"--due", "2026-08-04 25:00"}}) {
        const auto said = scene.second(words);
        CHECK(said.code != 0);
        CHECK(said.out.empty());
    }
    CHECK_THAT(scene.second({"--after", "4d"}).err, Contains("write 4h"));
}

TEST_CASE("SecondVisitCommand, ACallWaitsOnAfterItsFirstVisitAndIsTakenByItsSecond")
{
    const Scene scene;
    REQUIRE(scene.second({"--after", "4h"}).code == 0);
    const auto caught = [&](const char* day) {
        const auto said =
            run_program({"catch", "import", scene.book,
                         scene.folder.write(
                             std::string{"catch-"} + day + ".csv",
                             std::string{"call,taken,method,mass_g\nT-1,"} + day + ",hand,30\n")});
        INFO(said.err);
        CHECK(said.code == 0);
    };
    caught("2026-08-03");
    CHECK_THAT(scene.ranked(), Contains("second visit: for the wasps that were away"));
    caught("2026-08-04");
    CHECK_THAT(scene.ranked(), !Contains("second visit"));
    CHECK_THAT(scene.second({"--after", "1h"}).err, Contains("taken"));
    REQUIRE(scene.second({"--due", "2026-08-04 19:00"}).code == 0);
    CHECK_THAT(scene.ranked(), Contains("second visit: for the wasps that were away"));
}
