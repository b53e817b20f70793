#include "planner/day/left_out.hpp"

#include <fmt/format.h>

#include <optional>
#include <set>

#include "planner/tour/schedule.hpp"

namespace nestround::day {

namespace {

using tour::Points;
using tour::Problem;
using tour::Tour;

/// The job put into one tour.
struct Try {
    std::size_t vehicle = 0;
    seconds more_driving{};
    seconds work{};
    std::optional<Tour> tour;  ///< empty: cannot be kept
    Points gain{};
    std::optional<std::size_t> short_of;  ///< the resource without room for it
};

[[nodiscard]] std::vector<std::size_t> jobs_with(const Tour& tour, std::size_t job, std::size_t at)
{
    std::vector<std::size_t> jobs;
    for (const auto& visit : tour.visits) {
        jobs.push_back(visit.job);
    }
    jobs.insert(jobs.begin() + static_cast<std::ptrdiff_t>(at), job);
    return jobs;
}

/// More of driving with the job at `at`; nothing where a road is missing.
[[nodiscard]] std::optional<seconds> detour(const Problem& problem, const Tour& tour,
                                            std::size_t job, std::size_t at)
{
    const auto& vehicle = problem.vehicle(tour.vehicle);
    const std::size_t place = problem.job(job).place;
    const std::size_t before =
        at == 0 ? vehicle.start_place : problem.job(tour.visits[at - 1].job).place;
    const std::size_t after =
        at == tour.visits.size() ? vehicle.end_place : problem.job(tour.visits[at].job).place;
    if (!problem.is_linked(before, place) || !problem.is_linked(place, after)) {
        return std::nullopt;
    }
    const seconds straight = tour.visits.empty() ? seconds{0} : problem.drive(before, after);
    return problem.drive(before, place) + problem.drive(place, after) - straight;
}

/// Every place in every tour that may have the job.
[[nodiscard]] std::vector<Try> all_tries(const Problem& problem, const tour::Plan& plan,
                                         std::size_t job)
{
    std::vector<Try> tries;
    for (const auto& tour : plan.tours) {
        if (!problem.may_serve(job, tour.vehicle)) {
            continue;
        }
        for (std::size_t at = 0; at <= tour.visits.size(); ++at) {
            const auto more = detour(problem, tour, job, at);
            if (!more) {
                continue;
            }
            Try one;
            one.vehicle = tour.vehicle;
            one.more_driving = *more;
            one.work = problem.service(job, tour.vehicle);
            const auto jobs = jobs_with(tour, job, at);
            if (within_load(problem, tour.vehicle, jobs, &one.short_of)) {
                one.tour = tour::schedule(problem, tour.vehicle, jobs);
            }
            one.gain = problem.prize(job, tour.vehicle) -
                       more->count() * problem.vehicle(tour.vehicle).cost_per_second;
            tries.push_back(std::move(one));
        }
    }
    return tries;
}

[[nodiscard]] double points(Points value)
{
    return static_cast<double>(value.value()) / kPointScale;
}

[[nodiscard]] std::string hours_of(const Problem& problem, std::size_t job)
{
    std::vector<std::string> spans;
    for (const auto& window : problem.windows(job)) {
        spans.push_back(format_clock_span({ClockTime{window.opens}, ClockTime{window.closes}}));
    }
    return fmt::format("{}", fmt::join(spans, ", "));
}

/// What all crews together may still consume of a shared resource would not hold the job.
[[nodiscard]] bool is_used_up(const Problem& problem, const tour::Plan& plan, std::size_t job)
{
    for (std::size_t r = 0; r < problem.resources(); ++r) {
        const auto limit = problem.shared_limit(r);
        if (!limit) {
            continue;
        }
        std::int64_t used = problem.demand(job, r);
        for (const auto& tour : plan.tours) {
            for (const auto& visit : tour.visits) {
                used += problem.demand(visit.job, r);
            }
        }
        if (used > *limit) {
            return true;
        }
    }
    return false;
}

/// Why not even an empty day would do; empty when it would.
[[nodiscard]] std::string never(const DayProblem& day, std::size_t job)
{
    const Problem& problem = day.problem;
    std::set<std::string> reasons;
    for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
        if (!problem.may_serve(job, v)) {
            continue;
        }
        std::optional<std::size_t> short_of;
        auto reason = within_load(problem, v, {job}, &short_of)
                          ? tour::why_never(problem, job, v)
                          : fmt::format("{}: {} has no room left for it",
                                        text(day.resources[*short_of]), problem.vehicle(v).name);
        if (reason.empty()) {
            return {};
        }
        reasons.insert(std::move(reason));
    }
    return fmt::format("{}", fmt::join(reasons, "; "));
}

}  // namespace

