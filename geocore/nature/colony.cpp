#include "geocore/nature/colony.hpp"

#include <algorithm>
#include <cmath>

namespace nestround::nature {

namespace {

constexpr double kLeastFood = 0.02;
constexpr double kMostFood = 4;
constexpr double kCloseEnough = 0.02;  // of the peak
constexpr int kMostRuns = 12;
constexpr double kSlope = 2.2;       // of the peak's logarithm by the food's, about
constexpr double kFlat = 0.05;       // a slope at which food is no longer the limit
constexpr double kMostQueen = 1.31;  // of the logarithm: a queen of 3.7 times the eggs
constexpr double kStopDays = 12;     // in which laying dies away
constexpr double kWinterLaying = 0.35;

}  // namespace

Colony::Colony(const ColonyParameters& parameters) : p_{parameters}
{
    survive_ = std::cbrt(1 - p_.brood_loss);
    egg_pass_ = decltype(eggs_)::pass_of(p_.egg_days);
    larva_pass_ = decltype(larvae_)::pass_of(p_.larva_days);
    sealed_pass_ = decltype(sealed_)::pass_of(p_.sealed_days);
    large_larva_pass_ = decltype(larvae_)::pass_of(p_.larva_days * p_.large_ratio);
    large_sealed_pass_ = decltype(sealed_)::pass_of(p_.sealed_days * p_.large_ratio);
    life_pass_ = decltype(workers_)::pass_of(p_.worker_life);
    first_brood_ = p_.first_workers;
    small_cells_ = first_brood_;
    state_.eggs_laid = first_brood_;
    note();
}

void Colony::lay()
{
    const double workers = force_;
    // The queen alone builds and lays steadily, up to her cells.
    const double brood = first_brood_ + small_brood_ + waiting_;
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
        const double want = std::min(large_target_ / p_.fill_days, large_target_ - large_brood_);
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
    const double in_small = p_.separate_large ? brood : brood + large_brood_;
    const double wanted = (in_small + small) * (workers > 0 ? 1 + p_.spare_cells : 1);
    const double can = p_.founding_eggs + p_.cells_per_worker * workers;
    small_cells_ += std::clamp(wanted - small_cells_, 0.0, can);
    new_small_ = std::clamp(small, 0.0, std::max(0.0, small_cells_ - in_small));
    if (p_.separate_large) {
        large_cells_ = std::max(large_cells_, large_brood_ + new_large_);
    }
    state_.eggs_laid += new_small_ + new_large_;
    state_.sexual_eggs += new_large_;
}

void Colony::step()
{
    ++day_;
    lay();
    const double hatched = eggs_.step(new_small_, egg_pass_) * survive_;
    const double spun = larvae_.step(hatched, larva_pass_) * survive_;
    double emerged = sealed_.step(spun, sealed_pass_) * survive_;
    double sexuals = 0;
    if (state_.sexual_eggs > 0) {
        const double large_hatched = large_eggs_.step(new_large_, egg_pass_) * survive_;
        const double large_spun = large_larvae_.step(large_hatched, large_larva_pass_) * survive_;
        sexuals = large_sealed_.step(large_spun, large_sealed_pass_) * survive_;
    }

    if (day_ < p_.first_workers_on) {
        waiting_ += emerged;  // nobody emerges before the first, who come together
        emerged = 0;
    } else if (first_brood_ > 0) {
        emerged += std::max(first_brood_, waiting_);
        first_brood_ = 0;
        waiting_ = 0;
    }
    // After the decline workers die faster, so that next to none is left at the end.
    double pass = life_pass_;
    if (day_ > p_.decline_on && !p_.lives_on) {
        const double life = std::min(p_.worker_life, std::max(1.0, (p_.end_on - day_) / 3));
        pass = decltype(workers_)::pass_of(life);
    }
    workers_.step(emerged, pass);
    gynes_ += sexuals * p_.gyne_share - gynes_ / p_.leave_days;
    males_ += sexuals * (1 - p_.gyne_share) - males_ / p_.leave_days;
    state_.adults_made += emerged + sexuals;
    note();
}

void Colony::note()
{
    const bool yet = first_brood_ > 0;
    // The first brood is together in one stage: the one that its age says.
    double egg_end = 0;
    double larva_end = 0;
    if (yet) {
        const double scale = p_.first_workers_on / (p_.egg_days + p_.larva_days + p_.sealed_days);
        egg_end = scale * p_.egg_days;
        larva_end = scale * (p_.egg_days + p_.larva_days);
    }
    const auto put = [&](Part part, double value) {
        state_.values[static_cast<std::size_t>(part)] = value;
    };
    const double eggs = eggs_.total();
    const double larvae = larvae_.total();
    const double sealed = sealed_.total();
    small_brood_ = eggs + larvae + sealed;
    double large_eggs = 0;
    double large_larvae = 0;
    double large_sealed = 0;
    if (state_.sexual_eggs > 0) {
        large_eggs = large_eggs_.total();
        large_larvae = large_larvae_.total();
        large_sealed = large_sealed_.total();
        large_brood_ = large_eggs + large_larvae + large_sealed;
    }
    force_ = workers_.total();
    put(Part::Workers, force_);
    put(Part::Eggs, eggs + large_eggs + (yet && day_ < egg_end ? first_brood_ : 0));
    put(Part::Larvae,
        larvae + large_larvae + (yet && day_ >= egg_end && day_ < larva_end ? first_brood_ : 0));
    put(Part::SealedSmall, sealed + (yet && day_ >= larva_end ? first_brood_ : 0));
    put(Part::SealedLarge, large_sealed);
    put(Part::Gynes, gynes_);
    put(Part::Males, males_);
    put(Part::SmallCells, small_cells_);
    put(Part::LargeCells, large_cells_);
}

void run_to_decline(const ColonyParameters& parameters, ColonyRun& run)
{
    run.colony = Colony{parameters};
    run.peak = {};
    run.days.clear();
    run.days.push_back(run.colony.state());
    const int last = static_cast<int>(std::ceil(parameters.decline_on));
    while (run.colony.day() < last) {
        run.colony.step();
        run.days.push_back(run.colony.state());
        const double workers = run.colony.state().of(Part::Workers);
        if (workers > run.peak.workers) {
            run.peak = {workers, run.colony.day()};
        }
    }
}

ColonyPeak colony_peak(const ColonyParameters& parameters)
{
    ColonyRun run;
    run_to_decline(parameters, run);
    return run.peak;
}

double food_of_growth(const ColonyParameters& p, double workers)
{
    const double brood = p.egg_days + p.larva_days + p.sealed_days;
    const double time = std::max(20.0, p.fade_on + brood - p.first_workers_on);
    // So many workers would stand there by the queen's laying alone, early on.
    const double start = p.first_workers + p.founding_eggs * p.worker_life / 2;
    const double rate = std::max(0.002, std::log(std::max(1.1, workers / start)) / time);
    const double more = std::expm1(rate);
    const auto chain = [&](double pass, int boxes) {
        return std::pow(pass / (more + pass), boxes);
    };
    const double reared = (1 - p.brood_loss) *
                          chain(StageChain<kEggBoxes>::pass_of(p.egg_days), kEggBoxes) *
                          chain(StageChain<kLarvaBoxes>::pass_of(p.larva_days), kLarvaBoxes) *
                          chain(StageChain<kSealedBoxes>::pass_of(p.sealed_days), kSealedBoxes);
    const double alive =
        (1 - chain(StageChain<kLifeBoxes>::pass_of(p.worker_life), kLifeBoxes)) / more;
    return 1 / (reared * alive);
}

ColonyPeak calibrate_colony(ColonyParameters& parameters, double workers)
{
    ColonyRun run;
    return calibrate_colony(parameters, workers, std::log(food_of_growth(parameters, workers)) + 1,
                            run);
}

namespace {

/// A late or slow colony needs a better queen, or, in Polistes, more of them. The peak follows her
/// about one to one: secants on the logarithms again, from a run that missed by `miss`.
void calibrate_queen(ColonyParameters& parameters, double workers, double miss, int runs,
                     ColonyRun& run)
{
    const ColonyParameters before = parameters;
    double at = 0;
    double slope = 1;
    for (; runs > 0; --runs) {
        const double next = std::clamp(at - miss / slope, 0.0, kMostQueen);
        if (next == at) {
            return;  // it stays smaller, or the queen that it had was enough
        }
        const double by = std::exp(next);
        parameters.queen_most = before.queen_most * by;
        if (!parameters.separate_large) {
            parameters.founding_eggs = before.founding_eggs * by;
            parameters.founding_cells = before.founding_cells * by;
        }
        run_to_decline(parameters, run);
        const double now = std::log(std::max(run.peak.workers, 1e-3) / workers);
        if (std::abs(now) < kCloseEnough) {
            return;
        }
        slope = std::clamp((now - miss) / (next - at), 0.2, 5.0);
        at = next;
        miss = now;
    }
}

}  // namespace

ColonyPeak calibrate_colony(ColonyParameters& parameters, double workers, double first_try,
                            ColonyRun& run)
{
    // The peak grows with the food of a worker: secants on the logarithms, kept inside what is
    // known to be too little and too much.
    const double least = std::log(kLeastFood);
    const double most = std::log(kMostFood);
    double low = least;
    double high = most;
    double at = std::clamp(first_try, least, most);
    double before = at;
    double miss_before = 0;
    for (int tries = 0; tries < kMostRuns; ++tries) {
        parameters.eggs_per_worker = std::exp(at);
        run_to_decline(parameters, run);
        const double miss = std::log(std::max(run.peak.workers, 1e-3) / workers);
        if (std::abs(miss) < kCloseEnough || (miss > 0 && at <= least)) {
            break;
        }
        double slope = kSlope;
        if (tries > 0 && at != before) {
            slope = (miss - miss_before) / (at - before);
        }
        if (miss < 0 && (at >= most || slope < kFlat)) {
            // More food would bring next to nothing: it is the queen who cannot lay enough.
            calibrate_queen(parameters, workers, miss, kMostRuns - tries, run);
            break;
        }
        slope = std::clamp(slope, 0.05, 20.0);
        (miss > 0 ? high : low) = at;
        before = at;
        miss_before = miss;
        const double next = at - miss / slope;
        if (next >= high && high == most) {
            at = most;
        } else if (next <= low && low == least) {
            at = least;
        } else {
            // A step out of the bracket would learn nothing new.
            at = next > low && next < high ? next : (low + high) / 2;
        }
    }
    return run.peak;
}

double combs_of(double cells)
{
    constexpr double scale = 0.558;
    constexpr double power = 0.3;
    return cells < 1 ? 0 : std::max(1.0, scale * std::pow(cells, power));
}

}  // namespace nestround::nature
