#include "planner/day/why.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "planner/day/left_out.hpp"
#include "planner/tour/schedule.hpp"

namespace nestround::day {

namespace {

using tour::Points;
using tour::Problem;
using tour::Tour;

[[nodiscard]] double points(Points value)
{
    return static_cast<double>(value.value()) / kPointScale;
}

[[nodiscard]] std::vector<std::size_t> order_of(const Tour& tour)
{
    std::vector<std::size_t> order;
    for (const auto& visit : tour.visits) {
        order.push_back(visit.job);
    }
    return order;
}

[[nodiscard]] std::string time(seconds t) { return format_clock(ClockTime{t}); }

/// The problem with `job` beginning at `t` and at no other time; nothing when that is outside its
/// hours.
[[nodiscard]] std::optional<Problem> pinned(const Problem& problem, std::size_t job, seconds t)
{
    tour::ProblemInput input = problem.input();
    input.jobs[job].pinned_start = t;
    auto made = Problem::make(std::move(input), tour::Hopeless::Leave);
    return made ? std::optional{std::move(*made)} : std::nullopt;
}

/// The latest beginning of `job` with which its tour can still be kept.
[[nodiscard]] seconds latest_begin(const Problem& problem, const Tour& tour, std::size_t job,
                                   seconds begin)
{
    const auto order = order_of(tour);
    seconds good = begin;
    seconds bad = problem.last_home(tour.vehicle) + seconds{60};
    while (bad - good > seconds{60}) {
        const seconds middle = good + (bad - good) / 2;
        const auto asked = pinned(problem, job, middle);
        (asked && tour::schedule(*asked, tour.vehicle, order) ? good : bad) = middle;
    }
    return good;
}

class Reasons {
public:
    Reasons(const DayProblem& day, const tour::Plan& plan)
        : day_{day}, problem_{day.problem}, plan_{plan}
    {
    }

    std::vector<std::string> of(std::size_t call)
    {
        if (!day_.kept_out[call].empty()) {
            say(fmt::format("not asked for: {}", day_.kept_out[call]));
            return std::move(words_);
        }
        const auto at = std::find(day_.call_of_job.begin(), day_.call_of_job.end(), call);
        const auto job = static_cast<std::size_t>(at - day_.call_of_job.begin());
        for (const auto& tour : plan_.tours) {
            for (const auto& visit : tour.visits) {
                if (visit.job == job) {
                    taken(tour, visit);
                    second(job);
                    return std::move(words_);
                }
            }
        }
        left(job);
        return std::move(words_);
    }

private:
    void say(std::string words) { words_.push_back(std::move(words)); }

    [[nodiscard]] const std::string& name(std::size_t job) const { return problem_.job(job).name; }

    void taken(const Tour& tour, const tour::Visit& visit)
    {
        const auto& vehicle = problem_.vehicle(tour.vehicle);
        say(fmt::format("taken by {} at {}: worth {:.0f} points{}", vehicle.name, time(visit.begin),
                        points(day_.worth[visit.job]),
                        problem_.job(visit.job).must_take ? ", and it must be taken" : ""));
        auto order = order_of(tour);
        std::erase(order, visit.job);
        if (const auto without = tour::schedule(problem_, tour.vehicle, order)) {
            const seconds detour = tour.driving - without->driving;
            const Points cost = detour.count() * vehicle.cost_per_second;
            const std::string home =
                time(without->home) == time(tour.home)
                    ? fmt::format("without it the crew would be home no sooner, at {}",
                                  time(tour.home))
                    : fmt::format("without it the crew would be home at {} instead of {}",
                                  time(without->home), time(tour.home));
            say(
                fmt::format("its detour is {} of driving, which costs {:.0f} points; the work "
                            "takes {}; {}",
                            in_words(detour), points(cost),
                            in_words(problem_.service(visit.job, tour.vehicle)), home));
            instead_of(tour, *without);
        }
        const seconds latest = latest_begin(problem_, tour, visit.job, visit.begin);
        const seconds closes = problem_.windows(visit.job).back().closes;
        if (latest - visit.begin < seconds{120}) {
            say("it cannot begin later: the stops after it or the end of the shift would not be "
                "met");
        } else {
            say(fmt::format("it could begin as late as {}; {} set that limit", time(latest),
                            closes - latest < seconds{120}
                                ? "its own hours"
                                : "later stops or the end of the shift"));
        }
    }

