#include "planner/tour/exact.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <limits>

#include "planner/tour/order_table.hpp"
#include "planner/tour/schedule.hpp"

namespace nestround::tour {

namespace {

constexpr std::int64_t kImpossible = std::numeric_limits<std::int64_t>::min() / 4;

/// The best order of one set of jobs for one vehicle.
struct Order {
    bool feasible = false;
    std::int64_t driving = 0;
    std::int64_t home = 0;
    std::vector<std::size_t> jobs;
};

[[nodiscard]] std::vector<std::size_t> members(Set set, const std::vector<std::size_t>& jobs)
{
    std::vector<std::size_t> result;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        if ((set >> i & 1U) != 0) {
            result.push_back(jobs[i]);
        }
    }
    return result;
}

/// The least driving of one set with live cargo in it. Arrivals home are tried in ascending order:
/// with the openings raised for an arrival `home`, an order that comes home no later than that
/// keeps its limits, and an order that cannot be home by its own true arrival is never skipped.
[[nodiscard]] Order best_live_order(const Problem& problem, std::size_t v,
                                    const std::vector<std::size_t>& jobs)
{
    const Set all = static_cast<Set>((std::size_t{1} << jobs.size()) - 1);
    Order best;
    std::int64_t home = 0;
    for (;;) {
        const OrderTable table{problem, v, jobs, home};
        std::int64_t next = std::numeric_limits<std::int64_t>::max();
        for (const auto& end : table.ends(all)) {
            if (best.feasible && end.driving >= best.driving) {
                continue;
            }
            if (end.home <= home) {
                best = {true, end.driving, end.home, table.order(end.label)};
            } else {
                next = std::min(next, end.home);
            }
        }
        if (next == std::numeric_limits<std::int64_t>::max()) {
            return best;
        }
        home = next;
    }
}

/// What a vehicle can do: its best order for each set of jobs.
class VehicleSets {
public:
    VehicleSets(const Problem& problem, std::size_t v, const std::vector<std::size_t>& jobs)
        : problem_{problem}, v_{v}, jobs_{jobs}, orders_(std::size_t{1} << jobs.size())
    {
        const OrderTable table{problem, v, jobs, kNoHome};
        orders_[0].feasible = true;
        for (Set set = 1; set < orders_.size(); ++set) {
            if (!fits(set)) {
                continue;
            }
            Order& order = orders_[set];
            for (const auto& end : table.ends(set)) {
                // Of equal driving, home sooner.
                if (!order.feasible ||
                    std::pair{end.driving, end.home} < std::pair{order.driving, order.home}) {
                    order = {true, end.driving, end.home, table.order(end.label)};
                }
            }
            if (order.feasible && is_live(set)) {
                order = best_live_order(problem, v, members(set, jobs));
            }
        }
    }

    [[nodiscard]] const Order& order(Set set) const { return orders_[set]; }

    /// Prizes less driving, with `bonus` for each must-take; kImpossible when it cannot be done.
    [[nodiscard]] std::int64_t value(Set set, std::int64_t bonus) const
    {
        if (!orders_[set].feasible) {
            return kImpossible;
        }
        std::int64_t value = -orders_[set].driving * problem_.vehicle(v_).cost_per_second.value();
        for (const auto j : members(set, jobs_)) {
            value += problem_.prize(j, v_).value() + (problem_.job(j).must_take ? bonus : 0);
        }
        return value;
    }

private:
    [[nodiscard]] bool fits(Set set) const
    {
        const auto& capacity = problem_.vehicle(v_).capacity;
        std::vector<std::int64_t> load(problem_.resources(), 0);
        for (const auto j : members(set, jobs_)) {
            if (!problem_.may_serve(j, v_)) {
                return false;
            }
            for (std::size_t r = 0; r < load.size(); ++r) {
                load[r] += problem_.demand(j, r);
                if (!capacity.empty() && load[r] > capacity[r]) {
                    return false;
                }
            }
        }
        return true;
    }

    [[nodiscard]] bool is_live(Set set) const
    {
        const auto set_jobs = members(set, jobs_);
        return std::any_of(set_jobs.begin(), set_jobs.end(),
                           [&](std::size_t j) { return problem_.job(j).ride_limit.has_value(); });
    }

