#include "planner/tour/vehicle_sets.hpp"

#include <algorithm>

namespace nestround::tour {

VehicleSets::VehicleSets(const Problem& problem, std::size_t v,
                         const std::vector<std::size_t>& jobs, std::int64_t bonus,
                         std::uint64_t& work, const OrderTable::Floor* floor)
    : problem_{problem},
      v_{v},
      jobs_{jobs},
      bonus_{bonus},
      values_(std::size_t{1} << jobs.size(), kImpossible)
{
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        if (problem.job(jobs[i]).ride_limit) {
            live_ |= Set{1} << i;
        }
    }
    const OrderTable table{problem, v, jobs, kNoHome, work, floor};
    is_complete_ = table.is_complete();
    values_[0] = 0;
    for (Set set = 1; set < values_.size() && is_complete_; ++set) {
        std::int64_t least = std::numeric_limits<std::int64_t>::max();
        for (const auto& end : table.ends(set)) {
            least = std::min(least, cost(end));
        }
        if (least < std::numeric_limits<std::int64_t>::max()) {
            values_[set] = prizes(set) - least;
        }
    }
}

std::int64_t VehicleSets::prizes(Set set) const
{
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
        if ((set >> i & 1U) != 0) {
            sum += problem_.prize(jobs_[i], v_).value() +
                   (problem_.job(jobs_[i]).must_take ? bonus_ : 0);
        }
    }
    return sum;
}

std::int64_t VehicleSets::cost(const OrderTable::End& end) const
{
    const Vehicle& vehicle = problem_.vehicle(v_);
    std::int64_t cost = vehicle.fixed_cost.value() + end.driving * vehicle.cost_per_second.value();
    if (vehicle.overtime) {
        cost += std::max<std::int64_t>(0, end.home - vehicle.shift.closes.count()) *
                vehicle.overtime->cost_per_second.value();
    }
    return cost;
}

Order VehicleSets::order(Set set, std::uint64_t& work) const
{
    if (set == 0) {
        return {0, 0, {}};
    }
    if (is_live(set)) {
        return best_live_order(set, work);
    }
    const auto some = members(set, jobs_);
    const OrderTable table{problem_, v_, some, kNoHome, work};
    Order best;
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (const auto& end : table.ends(static_cast<Set>((std::size_t{1} << some.size()) - 1))) {
        // Of equal cost, home sooner.
        if (std::pair{cost(end), end.home} < std::pair{least, best.home}) {
            least = cost(end);
            best = {prizes(set) - least, end.home, table.order(end.label)};
        }
    }
    return best;
}

/// Arrivals home are tried in ascending order: with the openings raised for an arrival `home`, an
/// order that comes home no later than that keeps its limits, and an order that cannot be home by
/// its own true arrival is never skipped.
Order VehicleSets::best_live_order(Set set, std::uint64_t& work) const
{
    const auto some = members(set, jobs_);
    const Set all = static_cast<Set>((std::size_t{1} << some.size()) - 1);
    Order best;
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    std::int64_t home = 0;
    for (;;) {
        const OrderTable table{problem_, v_, some, home, work};
        if (!table.is_complete()) {
            return {};
        }
        std::int64_t next = std::numeric_limits<std::int64_t>::max();
        for (const auto& end : table.ends(all)) {
            // With openings raised further the same order is home no sooner, so no cheaper.
            if (cost(end) >= least) {
                continue;
            }
            if (end.home <= home) {
                least = cost(end);
                best = {prizes(set) - least, end.home, table.order(end.label)};
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

}  // namespace nestround::tour
