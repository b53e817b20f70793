#include "geocore/records/call.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("Call, ASeasonIsTheYearInWhichTheColonyPeaks")
{
    CHECK(season_of(*parse_day("2026-08-04"), Latitude{47}) == 2026);
    CHECK(season_of(*parse_day("2026-12-31"), Latitude{47}) == 2026);
    // founded in a southern spring, taken in February
    CHECK(season_of(*parse_day("2026-10-01"), Latitude{-41}) == 2027);
    CHECK(season_of(*parse_day("2027-02-10"), Latitude{-41}) == 2027);
    CHECK(season_of(*parse_day("2027-06-30"), Latitude{-41}) == 2027);
}
