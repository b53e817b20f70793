#include "geocore/nature/colony.hpp"

#include <cmath>

#include "tests/support/catch.hpp"

using namespace nestround::nature;

namespace {

/// A queen whose laying is what is asked for: food and cells never limit.
ColonyParameters steady(double eggs)
{
    ColonyParameters p;
    p.brood_loss = 0;
    p.founding_eggs = eggs;
    p.founding_cells = 1e9;
    p.queen_most = 1e15;
    p.eggs_per_worker = 0;
    p.first_workers = 1e-9;
    p.first_workers_on = 1;
    p.switch_on = p.fade_on = p.stop_on = p.decline_on = 1e6;
    p.end_on = 2e6;
    p.cells_per_worker = 1e9;
    return p;
}

}  // namespace

// Little's law: in the steady state each stage holds its laying times its days.
TEST_CASE("Colony, ConstantLayingFillsTheStagesByLittlesLaw")
{
    Colony colony{steady(10)};
    for (int day = 0; day < 400; ++day) {
        colony.step();
    }
    const auto& state = colony.state();
    CHECK(state.of(Part::Eggs) == Approx(70).epsilon(1e-6));
    CHECK(state.of(Part::Larvae) == Approx(105).epsilon(1e-6));
    CHECK(state.of(Part::SealedSmall) == Approx(148).epsilon(1e-6));
    CHECK(state.of(Part::Workers) == Approx(190).epsilon(1e-6));
    // Row 15 of the dossier: shares 0.2167, 0.3251, 0.4582.
    const double brood =
        state.of(Part::Eggs) + state.of(Part::Larvae) + state.of(Part::SealedSmall);
    CHECK(state.of(Part::Eggs) / brood == Approx(0.2167).margin(0.0005));
    CHECK(state.of(Part::Larvae) / brood == Approx(0.3251).margin(0.0005));
    CHECK(state.of(Part::SealedSmall) / brood == Approx(0.4582).margin(0.0005));
}

// Euler and Lotka: the growth a day is the root of 1 = food x survival to and stay as an adult,
// discounted; with chains of boxes each box gives pass / (growth - 1 + pass).
TEST_CASE("Colony, UnlimitedGrowthIsTheRootOfEulerAndLotka")
{
    auto p = steady(0);
    p.first_workers = 5;
    p.first_workers_on = 30;
    p.eggs_per_worker = 0.5;
    p.brood_loss = 0.04;
    Colony colony{p};
    for (int day = 0; day < 300; ++day) {
        colony.step();
    }
    const double before = colony.state().of(Part::Workers);
    colony.step();
    const double growth = colony.state().of(Part::Workers) / before;

    const auto left = [&](double g) {
        const auto chain = [&](int boxes, double days) {
            const double pass = boxes / days;
            return std::pow(pass / (g - 1 + pass), boxes);
        };
        const double brood = chain(3, 7) * chain(5, 10.5) * chain(7, 14.8) * (1 - p.brood_loss);
        const double adults = (1 - chain(3, 19)) / (g - 1);
        return p.eggs_per_worker * brood * adults - 1;
    };
    double low = 1.0001;
    double high = 1.5;
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        (left(middle) > 0 ? low : high) = middle;
    }
    CHECK(growth == Approx(low).epsilon(2e-3));
    CHECK(growth > 1.02);
}

TEST_CASE("Colony, MoreFoodNeverMakesASmallerPeak")
{
    ColonyParameters p;
    double before = 0;
    for (double food = 0.05; food < 4; food *= 1.4) {
        p.eggs_per_worker = food;
        const double peak = colony_peak(p).workers;
        CHECK(peak >= before * (1 - 1e-9));
        before = peak;
    }
    CHECK(before > 500);
}

TEST_CASE("Colony, IsBroughtToItsPeakAndHoldsMoreCellsThanBrood")
{
    ColonyParameters p;
    p.queen_most = 1.15 * 1500 / p.worker_life;
    CHECK(calibrate_colony(p, 1500).workers == Approx(1500).epsilon(0.025));
    Colony colony{p};
    for (int day = 0; day < 220; ++day) {
        colony.step();
        const auto& s = colony.state();
        const double brood = s.of(Part::Eggs) + s.of(Part::Larvae) + s.of(Part::SealedSmall) +
                             s.of(Part::SealedLarge);
        CHECK(brood <= (s.of(Part::SmallCells) + s.of(Part::LargeCells)) * (1 + 1e-9));
        for (const double value : s.values) {
            CHECK(value >= -1e-9);
        }
    }
}

TEST_CASE("Colony, ALateColonyWithABetterQueenComesToItsPeakAndNotBeyond")
{
    // More food brings next to nothing here: the queen is the limit, and is made just good enough.
    for (const double wanted : {500.0, 700.0, 1000.0, 1300.0}) {
        ColonyParameters p;
        p.first_workers_on = 35;
        p.queen_most = 22;
        p.fade_on = 100;
        CAPTURE(wanted);
        const auto peak = calibrate_colony(p, wanted);
        CHECK(p.queen_most > 22);
        CHECK(peak.workers == Approx(wanted).epsilon(0.025));
    }
}

TEST_CASE("Colony, CombsFollowThePublishedNests")
{
    // Cells and combs: rows N-07/N-08, G-07, N-18 and N-21 of the dossier.
    CHECK(combs_of(10581) == Approx(9).margin(1));
    CHECK(combs_of(20715) == Approx(11).margin(1));
    CHECK(combs_of(65970) == Approx(14).margin(2));
    CHECK(combs_of(4290) == Approx(7).margin(1));
    CHECK(combs_of(1641) == Approx(5).margin(1));
    CHECK(combs_of(0) == 0);
}
