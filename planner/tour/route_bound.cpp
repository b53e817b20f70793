#include "planner/tour/route_bound.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>

#include "planner/tour/bound.hpp"
#include "planner/tour/checker.hpp"
#include "planner/tour/route_master.hpp"

#include "planner/tour/route_packing.hpp"
#include "planner/tour/route_relaxation.hpp"
#include "planner/tour/schedule.hpp"

namespace nestround::tour {

namespace {

constexpr std::size_t kFirstWidths[] = {3, 6, 10, 14};
constexpr std::size_t kWidth = 8;     ///< of neighbourhoods under prices
constexpr std::size_t kNarrow = 3;    ///< the same, of the run that cuts the next one
constexpr int kMostRounds = 3000;     ///< of prices
constexpr std::size_t kColumns = 24;  ///< tours taken of a look for the best one
constexpr int kMostAgain = 12;        ///< looks, until the best tour is a real one
constexpr double kInside = 0.3;       ///< how far from the master's prices towards the best ones
constexpr double kCloseEnough = 1e-5;
constexpr int kMostIdle = 10;       ///< looks without a new tour: the rest is rounding
constexpr double kFirstTry = 0.03;  ///< gap to the plan known, as a share, at which all tours that
                                    ///< a better plan could have are listed
constexpr double kNextTry = 0.6;    ///< of that gap, after there were too many
constexpr std::uint64_t kTryLooks = 3;  ///< work of such a try, in looks
constexpr std::size_t kMostListed = 1'000'000;
constexpr std::size_t kMostPivots = 2000;
constexpr std::uint64_t kFlopsALook = 8;
constexpr std::int64_t kMostShared = std::int64_t{1} << 45U;
constexpr std::int64_t kScale = 1024;
constexpr std::int64_t kMostScaled = std::int64_t{1} << 50U;

/// The quickest way from node to node, stops on it taking no time.
[[nodiscard]] std::vector<Time> least_drives(const Flat& flat)
{
    std::vector<Time> least = flat.out;
    const auto nodes = static_cast<std::size_t>(flat.nodes);
    for (std::size_t via = 0; via < nodes; ++via) {
        for (std::size_t a = 0; a < nodes; ++a) {
            const Time there = least[a * nodes + via];
            for (std::size_t b = 0; b < nodes && there < kNever; ++b) {
                least[a * nodes + b] =
                    std::min(least[a * nodes + b], there + least[via * nodes + b]);
            }
        }
    }
    return least;
}

template <std::size_t W>
class RouteBound {
public:
    RouteBound(const Problem& problem, const Flat& flat, const Plan& known, std::uint64_t work)
        : problem_{problem},
          flat_{flat},
          plan_{known},
          known_{known.objective.value()},
          work_{work},
          least_{least_drives(flat)}
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
        takes_musts_ = std::none_of(known.unserved.begin(), known.unserved.end(),
                                    [&](std::size_t j) { return flat.must[j] != 0; });
    }

    /// INT64_MAX when nothing could be worked out.
    std::int64_t run()
    {
        // What its tour alone does not show: what it must take, and what follows or is shared.
        const bool is_tied = flat_.has_links || flat_.has_shared ||
                             (takes_musts_ && std::any_of(flat_.must.begin(), flat_.must.end(),
                                                          [](auto must) { return must != 0; }));
        return flat_.cars_count == 1 && !is_tied ? of_one() : of_many();
    }
    /// Of one vehicle.
    [[nodiscard]] const std::vector<int>& tour() const { return tour_; }
    /// Of all, better than the plan known, or empty.
    [[nodiscard]] const std::vector<std::vector<int>>& tours() const { return tours_; }

private:
    using Relaxation = RouteRelaxation<W>;
    using Memory = typename Relaxation::Memory;

