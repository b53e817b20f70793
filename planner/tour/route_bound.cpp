#include "planner/tour/route_bound.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "planner/tour/bound.hpp"
#include "planner/tour/route_relaxation.hpp"

namespace nestround::tour {

namespace {

constexpr std::size_t kFirstWidths[] = {3, 6, 10, 14};
constexpr std::size_t kWidth = 8;     ///< of neighbourhoods under prices
constexpr std::size_t kNarrow = 3;    ///< the same, of the run that cuts the next one
constexpr double kFirstPrice = 0.25;  ///< of the prize, for jobs of the plan known
constexpr int kMostRounds = 3000;     ///< of prices
constexpr int kPatience = 12;         ///< rounds without a better bound before steps are shortened
constexpr double kShorter = 0.66;
constexpr double kLonger = 1.1;
constexpr double kLongest = 1.0;  ///< first step, of Polyak's
constexpr double kShortest = 0.01;
constexpr double kNewest = 0.1;  ///< weight of the last round's tours in the mean of all
constexpr std::int64_t kScale = 1024;
constexpr std::int64_t kMostScaled = std::int64_t{1} << 50U;

/// Whether no stop makes the rest of a tour quicker.
[[nodiscard]] bool is_direct(const Flat& flat)
{
    for (int b = 0; b < flat.jobs; ++b) {
        Time stay = kNever;
        for (int car = 0; car < flat.cars_count; ++car) {
            // Who may not do it does not stop there, and often has no time for it on record.
            if (flat.may[static_cast<std::size_t>(car) * flat.jobs + b] != 0) {
                stay = std::min(stay, flat.traffic.is_even() ? flat.service_of(b, car) : 0);
            }
        }
        if (stay == kNever) {
            continue;
        }
        for (int a = 0; a < flat.nodes; ++a) {
            const Time there = flat.drive(a, b);
            for (int c = 0; c < flat.nodes && there < kNever; ++c) {
                if (flat.drive(a, c) > there + stay + flat.drive(b, c)) {
                    return false;
                }
            }
        }
    }
    return true;
}

template <std::size_t W>
class RouteBound {
public:
    RouteBound(const Flat& flat, const Plan& known, std::uint64_t work)
        : flat_{flat}, plan_{known}, known_{known.objective.value()}, work_{work}
    {
        for (int car = 0; car < flat.cars_count; ++car) {
            const int kind = flat.cars[car].kind;
            const auto at = std::find(kinds_.begin(), kinds_.end(), kind);
            if (at == kinds_.end()) {
                kinds_.push_back(kind);
                counts_.push_back(1);
            } else {
                ++counts_[static_cast<std::size_t>(at - kinds_.begin())];
            }
        }
    }

    /// INT64_MAX when nothing could be worked out.
    std::int64_t run() { return flat_.cars_count == 1 ? of_one() : of_many(); }
    /// Of one vehicle.
    [[nodiscard]] const std::vector<int>& tour() const { return tour_; }

private:
    [[nodiscard]] std::vector<std::int64_t> prizes(int car, std::int64_t scale) const
    {
        std::vector<std::int64_t> result;
        for (int j = 0; j < flat_.jobs; ++j) {
            result.push_back(scale *
                             (flat_.value_of(j, car) - (flat_.must[j] != 0 ? flat_.bonus : 0)));
        }
        return result;
    }

    std::int64_t of_one()
    {
        std::int64_t bound = INT64_MAX;
        RouteRelaxation<W> tours{flat_, 0, 1};
        const auto prize = prizes(0, 1);
        const std::int64_t floor = std::max<std::int64_t>(known_, 0);
        bool backwards = true;
        bool joins = false;
        for (std::size_t pass = 0;; ++pass) {
            if (pass < std::size(kFirstWidths)) {
                tours.widen(kFirstWidths[pass]);
            }
            const std::int64_t best = tours.run(prize, backwards, joins, floor, work_);
            if (!tours.is_complete()) {
                return bound;
            }
            bound = std::min(bound, best);
            if (best > floor) {
                tour_ = tours.route();
                if (!backwards) {
                    std::reverse(tour_.begin(), tour_.end());  // labels know their past
                }
            }
            if (best == floor || (!tours.forbid_repeats() && pass + 1 >= std::size(kFirstWidths))) {
                return bound;
            }
            backwards = !backwards;
            joins = true;
        }
    }

