#include "planner/brood/emergence.hpp"

#include <algorithm>
#include <cmath>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::brood;

namespace {

const Instant kMidnight = value_or_throw(parse_instant("2026-08-04T00:00:00Z"));

EmergenceInput comb(double sealed, double celsius = 30, int days = 40)
{
    EmergenceInput input;
    input.figures = brood_figures(nature::standard_taxa(), "VGER");
    input.brood.sealed_small = sealed;
    WarmthInput warm;
    warm.midnight = warm.stands_from = kMidnight;
    warm.days = days;
    warm.set_point = Celsius{celsius};
    input.warmth = warm_days(warm, input.figures);
    return input;
}

}  // namespace

TEST_CASE("Emergence, OfAnEmptyCombIsNothing")
{
    const auto out = forecast_emergence(comb(0));
    CHECK(out.days.size() == 40);
    CHECK(out.workers.high == 0);
    CHECK(out.reproductives.high == 0);
    CHECK(out.last_day.high == 0);
}

TEST_CASE("Emergence, BoundsAreInOrderAndDaysAddUp")
{
    auto input = comb(800);
    input.brood.sealed_large = 100;
    input.brood.larvae = 300;
    input.brood.doubt = 0.2;
    const auto out = forecast_emergence(input);
    double workers = 0;
    double sexuals = 0;
    for (const auto& day : out.days) {
        CHECK(day.workers.low <= day.workers.middle);
        CHECK(day.workers.middle <= day.workers.high);
        CHECK(day.mean_workers >= 0);
        workers += day.mean_workers;
        sexuals += day.mean_queens + day.mean_males;
    }
    CHECK(workers == Approx(out.workers.middle).epsilon(0.05));
    CHECK(sexuals == Approx(out.reproductives.middle).epsilon(0.05));
    CHECK(out.reproductives.high < 130);
    // Mostly saved of the sealed; mostly not of the larvae.
    CHECK(out.from_larvae < 0.1 * 300);
    CHECK(out.from_larvae > 0);
}

TEST_CASE("Emergence, IsLaterWhereItIsCooler")
{
    const auto warm = forecast_emergence(comb(800, 30));
    const auto cool = forecast_emergence(comb(800, 24));
    CHECK(cool.last_day.middle > warm.last_day.middle + 4);
    CHECK(cool.workers.middle == Approx(warm.workers.middle).epsilon(0.02));
    // Below the threshold nothing comes.
    CHECK(forecast_emergence(comb(800, 9)).workers.high == 0);
}

TEST_CASE("Emergence, HeatKillsWhatIsStillInTheCells")
{
    const auto fine = forecast_emergence(comb(800, 34));
    const auto hot = forecast_emergence(comb(800, 39));
    CHECK(hot.workers.middle < 0.2 * fine.workers.middle);
    CHECK(hot.killed_by_heat > 0.9);
    CHECK(fine.killed_by_heat == 0);
    CHECK(forecast_emergence(comb(800, 46)).workers.high < 1);
}

TEST_CASE("Emergence, NursesSaveLarvaeAndEggsNeverAre")
{
    auto input = comb(0);
    input.brood.larvae = 1000;
    input.brood.eggs = 1000;
    const auto alone = forecast_emergence(input);
    input.brood.nurses = true;
    const auto nursed = forecast_emergence(input);
    CHECK(nursed.workers.middle > 4 * alone.workers.middle);
    input.brood.larvae = 0;
    CHECK(forecast_emergence(input).workers.high == 0);
}

TEST_CASE("Emergence, CollectionsMoveTheForecastAndNarrowIt")
{
    auto input = comb(1000);
    const auto before = forecast_emergence(input);
    // As many as the forecast says by day 4, and then as few as a third of it.
    double by_4 = 0;
    for (int d = 0; d < 4; ++d) {
        by_4 += before.days[static_cast<std::size_t>(d)].mean_workers;
    }
    input.taken = {{4, by_4, 0.0, 0}};
    const auto as_said = forecast_emergence(input);
    CHECK(as_said.workers.middle == Approx(before.workers.middle).epsilon(0.08));
    CHECK(as_said.workers.high - as_said.workers.low < before.workers.high - before.workers.low);
    input.taken = {{4, by_4 / 2, 0.0, 0}};
    const auto fewer = forecast_emergence(input);
    CHECK(fewer.workers.middle < 0.9 * before.workers.middle);
    // A weighed collection says less than a counted one.
    input.taken.front().doubt = 0.5;
    CHECK(forecast_emergence(input).workers.middle > fewer.workers.middle);
    // What cannot be is said, and not followed to the letter.
    input.taken = {{4, 990.0, 0.0, 0}};
    CHECK(forecast_emergence(input).softened);
    CHECK(forecast_emergence(input).effective >= 12);
    CHECK_FALSE(fewer.softened);
}

TEST_CASE("Emergence, OfCombsDrawnFromTheSameFiguresLiesWithinItsBoundsFourTimesInFive")
{
    // A simulation of single cells of its own, with the same figures and another generator.
    const auto input = comb(600);
    const auto forecast = forecast_emergence(input);
    const auto& f = input.figures;
    Random random{99};
    int inside_total = 0;
    constexpr int kCombs = 1000;
    std::vector<double> weeks;
    for (int k = 0; k < kCombs; ++k) {
        const double mean = f.pupa_days * at_chance(f.days_factor, random.uniform());
        const double cv = std::max(0.01, at_chance(f.duration_cv, random.uniform()));
        const double saved = std::clamp(at_chance(f.saved, random.uniform()), 0.0, 1.0);
        int total = 0;
        int week = 0;
        for (int cell = 0; cell < 600; ++cell) {
            // A sealed cell met by chance: long ones more often, at any moment of its time.
            double days = 0;
            do {
                days = random.normal(mean, mean * cv);
            } while (random.uniform() * 2 * mean > days);
            const double left = days * random.uniform();
            if (random.chance(saved)) {
                total += left < 40 ? 1 : 0;
                week += left < 7 ? 1 : 0;
            }
        }
        inside_total += total >= forecast.workers.low && total <= forecast.workers.high ? 1 : 0;
        weeks.push_back(week);
    }
    std::sort(weeks.begin(), weeks.end());
    double mean_week = 0;
    for (int d = 0; d < 7; ++d) {
        mean_week += forecast.days[static_cast<std::size_t>(d)].mean_workers;
    }
    CHECK(inside_total == Approx(800).margin(40));
    CHECK(mean_week == Approx(weeks[kCombs / 2]).epsilon(0.04));
}

TEST_CASE("Emergence, IsTheSameEveryTime")
{
    auto input = comb(500);
    input.taken = {{3, 80.0, 0.0, 0}};
    const auto a = forecast_emergence(input);
    const auto b = forecast_emergence(input);
    CHECK(a.workers == b.workers);
    CHECK(a.days[7].workers == b.days[7].workers);
    CHECK(a.effective == b.effective);
}
