#include "planner/brood/warmth.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::brood;

namespace {

const Instant kMidnight = value_or_throw(parse_instant("2026-08-04T00:00:00Z"));

WarmthInput whole_days(int days)
{
    WarmthInput input;
    input.midnight = input.stands_from = kMidnight;
    input.days = days;
    return input;
}

std::vector<HabitatReading> hourly(int hours, double celsius)
{
    std::vector<HabitatReading> log;
    for (int h = 0; h <= hours; ++h) {
        log.push_back({{}, kMidnight + std::chrono::hours{h}, Celsius{celsius}, {}});
    }
    return log;
}

}  // namespace

TEST_CASE("Warmth, ADayAtTheReferenceIsADayOfDevelopment")
{
    const BroodFigures figures;
    CHECK(development_rate(figures, 12, 30) == Approx(1));
    CHECK(development_rate(figures, 12, 21) == Approx(0.5));
    CHECK(development_rate(figures, 12, 12) == 0);
    CHECK(development_rate(figures, 12, -5) == 0);
    // No faster above the range of the rule.
    CHECK(development_rate(figures, 12, 34) == development_rate(figures, 12, 37));
    WarmthInput input = whole_days(3);
    input.set_point = Celsius{30};
    const auto ripe = ripening(warm_days(input, figures), figures, 12);
    REQUIRE(ripe.development.size() == 4);
    CHECK(ripe.development.back() == Approx(3));
    CHECK(ripe.development_at(1.5) == Approx(1.5));
    CHECK(ripe.hot_hours.back() == 0);
}

TEST_CASE("Warmth, BeginsWhenTheCombComes")
{
    const BroodFigures figures;
    WarmthInput input = whole_days(2);
    input.set_point = Celsius{30};
    input.stands_from = kMidnight + std::chrono::hours{18};
    const auto ripe = ripening(warm_days(input, figures), figures, 12);
    CHECK(ripe.development[1] == Approx(0.25));
    CHECK(ripe.development[2] == Approx(1.25));
    input.stands_from = kMidnight + std::chrono::minutes{30};
    CHECK(ripening(warm_days(input, figures), figures, 12).development[1] == Approx(23.5 / 24));
}

TEST_CASE("Warmth, ALogGoesBeforeTheSetPointAndItsGapsAreTold")
{
    const BroodFigures figures;
    WarmthInput input = whole_days(2);
    input.set_point = Celsius{30};
    const auto log = hourly(24, 21);
    input.log = log;
    auto warmth = warm_days(input, figures);
    CHECK(ripening(warmth, figures, 12).development[1] == Approx(0.5));
    CHECK(warmth.gap_hours == 0);
    // After the log the set point; the last reading stands for three hours.
    CHECK(ripening(warmth, figures, 12).development[2] == Approx(0.5 + 1 - 0.5 * 3 / 24));

    std::vector<HabitatReading> torn;
    for (std::size_t h = 0; h < log.size(); ++h) {
        if (h < 5 || h >= 15) {  // nothing between 04:00 and 15:00
            torn.push_back(log[h]);
        }
    }
    input.log = torn;
    warmth = warm_days(input, figures);
    CHECK(warmth.gap_hours == Approx(11));
    CHECK(ripening(warmth, figures, 12).development[1] == Approx(13.0 / 24 * 0.5 + 11.0 / 24));
}

TEST_CASE("Warmth, CountsHeatAndCold")
{
    const BroodFigures figures;
    WarmthInput input = whole_days(1);
    input.set_point = Celsius{39};
    auto warmth = warm_days(input, figures);
    CHECK(warmth.hot_hours == Approx(24));
    CHECK(warmth.hottest == 39);
    CHECK(ripening(warmth, figures, 12).hot_hours.back() == Approx(24));
    input.set_point = Celsius{46};  // above the lethal limit an hour ends it
    CHECK(ripening(warm_days(input, figures), figures, 12).hot_hours.back() > 1000);
    input.set_point = Celsius{15};
    CHECK(warm_days(input, figures).cold_hours == Approx(24));
    input.set_point.reset();
    input.otherwise = Celsius{28};
    CHECK(warm_days(input, figures).days[0].front().celsius == 28);
}
