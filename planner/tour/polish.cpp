#include "planner/tour/polish.hpp"

#include <algorithm>
#include <vector>

#include "planner/tour/checker.hpp"
#include "planner/tour/route_bound.hpp"
#include "planner/tour/schedule.hpp"

namespace nestround::tour {

namespace {

[[nodiscard]] bool are_tied(const Problem& problem)
{
    for (std::size_t r = 0; r < problem.resources(); ++r) {
        if (problem.shared_limit(r)) {
            return true;
        }
    }
    return problem.has_follows();
}

/// One vehicle and the jobs given, must-takes being worth more than all else together.
[[nodiscard]] std::optional<Problem> alone(const Problem& problem, std::size_t v,
                                           const std::vector<std::size_t>& jobs)
{
    ProblemInput input = problem.input();
    input.vehicles = {problem.vehicle(v)};
    input.jobs.clear();
    const Points bonus{must_bonus(problem)};
    for (const auto j : jobs) {
        Job job = problem.job(j);
        job.prize = {problem.prize(j, v) + (job.must_take ? bonus : Points{0})};
        job.service = {problem.service(j, v)};
        job.must_take = false;
        job.forbidden.clear();
        input.jobs.push_back(std::move(job));
    }
    auto made = Problem::make(std::move(input), Hopeless::Leave);
    return made ? std::optional<Problem>{std::move(*made)} : std::nullopt;
}

/// The plan with a better tour of `v`, or as it was; complete when none can be better.
[[nodiscard]] Polished with_best_tour(const Problem& problem, Plan plan, std::size_t v,
                                      std::uint64_t work)
{
    std::vector<std::size_t> jobs;
    std::vector<std::size_t> order;
    for (const auto& visit : plan.tours[v].visits) {
        order.push_back(jobs.size());
        jobs.push_back(visit.job);
    }
    for (const auto j : plan.unserved) {
        if (problem.may_serve(j, v)) {
            jobs.push_back(j);
        }
    }
    const auto part = alone(problem, v, jobs);
    auto tour = part ? schedule(*part, 0, order) : std::nullopt;
    if (!tour) {
        return {std::move(plan), false};
    }
    const Plan mine = plan_of(*part, {std::move(*tour)});
    const auto found = best_bound(*part, mine, work);
    const bool is_best = mine.objective >= found.bound;
    order.clear();
    for (const auto j : found.tour) {
        order.push_back(jobs[j]);
    }
    auto better = order.empty() ? std::nullopt : schedule(problem, v, order);
    if (!better) {
        return {std::move(plan), is_best};
    }
    auto tours = plan.tours;
    tours[v] = std::move(*better);
    Plan other = plan_of(problem, std::move(tours));
    const bool is_sound = check(problem, other).size() <= check(problem, plan).size();
    if (!is_sound || other.objective <= plan.objective) {
        return {std::move(plan), is_best};
    }
    return {std::move(other), false};
}

}  // namespace

bool can_polish(const Problem& problem)
{
    return !are_tied(problem) && problem.vehicles().size() <= kBoundKinds &&
           problem.jobs().size() <= kBoundJobs && !problem.jobs().empty();
}

Polished polished(const Problem& problem, Plan plan, std::uint64_t work)
{
    Polished result{std::move(plan), false};
    if (!can_polish(problem)) {
        return result;
    }
    const std::size_t count = result.plan.tours.size();
    const std::uint64_t each = work / std::max<std::size_t>(1, 2 * count);
    std::size_t unchanged = 0;
    std::size_t best = 0;  // of the last tours looked at
    for (std::size_t step = 0; step < 3 * count && unchanged < count; ++step) {
        const Points before = result.plan.objective;
        auto next = with_best_tour(problem, std::move(result.plan), step % count, each);
        result.plan = std::move(next.plan);
        unchanged = result.plan.objective > before ? 0 : unchanged + 1;
        best = next.is_complete ? best + 1 : 0;
    }
    result.is_complete = unchanged >= count && best >= count;
    return result;
}

}  // namespace nestround::tour
