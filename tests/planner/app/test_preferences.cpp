#include "planner/app/preferences.hpp"

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using app::preferences;

namespace {

std::string refusal(const std::string& name, const std::string& value)
{
    try {
        static_cast<void>(preferences({{name, value}}));
    } catch (const Failure& failure) {
        CHECK(failure.error().code == ErrorCode::InvalidInput);
        return failure.what();
    }
    return {};
}

}  // namespace

TEST_CASE("Preferences, AnEmptyBookTakesTheDefaults")
{
    const auto read = preferences({});
    CHECK(read.time_zone == "UTC");
    CHECK_FALSE(read.us_units);
    CHECK_FALSE(read.day.lunch);
}

TEST_CASE("Preferences, ReadEachKind")
{
    const auto read = preferences({{"region.time_zone", "America/New_York"},
                                   {"units.style", "us"},
                                   {"day.lunch", "11:30-13:00"},
                                   {"day.lunch_length_min", "20"},
                                   {"rank.worth.DMAC", "2.5"},
                                   {"rank.waiting_most_days", "10"},
                                   {"yield.catch_share", "0.6"},
                                   {"yield.catch_share_low", "0.5"},
                                   {"yield.catch_share_high", "0.7"}});
    CHECK(read.us_units);
    CHECK(read.day.lunch->opens == ClockTime::at(11, 30));
    CHECK(read.day.lunch_length == seconds{1200});
    CHECK(read.rank.worth_by_taxon.at("DMAC") == 2.5);
    CHECK(read.rank.waiting_most == 10);
    CHECK(read.yield.catch_share->high == 0.7);
}

TEST_CASE("Preferences, RefuseByName")
{
    for (const auto& [name, value] :
         std::map<std::string, std::string>{{"region.time_zone", "Mars/Base"},
                                            {"units.style", "imperial"},
                                            {"day.lunch", "noon"},
                                            {"rank.near_door", "-1"},
                                            {"rank.allergic", "nan"},
                                            {"plan.iterations", "2.5"},
                                            {"rank.worth.DMAC", "much"},
                                            {"yield.catch_share", "1.5"},
                                            {"region.timezone", "UTC"}}) {
        CAPTURE(name, value);
        CHECK(refusal(name, value).find(name) != std::string::npos);
    }
}

TEST_CASE("Preferences, TheLeastThatIsAllowedIsSaid")
{
    CHECK(refusal("rank.second_fade_days", "0").find("a number from 0.1 up") != std::string::npos);
    CHECK(refusal("rank.near_door", "-1").find("a number from 0 up") != std::string::npos);
}
