#include "planner/freezer/warm_time.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::freezer;
using std::chrono::hours;

namespace {

const Instant kNoon = parse_instant("2026-08-04T12:00:00Z").value();

std::vector<LoggerReading> hourly(const std::vector<double>& celsius)
{
    std::vector<LoggerReading> out;
    for (std::size_t i = 0; i < celsius.size(); ++i) {
        out.push_back({kNoon + hours{static_cast<int>(i)}, Celsius{celsius[i]}});
    }
    return out;
}

LotId lot(std::uint8_t n)
{
    std::array<std::uint8_t, 16> bytes{};
    bytes[15] = n;
    return LotId{Uuid{bytes}};
}

LotMove put(std::uint8_t n, int hour, const char* freezer, const char* box)
{
    LotMove move;
    move.lot = lot(n);
    move.at = kNoon + hours{hour};
    move.place = {freezer, "", box};
    return move;
}

}  // namespace

TEST_CASE("WarmTime, BeginsAboveTheLimitAndEndsAtTheNextReadingAtOrBelowIt")
{
    const auto times = warm_times(hourly({-70, -60, -59.9, -40, -60, -70, -50}), Celsius{-60});
    REQUIRE(times.size() == 2);
    CHECK(times[0].began == kNoon + hours{2});
    CHECK(times[0].ended == kNoon + hours{4});
    CHECK(times[0].warmest == Celsius{-40});
    CHECK(times[0].readings == 2);
    // The log ends while it is warm: no more is known.
    CHECK(times[1].began == kNoon + hours{6});
    CHECK(times[1].ended == kNoon + hours{6});
    CHECK(warm_times({}, Celsius{-60}).empty());
}

TEST_CASE("WarmTime, OnlyWhatLayThereThenIsMarked")
{
    const std::vector<LotMove> moves{
        put(1, -5, "A", "7"),                       // there all the time
        put(2, -5, "A", "7"), put(2, 2, "B", "1"),  // left at two
        put(3, -5, "B", "1"), put(3, 3, "A", "7"),  // came at three
        put(4, -5, "A", "8"),                       // another box
        put(5, 5, "A", "7"),                        // came when all was over
        put(6, -5, "A", "7"),                       // shipped the day before
    };
    const std::map<LotId, Day> shipped{
        {lot(6), std::chrono::floor<std::chrono::days>(kNoon) - std::chrono::days{1}}};
    const FreezerPlace box{"A", "", "7"};
    CHECK(lots_there(moves, shipped, box, kNoon + hours{1}, kNoon + hours{4}) ==
          std::vector{lot(1), lot(2), lot(3)});
    CHECK(lots_there(moves, shipped, box, kNoon + hours{2}, kNoon + hours{2}) ==
          std::vector{lot(1)});
    // The whole freezer.
    CHECK(lots_there(moves, shipped, {"A", "", ""}, kNoon + hours{2}, kNoon + hours{2}) ==
          std::vector{lot(1), lot(4)});
}
