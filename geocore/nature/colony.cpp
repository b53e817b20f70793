#include "geocore/nature/colony.hpp"

#include <algorithm>
#include <cmath>

namespace nestround::nature {

namespace {

constexpr double kLeastFood = 0.02;
constexpr double kMostFood = 4;
constexpr double kCloseEnough = 0.02;  // of the peak
constexpr int kMostRuns = 12;
constexpr int kMoreQueen = 5;
constexpr double kQueenStep = 1.3;
constexpr double kStopDays = 12;  // in which laying dies away
constexpr double kWinterLaying = 0.35;

}  // namespace

Colony::Colony(const ColonyParameters& parameters) : p_{parameters}
{
    survive_ = std::cbrt(1 - p_.brood_loss);
    first_brood_ = p_.first_workers;
    small_cells_ = first_brood_;
    state_.eggs_laid = first_brood_;
    note();
}

void Colony::lay()
{
    const double workers = workers_.total();
    // The queen alone builds and lays steadily, up to her cells.
    const double brood =
        first_brood_ + eggs_.total() + larvae_.total() + sealed_.total() + waiting_;
    double alone = p_.founding_eggs;
    if (workers <= 0) {
        // Her cells fill just by the day when the first workers help: no pause, so no gap later.
        alone = std::min(alone, (p_.founding_cells - p_.first_workers) / p_.first_workers_on);
    }
    // Food and queen: each alone would be the limit, together they bend into each other.
    double eggs =
        -p_.queen_most * std::expm1(-(alone + p_.eggs_per_worker * workers) / p_.queen_most);
    double stop = 1;
    if (day_ > p_.stop_on) {
        stop = std::exp(-(day_ - p_.stop_on) / kStopDays);
        stop = p_.lives_on ? std::max(stop, kWinterLaying) : stop;
    }
    eggs *= stop;

    new_large_ = 0;
    if (day_ >= p_.switch_on && workers > 0) {
        if (large_target_ < 0) {
            large_target_ = 0;
        }
        // The nest in its full size is not known yet on the day of the switch: the plan follows it.
        large_target_ = std::max(large_target_, p_.large_per_small * small_cells_);
        const double in_large = large_eggs_.total() + large_larvae_.total() + large_sealed_.total();
        const double want = std::min(large_target_ / p_.fill_days, large_target_ - in_large);
        new_large_ = std::clamp(want, 0.0, p_.queen_most) * stop;
        if (!p_.separate_large) {
            new_large_ = std::min(new_large_, eggs);
        }
    }
    double small = eggs;
    if (day_ >= p_.fade_on) {
        small *= p_.kept;
    }
    if (!p_.separate_large) {
        small = std::max(0.0, small - new_large_);
    }
    // Cells: the workers build what is wanted, and no egg is laid without one.
    const double in_small = p_.separate_large ? brood
                                              : brood + large_eggs_.total() +
                                                    large_larvae_.total() + large_sealed_.total();
    const double wanted = (in_small + small) * (workers > 0 ? 1 + p_.spare_cells : 1);
    const double can = p_.founding_eggs + p_.cells_per_worker * workers;
    small_cells_ += std::clamp(wanted - small_cells_, 0.0, can);
    new_small_ = std::clamp(small, 0.0, std::max(0.0, small_cells_ - in_small));
    if (p_.separate_large) {
        const double full =
            large_eggs_.total() + large_larvae_.total() + large_sealed_.total() + new_large_;
        large_cells_ = std::max(large_cells_, full);
    }
    state_.eggs_laid += new_small_ + new_large_;
    state_.sexual_eggs += new_large_;
}

void Colony::step()
{
    ++day_;
    lay();
    const double hatched = eggs_.step(new_small_, p_.egg_days) * survive_;
    const double spun = larvae_.step(hatched, p_.larva_days) * survive_;
    double emerged = sealed_.step(spun, p_.sealed_days) * survive_;
    const double large_hatched = large_eggs_.step(new_large_, p_.egg_days) * survive_;
    const double large_spun =
        large_larvae_.step(large_hatched, p_.larva_days * p_.large_ratio) * survive_;
    const double sexuals =
        large_sealed_.step(large_spun, p_.sealed_days * p_.large_ratio) * survive_;

    if (day_ < p_.first_workers_on) {
        waiting_ += emerged;  // nobody emerges before the first, who come together
        emerged = 0;
    } else if (first_brood_ > 0) {
        emerged += std::max(first_brood_, waiting_);
        first_brood_ = 0;
        waiting_ = 0;
    }
    // After the decline workers die faster, so that next to none is left at the end.
    double life = p_.worker_life;
    if (day_ > p_.decline_on && !p_.lives_on) {
        life = std::min(life, std::max(1.0, (p_.end_on - day_) / 3));
    }
    workers_.step(emerged, life);
    gynes_ += sexuals * p_.gyne_share - gynes_ / p_.leave_days;
    males_ += sexuals * (1 - p_.gyne_share) - males_ / p_.leave_days;
    state_.adults_made += emerged + sexuals;
    note();
}

void Colony::note()
{
    const bool yet = first_brood_ > 0;
    // The first brood is together in one stage: the one that its age says.
    const double egg_end =
        p_.first_workers_on * p_.egg_days / (p_.egg_days + p_.larva_days + p_.sealed_days);
    const double larva_end = p_.first_workers_on * (p_.egg_days + p_.larva_days) /
                             (p_.egg_days + p_.larva_days + p_.sealed_days);
    const auto put = [&](Part part, double value) {
        state_.values[static_cast<std::size_t>(part)] = value;
    };
    put(Part::Workers, workers_.total());
    put(Part::Eggs,
        eggs_.total() + large_eggs_.total() + (yet && day_ < egg_end ? first_brood_ : 0));
    put(Part::Larvae, larvae_.total() + large_larvae_.total() +
                          (yet && day_ >= egg_end && day_ < larva_end ? first_brood_ : 0));
    put(Part::SealedSmall, sealed_.total() + (yet && day_ >= larva_end ? first_brood_ : 0));
    put(Part::SealedLarge, large_sealed_.total());
    put(Part::Gynes, gynes_);
    put(Part::Males, males_);
    put(Part::SmallCells, small_cells_);
    put(Part::LargeCells, large_cells_);
}

ColonyPeak colony_peak(const ColonyParameters& parameters)
{
    Colony colony{parameters};
    ColonyPeak peak;
    const int last = static_cast<int>(std::ceil(parameters.decline_on));
    while (colony.day() < last) {
        colony.step();
        const double workers = colony.state().of(Part::Workers);
        if (workers > peak.workers) {
            peak = {workers, colony.day()};
        }
    }
    return peak;
}

ColonyPeak calibrate_colony(ColonyParameters& parameters, double workers)
{
    // The peak grows with the food of a worker: a bracket on the logarithm, narrowed by false
    // position with halving (Illinois), which stays inside it.
    double low = std::log(kLeastFood);
    double high = std::log(kMostFood);
    const auto miss = [&](double log_food, ColonyPeak& peak) {
        parameters.eggs_per_worker = std::exp(log_food);
        peak = colony_peak(parameters);
        return std::log(std::max(peak.workers, 1e-3) / workers);
    };
    ColonyPeak peak;
    double at_high = miss(high, peak);
    for (int more = 0; at_high <= 0 && more < kMoreQueen; ++more) {
        // A late or slow colony needs a better queen, or, in Polistes, more of them.
        parameters.queen_most *= kQueenStep;
        if (!parameters.separate_large) {
            parameters.founding_eggs *= kQueenStep;
            parameters.founding_cells *= kQueenStep;
        }
        at_high = miss(high, peak);
    }
    if (at_high <= 0) {
        return peak;  // it stays smaller
    }
    double at_low = miss(low, peak);
    if (at_low >= 0) {
        return peak;
    }
    int side = 0;
    for (int run = 0; run < kMostRuns; ++run) {
        double at = (low * at_high - high * at_low) / (at_high - at_low);
        at = std::clamp(at, low + 0.05 * (high - low), high - 0.05 * (high - low));
        const double off = miss(at, peak);
        if (std::abs(off) < kCloseEnough) {
            break;
        }
        if (off > 0) {
            high = at;
            at_high = off;
            at_low = side == 1 ? at_low / 2 : at_low;
            side = 1;
        } else {
            low = at;
            at_low = off;
            at_high = side == -1 ? at_high / 2 : at_high;
            side = -1;
        }
    }
    return peak;
}

double combs_of(double cells)
{
    constexpr double scale = 0.558;
    constexpr double power = 0.3;
    return cells < 1 ? 0 : std::max(1.0, scale * std::pow(cells, power));
}

}  // namespace nestround::nature