    std::int64_t of_many()
    {
        std::vector<RouteRelaxation<W>> tours;
        for (const int kind : kinds_) {
            tours.emplace_back(flat_, kind, kScale);
            tours.back().widen(kWidth);
            tours.back().widen(kNarrow, true);
        }
        const auto jobs = static_cast<std::size_t>(flat_.jobs);
        std::vector<double> price(jobs, 0);
        for (const auto& tour : plan_.tours) {
            const auto prize = prizes(static_cast<int>(tour.vehicle), kScale);
            for (const auto& visit : tour.visits) {
                price[visit.job] =
                    std::max(0.0, kFirstPrice * static_cast<double>(prize[visit.job]));
            }
        }
        std::vector<double> highest(jobs, 0);
        for (const int kind : kinds_) {
            const auto prize = prizes(kind, kScale);
            for (std::size_t j = 0; j < jobs; ++j) {
                highest[j] = std::max(highest[j], static_cast<double>(prize[j]));
            }
        }
        std::vector<double> centre = price;
        std::vector<double> mean(jobs, 1);  // of what is free of each job
        std::vector<std::int64_t> usual(kinds_.size(), 0);
        std::int64_t bound = INT64_MAX;
        double length = kLongest;
        int idle = 0;
        for (int round = 0; round < kMostRounds && length > kShortest; ++round) {
            std::vector<double> slope(jobs, 1);
            const std::int64_t sum = value_at(tours, price, slope, usual);
            if (sum == INT64_MAX || std::min(sum, bound) / kScale <= known_) {
                return std::min(sum, bound) == INT64_MAX ? INT64_MAX
                                                         : std::min(sum, bound) / kScale;
            }
            double along = 0;
            for (std::size_t j = 0; j < jobs; ++j) {
                along += mean[j] * slope[j];
                mean[j] = round == 0 ? slope[j] : kNewest * slope[j] + (1 - kNewest) * mean[j];
            }
            if (sum < bound) {
                bound = sum;
                centre = price;
                length = along > 0 ? std::min(2.0, length * kLonger) : length;
                idle = 0;
            } else if (++idle >= kPatience) {
                length *= kShorter;
                idle = 0;
            }
            double square = 0;
            for (std::size_t j = 0; j < jobs; ++j) {
                // What is free and not wanted stays free.
                square += centre[j] <= 0 && mean[j] > 0 ? 0 : mean[j] * mean[j];
            }
            const double step =
                length * static_cast<double>(bound - known_ * kScale) / std::max(square, 1e-3);
            for (std::size_t j = 0; j < jobs; ++j) {
                price[j] = std::clamp(centre[j] - step * mean[j], 0.0, highest[j]);
            }
        }
        return bound / kScale;
    }