    const Problem& problem_;
    std::size_t v_;
    const std::vector<std::size_t>& jobs_;
    std::vector<Order> orders_;
};

/// The jobs shared out among the vehicles, one after another.
class Sharing {
public:
    Sharing(const Problem& problem, std::vector<std::size_t> jobs)
        : problem_{problem}, jobs_{std::move(jobs)}, best_(sets(), kImpossible)
    {
        best_[0] = 0;
        const std::int64_t bonus = must_bonus(problem);
        for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
            vehicles_.emplace_back(problem, v, jobs_);
            share(vehicles_.back(), bonus);
        }
    }

    /// Whether exactly these can be met.
    [[nodiscard]] bool is_feasible(Set set) const { return best_[set] > kImpossible; }

    [[nodiscard]] Set best_set() const
    {
        return static_cast<Set>(std::max_element(best_.begin(), best_.end()) - best_.begin());
    }

    [[nodiscard]] Plan plan(Set set) const
    {
        std::vector<Tour> tours(vehicles_.size());
        for (std::size_t v = vehicles_.size(); v-- > 0;) {
            const Set taken = taken_[v][set];
            const auto& order = vehicles_[v].order(taken);
            auto tour = schedule(problem_, v, order.jobs);
            if (!tour) {
                throw Failure{ErrorCode::Internal,
                              "exact solver and schedule disagree on whether an order can be kept"};
            }
            tours[v] = std::move(*tour);
            set &= ~taken;
        }
        return plan_of(problem_, std::move(tours));
    }

private:
    [[nodiscard]] std::size_t sets() const { return std::size_t{1} << jobs_.size(); }

    void share(const VehicleSets& vehicle, std::int64_t bonus)
    {
        std::vector<std::int64_t> values(sets());
        for (Set set = 0; set < sets(); ++set) {
            values[set] = vehicle.value(set, bonus);
        }
        std::vector<std::int64_t> after(sets(), kImpossible);
        std::vector<Set> taken(sets(), 0);
        for (Set set = 0; set < sets(); ++set) {
            for (Set part = set;; part = (part - 1) & set) {
                if (values[part] > kImpossible && best_[set & ~part] > kImpossible &&
                    best_[set & ~part] + values[part] > after[set]) {
                    after[set] = best_[set & ~part] + values[part];
                    taken[set] = part;
                }
                if (part == 0) {
                    break;
                }
            }
        }
        best_ = std::move(after);
        taken_.push_back(std::move(taken));
    }

    const Problem& problem_;
    std::vector<std::size_t> jobs_;
    std::vector<std::int64_t> best_;  ///< of each set, by the vehicles so far
    std::vector<VehicleSets> vehicles_;
    std::vector<std::vector<Set>> taken_;  ///< by each vehicle, of each set
};

}  // namespace

std::optional<ExactResult> solve_exact(const Problem& problem)
{
    if (problem.jobs().size() > kExactJobs) {
        return std::nullopt;
    }
    std::vector<std::size_t> jobs(problem.jobs().size());
    for (std::size_t j = 0; j < jobs.size(); ++j) {
        jobs[j] = j;
    }
    const Sharing sharing{problem, jobs};
    ExactResult result;
    result.plan = sharing.plan(sharing.best_set());
    result.feasible = std::none_of(result.plan.unserved.begin(), result.plan.unserved.end(),
                                   [&](std::size_t j) { return problem.job(j).must_take; });
    return result;
}

std::optional<std::vector<std::size_t>> smallest_clash(const Problem& problem)
{
    std::vector<std::size_t> musts;
    for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
        if (problem.job(j).must_take) {
            musts.push_back(j);
        }
    }
    if (musts.size() > kExactJobs) {
        return std::nullopt;
    }
    const Sharing sharing{problem, musts};
    // Travel need not obey the triangle inequality, so a set may be met only together with others.
    const Set all = static_cast<Set>((std::size_t{1} << musts.size()) - 1);
    std::vector<bool> coverable(std::size_t{all} + 1, false);
    for (Set set = all;; --set) {
        bool met = sharing.is_feasible(set);
        for (std::size_t i = 0; i < musts.size() && !met; ++i) {
            const Set more = set | (Set{1} << i);
            met = more != set && coverable[more];
        }
        coverable[set] = met;
        if (set == 0) {
            break;
        }
    }
    std::optional<Set> smallest;
    for (Set set = 1; set <= all && all != 0; ++set) {
        if (!coverable[set] && (!smallest || std::popcount(set) < std::popcount(*smallest))) {
            smallest = set;
        }
    }
    return smallest ? members(*smallest, musts) : std::vector<std::size_t>{};
}

}  // namespace nestround::tour
