/// \file ages.hpp
/// \brief How old brood is on the day it is taken, and when cells of such ages are left.
///
/// Purpose:  two things that a comb does not show. How fast the colony grew, from its course in the
///           season: young brood is more frequent in a growing nest. And the share of sealed cells
///           that are left after so much development, when their ages are spread like that.
/// Units:    days at the reference temperature; growth a day.
/// Range:    growth between -0.2 and 0.2 a day; duration and its spread above 0.
/// Accuracy: integrals on 96 steps; against closed forms to 0.2 % (tests/published/brood).
/// Cost:     some microseconds a clock.
/// Errors:   none.
/// Source:   renewal theory: D. R. Cox, "Renewal Theory" (1962), chapter 5; stable ages of a
/// growing
///           population: A. J. Lotka (1907).
#pragma once

#include <array>
#include <optional>
#include <span>

#include "geocore/base/spread.hpp"
#include "geocore/nature/season.hpp"

namespace nestround::brood {

/// Growth of sealed brood over the days before it was taken.
struct SealedGrowth {
    Spread<double> small{0, 0, 0};
    Spread<double> large{0, 0, 0};
};
/// From the courses of a nest, weighed as yield::Forecaster gives them.
[[nodiscard]] SealedGrowth sealed_growth(const nature::Season& season, double day,
                                         std::span<const double> weights);

/// What a comb of so many cells holds on a day; medians over the courses, adding up to 1.
struct CellShares {
    double eggs = 0;
    double larvae = 0;
    double sealed_small = 0;
    double sealed_large = 0;
    double empty = 1;
    double doubt = 0.5;  ///< of the sealed share: standard deviation of its logarithm
};
/// Of sealed brood, the share that becomes queens and males: what sealed small cells hold of them
/// where there are no large ones. Median over the courses.
[[nodiscard]] double sexual_share(const nature::Season& season, double day,
                                  std::span<const double> weights);
[[nodiscard]] CellShares cell_shares(const nature::Season& season, double day,
                                     std::span<const double> weights);

/// Sealed brood as a clock: how much of it has left after so much development.
class EmergenceClock {
public:
    /// Sealed days of a cell are lognormal with this mean and this standard deviation over mean.
    EmergenceClock(double mean_days, double cv, double growth);

    /// Share of cells, sealed at the beginning, that have opened after `development` days. Ages
    /// between `least` and `most` where known, else as the growth leaves them.
    [[nodiscard]] double left_by(double development, std::optional<double> least = {},
                                 std::optional<double> most = {}) const;
    /// The same of larvae that spin within `ripe` days from now, evenly.
    [[nodiscard]] double larvae_left_by(double development, double ripe) const;

private:
    static constexpr std::size_t kSteps = 96;
    [[nodiscard]] double sum_to(const std::array<double, kSteps + 1>& sums, double x) const;

    double step_ = 1;
    double growth_ = 0;
    std::array<double, kSteps + 1> weighed_{};  // of exp(-growth a) times the share still sealed
    std::array<double, kSteps + 1> even_{};     // the same without growth
};

}  // namespace nestround::brood
