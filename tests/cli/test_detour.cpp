// roads detour as a stranger types it.
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

}  // namespace

TEST_CASE("RoadsDetour, TheCheapestPlaceComesFirstAndAddsUp")
{
    // One straight road along 47.1 N, 36 km/h: home, a, b and home again.
    const Folder folder;
    const auto street = folder.write(
        "street.geojson",
        R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kmh":36},
        "geometry":{"type":"LineString","coordinates":[[9.5,47.1],[9.6,47.1]]}}]})");
    const auto roads = folder / "street.roads";
    REQUIRE(run_program({"roads", "build", street, "--speed-column", "kmh", "--to", roads}).code ==
            0);
    const auto tour = folder.write("tour.csv",
                                   "name,lon,lat\nhome,9.51,47.1\na,9.53,47.1\nb,9.55,47.1\n"
                                   "back,9.51,47.1\n");
    const auto ask = [&](const std::string& at) {
        return run_program({"roads", "detour", roads, "--tour", tour, "--new", at});
    };
    // Between a and b, or on the way back, nothing is added but a metre of rounding.
    const auto between = ask("47.1,9.54");
    CAPTURE(between.out, between.err);
    REQUIRE(between.code == 0);
    const auto first_line = between.out.substr(0, between.out.find('\n'));
    CHECK(first_line.rfind("     +0 s ", 0) == 0);
    CHECK(holds(between.out, "after a, before b\n"));
    CHECK(holds(between.out, "after b, before back\n"));
    // Before a, from 9.53 to 9.54 and back: twice 758.8 m at 10 m/s.
    const auto last = between.out.rfind("   +152 s    +1518 m  after home, before a\n");
    CHECK(last != std::string::npos);
    CHECK(between.out.find("after b") < last);
    // Beyond b the same is added after a as after b.
    const auto beyond = ask("47.1,9.56");
    CAPTURE(beyond.out);
    CHECK(holds(beyond.out, "   +152 s    +1518 m  after b, before back\n"));
    CHECK(beyond.out.rfind("   +152 s ", 0) == 0);
    // And before a twice 0.03 degrees.
    CHECK(beyond.out.find("m  after home, before a\n") > beyond.out.find("m  after b"));
    CHECK(holds(beyond.out, "   +456 s    +455"));  // 4,554 m, each leg rounded

    const auto far = ask("48.1,9.54");
    CHECK(far.code == static_cast<int>(ErrorCode::InvalidInput));
    CHECK(holds(far.err, "new stop '48.1,9.54'"));
    const auto one = folder.write("one.csv", "name,lon,lat\nhome,9.51,47.1\n");
    const auto short_tour =
        run_program({"roads", "detour", roads, "--tour", one, "--new", "47.1,9.54"});
    CHECK(short_tour.code == static_cast<int>(ErrorCode::InvalidInput));
    CHECK(holds(short_tour.err, "two stops or more"));
}
