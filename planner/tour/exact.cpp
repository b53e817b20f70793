#include "planner/tour/exact.hpp"

#include <algorithm>
#include <numeric>

#include "planner/tour/all_orders.hpp"
#include "planner/tour/schedule.hpp"
#include "planner/tour/sharing.hpp"

namespace nestround::tour {

namespace {

/// Up to this many jobs the vehicles share the sets out by dynamic programming.
constexpr std::size_t kSharedJobs = 12;
/// The same where the worth of each set has to be worked out with ride limits.
constexpr std::size_t kSharedLiveJobs = 9;

[[nodiscard]] ExactResult result_of(const Problem& problem, Plan plan)
{
    ExactResult result;
    result.plan = std::move(plan);
    result.feasible = std::none_of(result.plan.unserved.begin(), result.plan.unserved.end(),
                                   [&](std::size_t j) { return problem.job(j).must_take; });
    return result;
}

[[nodiscard]] bool is_metric(const Problem& problem, const std::vector<std::size_t>& jobs)
{
    std::vector<std::size_t> places;
    for (const auto j : jobs) {
        places.push_back(problem.job(j).place);
    }
    for (const auto& vehicle : problem.vehicles()) {
        places.push_back(vehicle.start_place);
    }
    for (const auto a : places) {
        for (const auto b : places) {
            for (const auto c : places) {
                if (!problem.is_linked(a, b) || !problem.is_linked(b, c)) {
                    continue;
                }
                if (!problem.is_linked(a, c) ||
                    problem.drive(a, c) > problem.drive(a, b) + problem.drive(b, c)) {
                    return false;
                }
            }
        }
    }
    return true;
}

/// What a plan has to be worth to be of interest; empty values: nothing is known.
[[nodiscard]] OrderTable::Floor floor_of(const Problem& problem, std::size_t v,
                                         const std::vector<std::size_t>& jobs, const Plan& known,
                                         std::int64_t bonus)
{
    OrderTable::Floor floor{
        known.objective.value(), {}, {}, problem.vehicles().size() == 1, is_metric(problem, jobs)};
    std::vector<bool> served(problem.jobs().size(), true);
    for (const auto j : known.unserved) {
        served[j] = false;
    }
    for (const auto j : jobs) {
        const std::int64_t extra = problem.job(j).must_take ? bonus : 0;
        floor.at_least += served[j] ? extra : 0;
        floor.value.push_back(problem.prize(j, v).value() + extra);
        std::int64_t most = 0;
        for (std::size_t w = 0; w < problem.vehicles().size(); ++w) {
            if (problem.may_serve(j, w)) {
                most = std::max(most, problem.prize(j, w).value() + extra);
            }
        }
        floor.most.push_back(most);
    }
    return floor;
}

[[nodiscard]] bool has_live(const Problem& problem, const std::vector<std::size_t>& jobs)
{
    return std::any_of(jobs.begin(), jobs.end(),
                       [&](std::size_t j) { return problem.job(j).ride_limit.has_value(); });
}

}  // namespace

std::optional<ExactResult> solve_exact(const Problem& problem, const ExactLimits& limits)
{
    std::uint64_t work = limits.work;
    if (problem.has_follows()) {
        if (problem.jobs().size() > kExactFollowJobs) {
            return std::nullopt;
        }
        auto plan = best_of_all_orders(problem, work);
        return plan ? std::optional{result_of(problem, std::move(*plan))} : std::nullopt;
    }
    if (problem.jobs().size() > kExactJobs) {
        return std::nullopt;
    }
    std::vector<std::size_t> jobs(problem.jobs().size());
    std::iota(jobs.begin(), jobs.end(), 0);
    const std::int64_t bonus = must_bonus(problem);
    std::vector<VehicleSets> vehicles;
    vehicles.reserve(problem.vehicles().size());
    for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
        std::optional<OrderTable::Floor> floor;
        if (limits.known != nullptr) {
            floor = floor_of(problem, v, jobs, *limits.known, bonus);
        }
        vehicles.emplace_back(problem, v, jobs, bonus, work, floor ? &*floor : nullptr);
        if (!vehicles.back().is_complete()) {
            return std::nullopt;
        }
    }
    Shares shares;
    if (jobs.size() <= (has_live(problem, jobs) ? kSharedLiveJobs : kSharedJobs)) {
        const Sharing sharing{problem, jobs, vehicles, work};
        if (!sharing.is_complete()) {
            return std::nullopt;
        }
        shares = sharing.best();
    } else {
        auto found = best_packing(problem, jobs, vehicles, work);
        if (!found) {
            return std::nullopt;
        }
        shares = std::move(*found);
    }
    std::vector<Tour> tours;
    for (std::size_t v = 0; v < shares.size(); ++v) {
        std::uint64_t unbounded = std::uint64_t{1} << 40U;
        auto tour = schedule(problem, v, vehicles[v].order(shares[v], unbounded).jobs);
        if (!tour) {
            throw Failure{ErrorCode::Internal,
                          "exact solver and schedule disagree on whether an order can be kept"};
        }
        tours.push_back(std::move(*tour));
    }
    return result_of(problem, plan_of(problem, std::move(tours)));
}

}  // namespace nestround::tour
