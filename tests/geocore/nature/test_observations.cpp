#include "geocore/nature/observations.hpp"

#include <array>
#include <cstring>
#include <vector>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

struct Nest {
    Season season;
    LookFigures figures = LookFigures::of(standard_taxa());
    std::vector<double> weights, room;

    explicit Nest(const char* code, double latitude = 41)
        : season{[&] {
              const Candidate one{standard_taxa().find(code), 1};
              return Season::make(standard_taxa(), std::span{&one, 1}, Latitude{latitude});
          }()}
    {
        weights.assign(season.weights().begin(), season.weights().end());
        room.resize(weights.size());
    }
    Weighed see(const Observation& one) { return weigh(season, figures, one, weights, room); }
    Spread<double> workers(double day) const
    {
        return Season::spread(season.workers(day), weights);
    }
};

Observation look(Look what, double day, double value = 0)
{
    Observation one;
    one.look = what;
    one.day = day;
    one.value = value;
    return one;
}

}  // namespace

TEST_CASE("Observations, TrafficHasThePublishedLine")
{
    const auto figures = LookFigures::of(standard_taxa());
    // Row 1 to 3 of the dossier: 31, 10, 300 a minute; 21 in rain are 30.
    CHECK(workers_of_traffic(figures, 31, false) == Approx(999.5).margin(0.1));
    CHECK(workers_of_traffic(figures, 10, false) == Approx(322.4).margin(0.1));
    CHECK(workers_of_traffic(figures, 300, false) == Approx(9672.9).margin(0.1));
    CHECK(workers_of_traffic(figures, 21, true) == Approx(30 * 32.243).margin(0.01));
}

TEST_CASE("Observations, ACountOfTrafficSharpensTheForecast")
{
    Nest nest{"VMAC"};
    const double day = 245;
    const auto before = nest.workers(day);
    const auto done = nest.see(look(Look::Traffic, day, 60));
    CHECK(done.heeded == Heeded::Told);
    const auto after = nest.workers(day);
    CHECK(after.middle > before.middle);
    CHECK(after.high / after.low < before.high / before.low);
    CHECK(after.low < 60 * 32.243);
    CHECK(after.high > 0.8 * 60 * 32.243);
    double sum = 0;
    for (const double one : nest.weights) {
        sum += one;
    }
    CHECK(sum == Approx(1).margin(1e-12));
}

TEST_CASE("Observations, WhatTellsNothingChangesNothingBitForBit")
{
    Nest nest{"VMAC"};
    const auto before = nest.weights;
    CHECK(nest.see(look(Look::SeenAlive, 240)).heeded == Heeded::ToldNothing);
    CHECK(nest.see(look(Look::Size, 240, 20)).heeded == Heeded::ToldNothing);
    CHECK(std::memcmp(before.data(), nest.weights.data(), before.size() * sizeof(double)) == 0);
}

TEST_CASE("Observations, AContradictionIsSaidAndLeavesTheForecastWide")
{
    Nest nest{"DMAC"};
    const auto before = nest.weights;
    CHECK(nest.see(look(Look::SeenAlive, 20)).heeded == Heeded::Contradicts);
    CHECK(nest.see(look(Look::Cells, 215, 400000)).heeded == Heeded::Contradicts);
    CHECK(nest.weights == before);
    // Traffic in the depth of winter.
    CHECK(nest.see(look(Look::Traffic, 20, 40)).heeded == Heeded::Contradicts);
}

TEST_CASE("Observations, FewCoursesAreNeverTheWholeForecast")
{
    Nest nest{"VGER"};
    const double day = 250;
    CHECK(nest.see(look(Look::Cells, day, 9000)).heeded != Heeded::Contradicts);
    auto more = look(Look::Traffic, day, 90);
    more.minutes = 30;
    (void)nest.see(more);
    CHECK(effective_number(nest.weights) > 11.9);
}

TEST_CASE("Observations, CellsCombsAndAreaAgree")
{
    const double day = 250;
    Nest cells{"VPEN"}, area{"VPEN"}, combs{"VPEN"}, plain{"VPEN"};
    (void)cells.see(look(Look::Cells, day, 8000));
    (void)area.see(look(Look::CombArea, day, 8000 / 5.0746));
    (void)combs.see(look(Look::Combs, day, 8));
    CHECK(cells.workers(day).middle > plain.workers(day).middle);
    CHECK(area.workers(day).middle == Approx(cells.workers(day).middle).epsilon(0.1));
    CHECK(combs.workers(day).middle > plain.workers(day).middle);
}

TEST_CASE("Observations, LargeCellsAndFlyingQueensMoveTheStage")
{
    const double day = 200;
    Nest nest{"DMAC"};
    const auto chance = [&] {
        const auto s = nest.season.stages(day, nest.weights);
        return s[static_cast<std::size_t>(Stage::Reproductives)];
    };
    const double before = chance();
    (void)nest.see(look(Look::LargeCells, day));
    CHECK(chance() > before);
    Nest none{"DMAC"};
    auto no = look(Look::LargeCells, day);
    no.yes = false;
    (void)none.see(no);
    CHECK(none.season.stages(day, none.weights)[static_cast<std::size_t>(Stage::Reproductives)] <
          before);
    // Queens or males on the wing in July say that the large cells are weeks old.
    (void)nest.see(look(Look::SexualsFlying, day));
    CHECK(chance() > 0.9);
}

TEST_CASE("Observations, AQuietNestIsSmallOrOver")
{
    Nest nest{"VMAC", 41};
    const double day = 320;
    const auto over = [&] {
        return nest.season.stages(day, nest.weights)[static_cast<std::size_t>(Stage::Over)];
    };
    const double before = over();
    auto quiet = look(Look::Traffic, day, 0);
    quiet.minutes = 10;
    (void)nest.see(quiet);
    CHECK(over() > before);
    CHECK(nest.workers(day).high < Nest{"VMAC"}.workers(day).high);
}
