// Sixty habitats over 90 days: forecast and rounds, against the rounds alone and a longer horizon.
#include <fmt/core.h>

#include <chrono>
#include <cstddef>

#include "planner/brood/brood_plan.hpp"

using namespace nestround;

namespace {

brood::BroodInput sixty_habitats(int days)
{
    brood::BroodInput input;
    input.on = Day{std::chrono::year{2026} / 8 / 20};
    input.days = days;
    input.figures = brood::brood_figures(nature::standard_taxa(), "all");
    for (int h = 0; h < 60; ++h) {
        brood::StandingHabitat standing;
        standing.habitat.name = fmt::format("box {}", h);
        standing.habitat.place = fmt::format("place {}", h % 6);
        standing.habitat.trip_min = h % 6 == 0 ? 0 : 30;
        standing.habitat.combs = 1;
        brood::StandingComb comb;
        comb.taxon = h % 2 == 0 ? "VMAC" : "DMAC";
        comb.first_day = -(h % 12);
        comb.input.figures = brood::brood_figures(nature::standard_taxa(), comb.taxon);
        comb.input.brood.sealed_small = 300 + 20 * h;
        comb.input.brood.sealed_large = 5 * h;
        comb.input.brood.larvae = 200;
        comb.input.growth = {{-0.02, 0.02, 0.05}, {0, 0.05, 0.1}};
        brood::WarmthInput warm;
        warm.midnight = warm.stands_from = input.on + std::chrono::days{comb.first_day};
        warm.days = days - comb.first_day;
        warm.set_point = Celsius{28.0 + h % 4};
        comb.input.warmth = brood::warm_days(warm, comb.input.figures);
        if (comb.first_day < -3) {
            comb.input.taken = {{3, 60.0, 2.0, 0}};
        }
        standing.combs.push_back(std::move(comb));
        input.habitats.push_back(std::move(standing));
    }
    return input;
}

double seconds_for(const brood::BroodInput& input, std::size_t& rounds)
{
    const auto begun = std::chrono::steady_clock::now();
    const auto plan = brood::plan_brood(input);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
    rounds = plan.rounds.rounds.size();
    return took.count();
}

}  // namespace

int main()
{
    std::size_t rounds = 0;
    const double ninety = seconds_for(sixty_habitats(90), rounds);
    fmt::print("60 habitats, 90 days, 6 places: {:.2f} s (limit 1 s), {} rounds\n", ninety, rounds);
    const double half = seconds_for(sixty_habitats(45), rounds);
    fmt::print("45 days: {:.2f} s; twice the days take {:.1f} times as long\n", half,
               ninety / half);
}
