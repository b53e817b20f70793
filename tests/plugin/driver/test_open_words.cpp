#include "plugin/driver/open_words.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::driver;
using Catch::Contains;

TEST_CASE("OpenWords_ReadNameAndWords")
{
    const auto wishes = read_name(
        "NESTROUND:/data/"
        "crew.gpkg?on=2026-08-04&roads=a%20b.roads&species=VGER,VMAC&season=2024..2026");
    REQUIRE(wishes);
    CHECK(wishes->book == "/data/crew.gpkg");
    CHECK(wishes->on == "2026-08-04");
    CHECK(wishes->roads == "a b.roads");
    CHECK(wishes->species == std::vector<std::string>{"VGER", "VMAC"});
    CHECK(wishes->season == "2024..2026");
    CHECK(read_name("nestround:x.gpkg")->book == "x.gpkg");
    CHECK(read_name("NESTROUND:what?.gpkg")->book == "what?.gpkg");
}

TEST_CASE("OpenWords_SayWhatIsWrong")
{
    CHECK_THAT(read_name("NESTROUND:").error().text(), Contains("names no book"));
    CHECK_THAT(read_name("NESTROUND:a.gpkg?colour=red").error().text(),
               Contains("'colour'") && Contains("on, roads"));
    CHECK_THAT(read_name("NESTROUND:a.gpkg?on=x&roads").error().text(), Contains("no value"));
    CHECK_THAT(read_name("NESTROUND:a.gpkg?cell_km2=big").error().text(), Contains("'big'"));
    CHECK_FALSE(read_name("a.gpkg"));
    CHECK(is_word("ON"));
    CHECK(is_word("cell_km2"));
    CHECK_FALSE(is_word("NATIVE_DATA"));
}
