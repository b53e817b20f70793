// What a problem says of single jobs: whether any vehicle could ever do them, and what they weigh.
#include <algorithm>

#include "planner/tour/problem.hpp"
#include "planner/tour/schedule.hpp"

namespace nestround::tour {

namespace {

/// The soonest that service of `j` can end, by any vehicle that starts there fresh.
[[nodiscard]] seconds soonest_end(const Problem& problem, std::size_t j)
{
    seconds soonest = kLatestTime;
    for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
        if (problem.may_serve(j, v)) {
            const seconds from =
                std::max(problem.windows(j).front().opens, problem.vehicle(v).shift.opens);
            soonest = std::min(soonest, from + problem.service(j, v));
        }
    }
    return soonest;
}

}  // namespace

std::string why_never(const Problem& problem, std::size_t j, std::size_t v)
{
    const Job& job = problem.job(j);
    const Vehicle& vehicle = problem.vehicle(v);
    if (!problem.may_serve(j, v)) {
        return (job.needs & ~vehicle.skills) != 0 ? "skills or gear that it needs are missing"
                                                  : "the vehicle may not do it";
    }
    for (std::size_t r = 0; r < vehicle.capacity.size(); ++r) {
        if (problem.demand(j, r) > vehicle.capacity[r]) {
            return "it needs more than the vehicle carries";
        }
    }
    if (!problem.is_linked(vehicle.start_place, job.place) ||
        !problem.is_linked(job.place, vehicle.end_place)) {
        return "no road leads there and back";
    }
    const auto windows = problem.windows(j);
    const seconds last = problem.last_home(v);
    if (windows.front().opens > last) {
        return "its hours begin after the shift ends";
    }
    if (windows.back().closes < vehicle.shift.opens) {
        return "its hours end before the shift begins";
    }
    const auto way_out = static_cast<Time>(problem.drive(vehicle.start_place, job.place).count());
    const seconds soonest{
        problem.traffic().arrive(static_cast<Time>(vehicle.shift.opens.count()), way_out)};
    if (windows.back().closes < soonest) {
        return "its hours end before it can be reached";
    }
    const seconds way_home = problem.drive(job.place, vehicle.end_place);
    if (job.ride_limit && way_home > *job.ride_limit && problem.traffic().is_even()) {
        return "the way home is longer than its cargo may ride";
    }
    if (job.follows &&
        soonest_end(problem, job.follows->job) + job.follows->least > windows.back().closes) {
        return "its hours end before the job that it follows can be done";
    }
    const std::size_t alone[] = {j};
    if (!schedule(problem, v, alone)) {
        return "going there and back takes longer than its hours and the shift leave";
    }
    return {};
}

std::int64_t must_bonus(const Problem& problem)
{
    std::int64_t sum = 1;
    for (const auto& vehicle : problem.vehicles()) {
        // Fast traffic covers more seconds of road than the clock has.
        const seconds last =
            vehicle.overtime ? vehicle.overtime->latest_home : vehicle.shift.closes;
        const std::int64_t haste = problem.traffic().is_even() ? 1 : Traffic::kFastest / 1000;
        sum += (last - vehicle.shift.opens).count() * vehicle.cost_per_second.value() * haste;
        sum += vehicle.fixed_cost.value();
        if (vehicle.overtime) {
            sum +=
                (last - vehicle.shift.closes).count() * vehicle.overtime->cost_per_second.value();
        }
    }
    for (const auto& job : problem.jobs()) {
        std::int64_t most = 0;
        for (const auto& prize : job.prize) {
            most = std::max(most, std::max(prize, -prize).value());
        }
        sum += 2 * most;
    }
    return sum;
}

}  // namespace nestround::tour