    /// The bound that these prices give, INT64_MAX when the work has ended; takes what the best
    /// tours use of each job from `slope`.
    std::int64_t value_at(std::vector<RouteRelaxation<W>>& tours, const std::vector<double>& price,
                          std::vector<double>& slope, std::vector<std::int64_t>& usual)
    {
        std::int64_t sum = 0;
        std::vector<std::int64_t> whole;
        for (const double one : price) {
            whole.push_back(std::llround(one));
            sum += whole.back();
        }
        std::int64_t value = 0;
        for (std::size_t k = 0; k < kinds_.size(); ++k) {
            auto prize = prizes(kinds_[k], kScale);
            for (std::size_t j = 0; j < prize.size(); ++j) {
                prize[j] -= whole[j];
            }
            // Tours worth no more than this need not be told apart: of one kind of vehicle they
            // would prove the plan, of several some of the last best ones do.
            const std::int64_t cutoff =
                std::max<std::int64_t>(0, kinds_.size() == 1 ? (known_ * kScale - sum) / counts_[k]
                                                             : usual[k] - usual[k] / 3);
            std::int64_t best = tours[k].run(prize, true, false, cutoff, work_, true);
            if (tours[k].is_complete() && best > cutoff) {
                best = tours[k].run(prize, false, true, cutoff, work_);
            }
            if (!tours[k].is_complete()) {
                return INT64_MAX;
            }
            usual[k] = best;
            value += counts_[k] * best;
            for (const int j : tours[k].route()) {
                slope[j] -= static_cast<double>(counts_[k]);
            }
            tours[k].forbid_repeats();
        }
        return sum + value;
    }

    const Flat& flat_;
    const Plan& plan_;
    std::int64_t known_;
    std::uint64_t work_;
    std::vector<int> tour_;
    std::vector<int> kinds_;
    std::vector<std::int64_t> counts_;
};

/// What all values of plans are multiples of.
[[nodiscard]] std::int64_t step_of(const Problem& problem)
{
    std::int64_t step = 0;
    for (const auto& vehicle : problem.vehicles()) {
        step = std::gcd(step, vehicle.cost_per_second.value());
        step = std::gcd(step, vehicle.fixed_cost.value());
        step = std::gcd(step, vehicle.overtime ? vehicle.overtime->cost_per_second.value() : 0);
    }
    for (const auto& job : problem.jobs()) {
        for (const auto& prize : job.prize) {
            step = std::gcd(step, prize.value());
        }
    }
    return std::max<std::int64_t>(step, 1);
}

template <std::size_t W>
[[nodiscard]] RouteBoundResult bound_of(const Flat& flat, const Plan& known, std::uint64_t work)
{
    RouteBound<W> bound{flat, known, work};
    RouteBoundResult result;
    result.bound = Points{bound.run()};
    std::vector<int> once = bound.tour();
    std::sort(once.begin(), once.end());
    if (std::adjacent_find(once.begin(), once.end()) == once.end()) {
        for (const int job : bound.tour()) {
            result.tour.push_back(static_cast<std::size_t>(job));
        }
    }
    return result;
}

}  // namespace

RouteBoundResult best_bound(const Problem& problem, const Plan& known, std::uint64_t work)
{
    RouteBoundResult simple;
    simple.bound = upper_bound(problem);
    if (problem.jobs().empty() || problem.vehicles().empty() ||
        problem.jobs().size() > kBoundJobs || simple.bound <= known.objective) {
        return simple;
    }
    const Flat flat{problem};
    std::vector<int> kinds;
    for (const auto& car : flat.cars) {
        kinds.push_back(car.kind);
    }
    std::sort(kinds.begin(), kinds.end());
    kinds.erase(std::unique(kinds.begin(), kinds.end()), kinds.end());
    if (kinds.size() > kBoundKinds || flat.bonus > kMostScaled / kScale || !is_direct(flat)) {
        return simple;
    }
    RouteBoundResult result;
    if (problem.jobs().size() <= 64) {
        result = bound_of<1>(flat, known, work);
    } else if (problem.jobs().size() <= 128) {
        result = bound_of<2>(flat, known, work);
    } else if (problem.jobs().size() <= 256) {
        result = bound_of<4>(flat, known, work);
    } else {
        result = bound_of<5>(flat, known, work);
    }
    const std::int64_t bound = std::min(result.bound, simple.bound).value();
    const std::int64_t step = step_of(problem);
    result.bound = Points{bound - (bound % step + step) % step};
    return result;
}

}  // namespace nestround::tour
