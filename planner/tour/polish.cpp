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

/// `plan` with the tour that `v` has in `other`, where the two go together and it pays.
[[nodiscard]] Plan with_tour_of(const Problem& problem, Plan plan, const Plan& other, std::size_t v)
{
    std::vector<std::uint8_t> taken(problem.jobs().size(), 0);
    for (std::size_t w = 0; w < plan.tours.size(); ++w) {
        for (const auto& visit : (w == v ? other : plan).tours[w].visits) {
            if (taken[visit.job]++ != 0) {
                return plan;
            }
        }
    }
    auto tours = plan.tours;
    tours[v] = other.tours[v];
    Plan both = plan_of(problem, std::move(tours));
    const bool is_sound = check(problem, both).size() <= check(problem, plan).size();
    return is_sound && both.objective > plan.objective ? both : plan;
}

}  // namespace

bool can_polish(const Problem& problem)
{
    return !are_tied(problem) && problem.vehicles().size() <= kBoundKinds &&
           problem.jobs().size() <= kBoundJobs && !problem.jobs().empty();
}

Polished polished(const Problem& problem, Plan plan, std::uint64_t work, std::size_t at_once,
                  const SideBySide& side_by_side)
{
    Polished result{std::move(plan), false};
    if (!can_polish(problem)) {
        return result;
    }
    const std::size_t count = result.plan.tours.size();
    const std::uint64_t each = work / std::max<std::size_t>(1, 2 * count);
    const std::size_t batch = std::clamp<std::size_t>(at_once, 1, std::max<std::size_t>(1, count));
    std::size_t unchanged = 0;
    std::size_t best = 0;  // of the last tours looked at
    for (std::size_t step = 0; step < 3 * count && unchanged < count; step += batch) {
        std::vector<Polished> found(batch);
        std::vector<std::function<void()>> tasks;
        for (std::size_t i = 0; i < batch; ++i) {
            tasks.emplace_back([&, i] {
                found[i] = with_best_tour(problem, result.plan, (step + i) % count, each);
            });
        }
        if (side_by_side && batch > 1) {
            side_by_side(tasks);
        } else {
            std::for_each(tasks.begin(), tasks.end(), [](const auto& task) { task(); });
        }
        const Points before = result.plan.objective;
        for (std::size_t i = 0; i < batch; ++i) {
            if (found[i].plan.objective <= before) {
                ++unchanged;
                best = found[i].is_complete ? best + 1 : 0;
                continue;
            }
            unchanged = 0;
            best = 0;
            result.plan =
                with_tour_of(problem, std::move(result.plan), found[i].plan, (step + i) % count);
        }
    }
    result.is_complete = unchanged >= count && best >= count;
    return result;
}

}  // namespace nestround::tour
