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

/// The plan with a better tour of `v`, or as it was.
[[nodiscard]] Plan with_best_tour(const Problem& problem, Plan plan, std::size_t v,
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
        return plan;
    }
    const auto found = best_bound(*part, plan_of(*part, {std::move(*tour)}), work);
    order.clear();
    for (const auto j : found.tour) {
        order.push_back(jobs[j]);
    }
    auto better = order.empty() ? std::nullopt : schedule(problem, v, order);
    if (!better) {
        return plan;
    }
    auto tours = plan.tours;
    tours[v] = std::move(*better);
    Plan other = plan_of(problem, std::move(tours));
    const bool is_sound = check(problem, other).size() <= check(problem, plan).size();
    return is_sound && other.objective > plan.objective ? other : plan;
}

}  // namespace

Plan polished(const Problem& problem, Plan plan, std::uint64_t work)
{
    if (are_tied(problem) || problem.vehicles().size() > kBoundKinds) {
        return plan;
    }
    const std::uint64_t each = work / std::max<std::size_t>(1, 2 * plan.tours.size());
    std::size_t unchanged = 0;
    for (std::size_t step = 0; step < 2 * plan.tours.size() && unchanged < plan.tours.size();
         ++step) {
        const Points before = plan.objective;
        plan = with_best_tour(problem, std::move(plan), step % plan.tours.size(), each);
        unchanged = plan.objective > before ? 0 : unchanged + 1;
    }
    return plan;
}

}  // namespace nestround::tour