    /// What each thing costs of which there is only so much, in points times kScale.
    struct Prices {
        std::vector<double> rows;         ///< as the master's, in its unit
        std::vector<std::int64_t> whole;  ///< the same, rounded
        std::vector<std::int64_t> jobs;   ///< all that a job uses
        std::int64_t sum = 0;             ///< of all there is, vehicles aside
        std::vector<std::int64_t> best;   ///< by kind: no tour is worth more, at these prices
        std::int64_t bound = INT64_MAX;
    };

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
        Relaxation tours{flat_, least_, 0, 1};
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
            }
            const bool repeats = tours.forbid_repeats();
            const bool is_heavy = tours.hold();
            // Backwards, overtime is free: the way forwards has the last word.
            if (best == floor || (!repeats && !is_heavy && pass + 1 >= std::size(kFirstWidths) &&
                                  (!backwards || flat_.cars[0].cost_over == 0))) {
                return bound;
            }
            backwards = !backwards;
            joins = true;
        }
    }

    void add_rows()
    {
        const auto prize_of = [&](int kind) { return prizes(kind, 1); };
        unit_ = 1;
        for (const int kind : kinds_) {
            for (const auto prize : prize_of(kind)) {
                unit_ = std::max(unit_, static_cast<double>(std::abs(prize)));
            }
            tours_of_.emplace_back(flat_, least_, kind, kScale);
            tours_of_.back().widen(kWidth);
            tours_of_.back().widen(kNarrow, true);
        }
        for (int j = 0; j < flat_.jobs; ++j) {
            master_.add_row(1, takes_musts_ && flat_.must[j] != 0);
            amounts_.push_back(1);
        }
        for (const auto count : counts_) {
            master_.add_row(static_cast<double>(count), false);
            amounts_.push_back(0);  // counted by what their tours are worth
        }
        for (int r = 0; r < flat_.resources; ++r) {
            std::int64_t asked = 0;
            for (int j = 0; j < flat_.jobs; ++j) {
                asked += flat_.demand[j * flat_.resources + r];
            }
            if (flat_.shared[r] < asked && asked < kMostShared) {
                shared_.push_back(r);
                // In shares of it all.
                master_.add_row(1, false);
                amounts_.push_back(1);
            }
        }
        for (int j = 0; j < flat_.jobs; ++j) {
            if (flat_.leader[j] >= 0) {
                followers_.push_back(j);
                master_.add_row(0, false);
                amounts_.push_back(0);
            }
        }
    }

    [[nodiscard]] double share(int j, int r) const
    {
        const auto most = static_cast<double>(std::max<std::int64_t>(1, flat_.shared[r]));
        return static_cast<double>(flat_.demand[j * flat_.resources + r]) / most;
    }
    [[nodiscard]] std::size_t row_of_shared() const
    {
        return static_cast<std::size_t>(flat_.jobs) + kinds_.size();
    }

    void fill(Prices& prices) const
    {
        const double scale = unit_ * static_cast<double>(kScale);
        prices.whole.clear();
        for (const double price : prices.rows) {
            prices.whole.push_back(std::llround(price * scale));
        }
        prices.jobs.assign(prices.whole.begin(), prices.whole.begin() + flat_.jobs);
        std::size_t row = row_of_shared();
        for (const int r : shared_) {
            for (int j = 0; j < flat_.jobs; ++j) {
                // Rounded down: what all use together then costs no more than what there is.
                prices.jobs[j] += static_cast<std::int64_t>(
                    std::floor(static_cast<double>(prices.whole[row]) * share(j, r) * (1 - 1e-12)));
            }
            ++row;
        }
        for (const int j : followers_) {
            prices.jobs[j] += prices.whole[row];
            prices.jobs[flat_.leader[j]] -= prices.whole[row];
            ++row;
        }
        prices.sum = 0;
        for (std::size_t i = 0; i < amounts_.size(); ++i) {
            prices.sum += amounts_[i] * prices.whole[i];
        }
    }

    [[nodiscard]] std::vector<std::int64_t> prizes_at(std::size_t k, const Prices& prices) const
    {
        auto prize = prizes(kinds_[k], kScale);
        for (std::size_t j = 0; j < prize.size(); ++j) {
            prize[j] -= prices.jobs[j];
        }
        return prize;
    }

    void add_column(std::size_t k, const std::vector<int>& jobs, std::int64_t worth)
    {
        std::vector<int> key = jobs;
        std::sort(key.begin(), key.end());
        key.push_back(static_cast<int>(k));
        auto [at, is_new] = known_columns_.try_emplace(std::move(key), worth);
        if (!is_new && at->second >= worth) {
            return;
        }
        at->second = worth;
        std::vector<RouteMaster::Entry> entries;
        for (const int j : jobs) {
            entries.push_back({j, 1});
        }
        entries.push_back({flat_.jobs + static_cast<int>(k), 1});
        int row = static_cast<int>(row_of_shared());
        for (const int r : shared_) {
            double sum = 0;
            for (const int j : jobs) {
                sum += share(j, r);
            }
            entries.push_back({row++, sum});
        }
        for (const int j : followers_) {
            const auto has = [&](int job) {
                return std::find(jobs.begin(), jobs.end(), job) != jobs.end() ? 1 : 0;
            };
            const int net = has(j) - has(flat_.leader[j]);
            if (net != 0) {
                entries.push_back({row, static_cast<double>(net)});
            }
            ++row;
        }
        master_.add_column(static_cast<double>(worth) / (unit_ * static_cast<double>(kScale)),
                           std::move(entries));
    }

    /// Columns for the tours found at these prices; how many are new.
    std::size_t add_columns(std::size_t k, const std::vector<RelaxedTour>& tours,
                            const Prices& prices)
    {
        const std::size_t before = master_.columns();
        for (const auto& tour : tours) {
            std::int64_t worth = tour.value;
            for (const int j : tour.jobs) {
                worth += prices.jobs[j];
            }
            add_column(k, tour.jobs, worth);
        }
        return master_.columns() - before;
    }

    void add_plan()
    {
        for (const auto& tour : plan_.tours) {
            std::vector<int> jobs;
            for (const auto& visit : tour.visits) {
                jobs.push_back(static_cast<int>(visit.job));
            }
            const int kind = flat_.cars[tour.vehicle].kind;
            const auto k = static_cast<std::size_t>(std::find(kinds_.begin(), kinds_.end(), kind) -
                                                    kinds_.begin());
            if (!jobs.empty()) {
                add_column(k, jobs, kScale * value_of(problem_, tour).value());
            }
        }
    }

    [[nodiscard]] std::int64_t cutoff(std::size_t k, const Prices& prices) const
    {
        return std::max<std::int64_t>(0, prices.whole[static_cast<std::size_t>(flat_.jobs) + k]);
    }

    bool solve_master(Prices& out)
    {
        const std::size_t pivots = master_.solve(kMostPivots);
        const std::size_t rows = amounts_.size();
        const std::uint64_t cost =
            (pivots + 1) * (rows * rows / 16 + master_.columns()) / kFlopsALook;
        work_ -= std::min(work_, cost);
        out.rows = master_.prices();
        fill(out);
        return work_ > 0;
    }

    /// Tours that are found quickly; how many are new.
    std::size_t look_quickly(const Prices& prices)
    {
        std::size_t added = 0;
        for (std::size_t k = 0; k < kinds_.size(); ++k) {
            const auto prize = prizes_at(k, prices);
            tours_of_[k].run(prize, false, false, cutoff(k, prices), work_, Memory::None);
            if (!tours_of_[k].is_complete()) {
                return 0;
            }
            added += add_columns(k, tours_of_[k].best_tours(kColumns), prices);
        }
        return added;
    }

    /// Fills best and bound; adds the tours found; false when the work has ended.
    bool look(Prices& prices, std::size_t& added)
    {
        prices.best.clear();
        std::int64_t bound = prices.sum;
        for (std::size_t k = 0; k < kinds_.size(); ++k) {
            const auto prize = prizes_at(k, prices);
            const std::int64_t floor = cutoff(k, prices);
            auto& tours = tours_of_[k];
            std::int64_t best = tours.run(prize, true, false, floor, work_, Memory::Narrow);
            for (int round = 0; tours.is_complete() && best > floor; ++round) {
                best = tours.run(prize, false, true, floor, work_);
                if (!tours.is_complete() || best <= floor) {
                    break;
                }
                const auto found = tours.best_tours(kColumns);
                const bool repeats = tours.forbid_repeats();
                const bool is_heavy = tours.hold();
                if (!found.empty() || round >= kMostAgain || !(repeats || is_heavy)) {
                    added += add_columns(k, found, prices);
                    break;
                }
            }
            if (!tours.is_complete()) {
                return false;
            }
            prices.best.push_back(best);
            bound += counts_[k] * best;
        }
        prices.bound = bound;
        return true;
    }

    /// Whether tours of their own may be part of a plan, as far as rows go.
    [[nodiscard]] bool keeps_rows(const std::vector<int>& served) const
    {
        const auto has = [&](int j) {
            return std::find(served.begin(), served.end(), j) != served.end();
        };
        for (int j = 0; j < flat_.jobs; ++j) {
            if (takes_musts_ && flat_.must[j] != 0 && !has(j)) {
                return false;
            }
        }
        for (const int r : shared_) {
            std::int64_t used = 0;
            for (const int j : served) {
                used += flat_.demand[j * flat_.resources + r];
            }
            if (used > flat_.shared[r]) {
                return false;
            }
        }
        return std::all_of(followers_.begin(), followers_.end(),
                           [&](int j) { return !has(j) || has(flat_.leader[j]); });
    }

    /// All tours that a plan better than the one known could have at these prices, and the best of
    /// their mixes; false when there are too many.
    bool close(const Prices& prices, std::uint64_t& work)
    {
        const std::int64_t gap = prices.bound - known_ * kScale;
        RoutePacking packing{flat_.jobs, known_ * kScale, prices.sum};
        for (std::size_t k = 0; k < kinds_.size(); ++k) {
            const auto prize = prizes_at(k, prices);
            const std::int64_t floor = prices.best[k] - gap;
            auto& tours = tours_of_[k];
            tours.run(prize, true, false, floor, work, Memory::Narrow);
            if (!tours.is_complete()) {
                return false;
            }
            const auto found = tours.all(prize, floor, kMostListed, work);
            if (!tours.is_complete()) {
                return false;
            }
            std::vector<PackedTour> list;
            for (const auto& tour : found) {
                if (tours.is_sound(tour.jobs)) {
                    std::int64_t worth = tour.value;
                    for (const int j : tour.jobs) {
                        worth += prices.jobs[j];
                    }
                    list.push_back({tour.jobs, tour.value, worth});
                }
            }
            packing.add_kind(std::move(list), counts_[k]);
        }
        const bool is_complete =
            packing.solve(work, [&](const std::vector<int>& served) { return keeps_rows(served); });
        if (!packing.plan().empty()) {
            best_found_ = packing.worth() / kScale;
            take_plan(packing.plan());
        }
        return is_complete;
    }

    /// Vehicles of one kind come after one another there, here as in the problem.
    void take_plan(const std::vector<std::vector<int>>& by_kind)
    {
        tours_.assign(static_cast<std::size_t>(flat_.cars_count), {});
        std::size_t next = 0;
        for (const int kind : kinds_) {
            for (int car = 0; car < flat_.cars_count; ++car) {
                if (flat_.cars[car].kind == kind) {
                    tours_[static_cast<std::size_t>(car)] = by_kind[next++];
                }
            }
        }
    }

    /// What lies closer to the best tours than the master's prices do; by itself where none of
    /// them are known.
    [[nodiscard]] Prices between(const Prices& in, const Prices& out) const
    {
        Prices result = out;
        if (in.bound < INT64_MAX) {
            for (std::size_t i = 0; i < result.rows.size(); ++i) {
                result.rows[i] = kInside * in.rows[i] + (1 - kInside) * out.rows[i];
            }
            fill(result);
        }
        return result;
    }

    /// Takes over prices whose bound is the least so far.
    void take(const Prices& prices, Prices& in) const
    {
        in = prices;
        for (std::size_t k = 0; k < kinds_.size(); ++k) {
            in.rows[static_cast<std::size_t>(flat_.jobs) + k] =
                static_cast<double>(in.best[k]) / (unit_ * static_cast<double>(kScale));
        }
        fill(in);
    }

    std::int64_t of_many()
    {
        add_rows();
        add_plan();
        const std::uint64_t all = work_;
        Prices in;
        int idle = 0;                 // looks in a row that found no tour
        double next_try = kFirstTry;  // gap at which listing all tours is tried
        for (int round = 0; round < kMostRounds; ++round) {
            Prices out;
            if (!solve_master(out)) {
                break;
            }
            // Prices that no look has gone into give no bound: half the work is kept for that.
            const bool may_wait = in.bound < INT64_MAX || work_ > all / 2;
            if (may_wait && look_quickly(out) > 0) {
                continue;
            }
            const std::uint64_t before = work_;
            Prices prices = between(in, out);
            std::size_t added = 0;
            if (work_ == 0 || !look(prices, added)) {
                break;
            }
            if (prices.bound < in.bound) {
                take(prices, in);
            }
            if (in.bound / kScale <= known_) {
                return known_;
            }
            const double value = master_.value() * unit_ * static_cast<double>(kScale);
            idle = added == 0 ? idle + 1 : 0;
            const bool is_last = idle >= kMostIdle || static_cast<double>(in.bound) - value <
                                                          kCloseEnough * std::abs(value);
            const double gap =
                1 - static_cast<double>(known_ * kScale) / static_cast<double>(in.bound);
            if (gap < next_try || is_last) {
                std::uint64_t share = is_last ? work_ : kTryLooks * (before - work_);
                share = std::min(work_, share);
                work_ -= share;
                const bool is_closed = close(in, share);
                work_ += share;
                if (is_closed) {
                    return std::max(known_, best_found_);
                }
                next_try = gap * kNextTry;
            }
            if (is_last) {
                break;
            }
        }
        return in.bound == INT64_MAX ? in.bound : std::max(known_, in.bound / kScale);
    }

    const Problem& problem_;
    const Flat& flat_;
    const Plan& plan_;
    std::int64_t known_;
    std::uint64_t work_;
    std::vector<Time> least_;
    std::vector<int> tour_;
    std::vector<std::vector<int>> tours_;
    std::vector<int> kinds_;
    std::vector<std::int64_t> counts_;
    bool takes_musts_ = false;
    std::int64_t best_found_ = 0;  ///< worth of tours_
    double unit_ = 1;              ///< points
    RouteMaster master_;
    std::vector<std::int64_t> amounts_;  ///< by row
    std::vector<int> shared_;            ///< resources with a row
    std::vector<int> followers_;         ///< jobs with a row
    std::vector<Relaxation> tours_of_;   ///< by kind
    std::map<std::vector<int>, std::int64_t> known_columns_;
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