std::string why_left_out(const DayProblem& day, const tour::Plan& plan, std::size_t job)
{
    const Problem& problem = day.problem;
    if (auto reason = never(day, job); !reason.empty()) {
        const bool has_hours = !problem.job(job).windows.empty() &&
                               problem.windows(job).back().closes < std::chrono::hours{48};
        return has_hours ? fmt::format("{} (hours {})", reason, hours_of(problem, job)) : reason;
    }
    if (is_used_up(problem, plan, job)) {
        return fmt::format(
            "no room for its comb at home: {} more find a place, and the plan brings "
            "as many from better nests",
            *problem.shared_limit(problem.resources() - 1));
    }
    const auto tries = all_tries(problem, plan, job);
    const Try* cheapest = nullptr;
    const Try* fitting = nullptr;
    for (const auto& one : tries) {
        const seconds whole = one.more_driving + one.work;
        if (cheapest == nullptr || whole < cheapest->more_driving + cheapest->work) {
            cheapest = &one;
        }
        if (one.tour && (fitting == nullptr || one.gain > fitting->gain)) {
            fitting = &one;
        }
    }
    if (cheapest == nullptr) {
        return "no road leads there and back between the stops of the plan";
    }
    const double worth = points(day.worth[job]);
    if (fitting != nullptr) {
        const Points cost =
            fitting->more_driving.count() * problem.vehicle(fitting->vehicle).cost_per_second;
        const auto& vehicle = problem.vehicle(fitting->vehicle);
        const seconds home = plan.tours[fitting->vehicle].home;
        const seconds later = home + fitting->more_driving + fitting->work;
        const seconds over = later - std::max(home, vehicle.shift.closes);
        if (vehicle.overtime && over > seconds{0}) {
            return fmt::format(
                "not worth the way: {} more of driving and up to {} of overtime cost {:.0f} "
                "points, the nest gives {:.0f}",
                in_words(fitting->more_driving), in_words(over),
                points(cost + over.count() * vehicle.overtime->cost_per_second), worth);
        }
        return fmt::format(
            "not worth the way: {} more of driving costs {:.0f} points, the nest gives {:.0f}",
            in_words(fitting->more_driving), points(cost), worth);
    }
    const auto& vehicle = problem.vehicle(cheapest->vehicle);
    const seconds home = plan.tours[cheapest->vehicle].home;
    const seconds spare = problem.last_home(cheapest->vehicle) - home;
    const seconds whole = cheapest->more_driving + cheapest->work;
    const std::string price = fmt::format(
        "would cost {} ({} of driving, {} at the nest) for {:.0f} points", in_words(whole),
        in_words(cheapest->more_driving), in_words(cheapest->work), worth);
    if (cheapest->short_of) {
        const auto rule = day.resources[*cheapest->short_of];
        return fmt::format("{}: {} has no room for it; it {}", text(rule), vehicle.name, price);
    }
    if (spare < whole) {
        return fmt::format("no time left: {}; {} is home at {}, {} before {}", price, vehicle.name,
                           format_clock(ClockTime{home}), in_words(spare),
                           vehicle.overtime ? "its overtime ends" : "the shift ends");
    }
    return fmt::format(
        "no place for it in the tours as they stand{}: {}",
        problem.windows(job).back().closes < std::chrono::hours{48}
            ? fmt::format(" within its hours and the day's limits, {}", hours_of(problem, job))
            : ", with the hours and limits of the other stops",
        price);
}

void fill_gaps(const Problem& problem, tour::Plan& plan)
{
    if (problem.has_follows()) {
        return;  // a stop more in one tour may spoil a second visit in another: the search knows
    }
    for (;;) {
        std::optional<Try> best;
        for (const auto job : plan.unserved) {
            if (is_used_up(problem, plan, job)) {
                continue;
            }
            for (auto& one : all_tries(problem, plan, job)) {
                const bool pays = one.gain > Points{0} || problem.job(job).must_take;
                if (one.tour && pays && (!best || one.gain > best->gain)) {
                    best = std::move(one);
                }
            }
        }
        if (!best) {
            return;
        }
        auto tours = std::move(plan.tours);
        tours[best->vehicle] = std::move(*best->tour);
        plan = tour::plan_of(problem, std::move(tours));
    }
}

}  // namespace nestround::day