    /// Of the second visit on the same day.
    void second(std::size_t first)
    {
        for (std::size_t job = 0; job < day_.call_of_job.size(); ++job) {
            const auto& follows = problem_.job(job).follows;
            if (!follows || follows->job != first) {
                continue;
            }
            bool is_taken = false;
            for (const auto& tour : plan_.tours) {
                for (const auto& visit : tour.visits) {
                    if (visit.job == job) {
                        is_taken = true;
                        say(fmt::format("second visit by {} at {}: worth {:.0f} points, {} of work",
                                        problem_.vehicle(tour.vehicle).name, time(visit.begin),
                                        points(day_.worth[job]),
                                        in_words(problem_.service(job, tour.vehicle))));
                    }
                }
            }
            if (!is_taken) {
                say(fmt::format("no second visit: {}", why_left_out(day_, plan_, job)));
            }
        }
    }

    /// What the freed time would be good for.
    void instead_of(const Tour& tour, const Tour& without)
    {
        std::optional<std::size_t> best;
        Points best_worth{};
        for (const auto job : plan_.unserved) {
            if (problem_.may_serve(job, tour.vehicle) && day_.worth[job] > best_worth &&
                fits(without, job)) {
                best = job;
                best_worth = day_.worth[job];
            }
        }
        say(best ? fmt::format("left out, the best that would fit in its stead is {} for {:.0f} "
                               "points",
                               name(*best), points(best_worth))
                 : std::string{"left out, no other call would fit in its stead"});
    }

    [[nodiscard]] bool fits(const Tour& tour, std::size_t job) const
    {
        for (std::size_t at = 0; at <= tour.visits.size(); ++at) {
            auto order = order_of(tour);
            order.insert(order.begin() + static_cast<std::ptrdiff_t>(at), job);
            if (within_load(problem_, tour.vehicle, order) &&
                tour::schedule(problem_, tour.vehicle, order)) {
                return true;
            }
        }
        return false;
    }

    void left(std::size_t job)
    {
        say(fmt::format("not taken: {}", why_left_out(day_, plan_, job)));
        bool could_swap = false;
        for (const auto& tour : plan_.tours) {
            if (!problem_.may_serve(job, tour.vehicle) ||
                !tour::why_never(problem_, job, tour.vehicle).empty()) {
                continue;
            }
            could_swap |= swap(tour, job);
            longer_day(tour, job);
        }
        if (!could_swap) {
            say("giving up any one stop of the plan would not make room for it");
        }
    }

    /// The stop of least worth that would have to go.
    bool swap(const Tour& tour, std::size_t job)
    {
        std::optional<std::size_t> least;
        for (const auto& visit : tour.visits) {
            if (least && day_.worth[visit.job] >= day_.worth[*least]) {
                continue;
            }
            auto order = order_of(tour);
            std::erase(order, visit.job);
            const auto without = tour::schedule(problem_, tour.vehicle, order);
            if (without && fits(*without, job)) {
                least = visit.job;
            }
        }
        if (!least) {
            return false;
        }
        say(fmt::format("it would fit with {} instead of {} ({:.0f} points against {:.0f})",
                        problem_.vehicle(tour.vehicle).name, name(*least), points(day_.worth[job]),
                        points(day_.worth[*least])));
        return true;
    }

    /// How much later the shift would have to end, when that alone would do.
    void longer_day(const Tour& tour, std::size_t job)
    {
        tour::ProblemInput input = problem_.input();
        auto& shift = input.vehicles[tour.vehicle].shift;
        const seconds ends = problem_.last_home(tour.vehicle);
        shift.closes = ends + std::chrono::hours{6};
        input.vehicles[tour.vehicle].overtime.reset();
        const auto longer = Problem::make(std::move(input), tour::Hopeless::Leave);
        if (!longer) {
            return;
        }
        std::optional<seconds> home;
        for (std::size_t at = 0; at <= tour.visits.size(); ++at) {
            auto order = order_of(tour);
            order.insert(order.begin() + static_cast<std::ptrdiff_t>(at), job);
            const auto with = tour::schedule(*longer, tour.vehicle, order);
            if (with && within_load(problem_, tour.vehicle, order) &&
                (!home || with->home < *home)) {
                home = with->home;
            }
        }
        if (home && *home > ends) {
            say(fmt::format("it would fit if the shift of {} ended {} later",
                            problem_.vehicle(tour.vehicle).name, in_words(*home - ends)));
        }
    }

    const DayProblem& day_;
    const Problem& problem_;
    const tour::Plan& plan_;
    std::vector<std::string> words_;
};

}  // namespace

std::vector<std::string> why(const DayProblem& day, const tour::Plan& plan, std::size_t call)
{
    return Reasons{day, plan}.of(call);
}

}  // namespace nestround::day