/// The tours as a plan, when they are one that keeps all rules and is worth more than `known`.
[[nodiscard]] std::optional<Plan> better_plan(const Problem& problem, const Plan& known,
                                              const std::vector<std::vector<std::size_t>>& orders)
{
    auto tours = schedule_all(problem, orders);
    if (!tours) {
        return std::nullopt;
    }
    Plan plan = plan_of(problem, std::move(*tours));
    const bool is_better = plan.objective > known.objective && check(problem, plan).empty();
    return is_better ? std::optional{std::move(plan)} : std::nullopt;
}

template <std::size_t W>
[[nodiscard]] RouteBoundResult bound_of(const Problem& problem, const Flat& flat, const Plan& known,
                                        std::uint64_t work)
{
    RouteBound<W> bound{problem, flat, known, work};
    RouteBoundResult result;
    result.bound = Points{bound.run()};
    std::vector<int> once = bound.tour();
    std::sort(once.begin(), once.end());
    if (std::adjacent_find(once.begin(), once.end()) == once.end()) {
        result.tour.assign(bound.tour().begin(), bound.tour().end());
    }
    if (!bound.tours().empty()) {
        std::vector<std::vector<std::size_t>> orders;
        for (const auto& tour : bound.tours()) {
            orders.emplace_back(tour.begin(), tour.end());
        }
        result.better = better_plan(problem, known, orders);
    } else if (!result.tour.empty() && flat.cars_count == 1) {
        result.better = better_plan(problem, known, {result.tour});
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
    if (kinds.size() > kBoundKinds || flat.bonus > kMostScaled / kScale) {
        return simple;
    }
    RouteBoundResult result;
    if (problem.jobs().size() <= 64) {
        result = bound_of<1>(problem, flat, known, work);
    } else if (problem.jobs().size() <= 128) {
        result = bound_of<2>(problem, flat, known, work);
    } else if (problem.jobs().size() <= 256) {
        result = bound_of<4>(problem, flat, known, work);
    } else {
        result = bound_of<5>(problem, flat, known, work);
    }
    const std::int64_t bound = std::min(result.bound, simple.bound).value();
    const std::int64_t step = step_of(problem);
    result.bound = Points{bound - (bound % step + step) % step};
    return result;
}

}  // namespace nestround::tour
