#include "planner/tour/schedule.hpp"

#include <algorithm>
#include <map>
#include <numeric>

#include "planner/tour/timetable.hpp"

namespace nestround::tour {

namespace {

[[nodiscard]] Time time(seconds t) { return static_cast<Time>(t.count()); }

[[nodiscard]] std::vector<Span> spans(std::span<const Window> windows)
{
    std::vector<Span> result;
    for (const auto& window : windows) {
        result.push_back({time(window.opens), time(window.closes)});
    }
    return result;
}

[[nodiscard]] bool has_roads(const Problem& problem, const Vehicle& vehicle,
                             std::span<const std::size_t> jobs)
{
    std::size_t here = vehicle.start_place;
    for (const auto j : jobs) {
        if (!problem.is_linked(here, problem.job(j).place)) {
            return false;
        }
        here = problem.job(j).place;
    }
    return problem.is_linked(here, vehicle.end_place);
}

/// Rows of a timetable and the windows that their steps look at.
struct Rows {
    std::vector<TimetableRow> rows;
    std::vector<std::vector<Span>> windows;  ///< by job
    std::vector<TimetableLink> links;
};

[[nodiscard]] TimetableRow row_of(const Problem& problem, std::size_t v,
                                  std::span<const std::size_t> jobs,
                                  const std::vector<std::vector<Span>>& windows)
{
    const Vehicle& vehicle = problem.vehicle(v);
    TimetableRow row;
    row.frame.shift = {time(vehicle.shift.opens), time(problem.last_home(v))};
    row.frame.drive_out = time(problem.drive(vehicle.start_place, problem.job(jobs.front()).place));
    if (vehicle.pause) {
        row.frame.pause = PauseRule{time(vehicle.pause->start.opens),
                                    time(vehicle.pause->start.closes), time(vehicle.pause->length)};
    }
    if (vehicle.overtime) {
        row.paid_from = time(vehicle.shift.closes);
        row.cost_per_second = vehicle.overtime->cost_per_second.value();
    }
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const Job& job = problem.job(jobs[i]);
        const std::size_t next =
            i + 1 < jobs.size() ? problem.job(jobs[i + 1]).place : vehicle.end_place;
        row.steps.push_back({windows[jobs[i]], time(problem.service(jobs[i], v)),
                             time(problem.drive(job.place, next)),
                             job.ride_limit ? time(*job.ride_limit) : kNoLimit});
    }
    return row;
}

/// Ties between second visits and first ones, both in these tours.
[[nodiscard]] std::vector<TimetableLink> links_of(
    const Problem& problem, std::span<const std::span<const std::size_t>> orders)
{
    std::map<std::size_t, std::pair<int, int>> at;
    for (std::size_t r = 0; r < orders.size(); ++r) {
        for (std::size_t i = 0; i < orders[r].size(); ++i) {
            at[orders[r][i]] = {static_cast<int>(r), static_cast<int>(i)};
        }
    }
    std::vector<TimetableLink> links;
    for (const auto& [job, where] : at) {
        const auto& follows = problem.job(job).follows;
        const auto first = follows ? at.find(follows->job) : at.end();
        if (first != at.end()) {
            links.push_back({first->second.first, first->second.second, where.first, where.second,
                             time(follows->least),
                             follows->most ? time(*follows->most) : kNoLimit});
        }
    }
    return links;
}

[[nodiscard]] bool has_live(const Problem& problem, std::span<const std::size_t> jobs)
{
    return std::any_of(jobs.begin(), jobs.end(),
                       [&](std::size_t j) { return problem.job(j).ride_limit.has_value(); });
}

[[nodiscard]] Tour tour_of(const Problem& problem, std::size_t v, std::span<const std::size_t> jobs,
                           const Times& times)
{
    const Vehicle& vehicle = problem.vehicle(v);
    const auto arrive = [&](seconds leave, std::size_t from, std::size_t to) {
        return seconds{problem.traffic().arrive(time(leave), time(problem.drive(from, to)))};
    };
    Tour tour;
    tour.vehicle = v;
    tour.depart = seconds{times.depart};
    tour.home = seconds{times.home};
    if (times.pause_after >= 0) {
        tour.pause =
            PlannedPause{static_cast<std::size_t>(times.pause_after), seconds{times.pause_begin}};
    }
    std::size_t here = vehicle.start_place;
    seconds leave = tour.depart;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const std::size_t place = problem.job(jobs[i]).place;
        if (i > 0 && tour.pause && tour.pause->after == i) {
            leave = tour.pause->begin + vehicle.pause->length;
        }
        Visit visit;
        visit.job = jobs[i];
        visit.arrive = arrive(leave, here, place);
        visit.begin = seconds{times.starts[i]};
        visit.leave = visit.begin + problem.service(jobs[i], v);
        tour.visits.push_back(visit);
        tour.driving += problem.drive(here, place);
        tour.metres += problem.metres(here, place);
        here = place;
        leave = visit.leave;
    }
    tour.driving += problem.drive(here, vehicle.end_place);
    tour.metres += problem.metres(here, vehicle.end_place);
    return tour;
}

[[nodiscard]] Tour idle_tour(const Problem& problem, std::size_t v)
{
    Tour idle;
    idle.vehicle = v;
    idle.depart = idle.home = problem.vehicle(v).shift.opens;
    return idle;
}

/// Tours of vehicles that may wait for one another; none of them idle.
[[nodiscard]] std::optional<std::vector<Tour>> schedule_together(
    const Problem& problem, std::span<const std::size_t> vehicles,
    std::span<const std::span<const std::size_t>> orders)
{
    std::vector<std::vector<Span>> windows(problem.jobs().size());
    std::vector<TimetableRow> rows;
    bool is_plain = orders.size() == 1;
    for (std::size_t r = 0; r < orders.size(); ++r) {
        if (!has_roads(problem, problem.vehicle(vehicles[r]), orders[r])) {
            return std::nullopt;
        }
        for (const auto j : orders[r]) {
            windows[j] = spans(problem.windows(j));
        }
        rows.push_back(row_of(problem, vehicles[r], orders[r], windows));
        is_plain = is_plain && (problem.traffic().is_even() || !has_live(problem, orders[r]));
    }
    const auto links = links_of(problem, orders);
    std::optional<std::vector<Times>> times;
    if (is_plain && links.empty() && problem.traffic().is_even()) {
        if (auto one = Timing{}.solve(rows.front().steps, rows.front().frame)) {
            times.emplace().push_back(std::move(*one));
        }
    } else {
        times = Timetable{}.solve(rows, links, problem.traffic());
    }
    if (!times) {
        return std::nullopt;
    }
    std::vector<Tour> tours;
    for (std::size_t r = 0; r < orders.size(); ++r) {
        tours.push_back(tour_of(problem, vehicles[r], orders[r], (*times)[r]));
    }
    return tours;
}

}  // namespace

std::optional<Tour> schedule(const Problem& problem, std::size_t v,
                             std::span<const std::size_t> jobs)
{
    if (jobs.empty()) {
        return idle_tour(problem, v);
    }
    auto tours = schedule_together(problem, {&v, 1}, {&jobs, 1});
    return tours ? std::optional<Tour>{std::move(tours->front())} : std::nullopt;
}

std::optional<std::vector<Tour>> schedule_all(const Problem& problem,
                                              std::span<const std::vector<std::size_t>> orders)
{
    // Tours that a second visit ties together form groups; each is worked out by itself.
    std::vector<std::size_t> group(orders.size());
    std::iota(group.begin(), group.end(), 0);
    std::vector<std::size_t> row_of_job(problem.jobs().size(), orders.size());
    for (std::size_t v = 0; v < orders.size(); ++v) {
        for (const auto j : orders[v]) {
            row_of_job[j] = v;
        }
    }
    for (std::size_t j = 0; j < row_of_job.size(); ++j) {
        const auto& follows = problem.job(j).follows;
        if (!follows || row_of_job[j] == orders.size()) {
            continue;
        }
        const std::size_t first = row_of_job[follows->job];
        if (first == orders.size() || (follows->same_vehicle && first != row_of_job[j])) {
            return std::nullopt;
        }
        const std::size_t from = group[row_of_job[j]];
        const std::size_t to = group[first];
        std::replace(group.begin(), group.end(), from, to);
    }
    std::vector<Tour> result(orders.size());
    for (std::size_t g = 0; g < orders.size(); ++g) {
        std::vector<std::size_t> vehicles;
        std::vector<std::span<const std::size_t>> some;
        for (std::size_t v = 0; v < orders.size(); ++v) {
            if (group[v] != g) {
                continue;
            }
            if (orders[v].empty()) {
                result[v] = idle_tour(problem, v);
                continue;
            }
            vehicles.push_back(v);
            some.emplace_back(orders[v]);
        }
        if (vehicles.empty()) {
            continue;
        }
        auto tours = schedule_together(problem, vehicles, some);
        if (!tours) {
            return std::nullopt;
        }
        for (std::size_t i = 0; i < vehicles.size(); ++i) {
            result[vehicles[i]] = std::move((*tours)[i]);
        }
    }
    return result;
}

Points value_of(const Problem& problem, const Tour& tour)
{
    Points value = -(tour.driving.count() * problem.vehicle(tour.vehicle).cost_per_second);
    const Vehicle& vehicle = problem.vehicle(tour.vehicle);
    if (!tour.visits.empty()) {
        value -= vehicle.fixed_cost;
    }
    if (vehicle.overtime && tour.home > vehicle.shift.closes) {
        value -= (tour.home - vehicle.shift.closes).count() * vehicle.overtime->cost_per_second;
    }
    for (const auto& visit : tour.visits) {
        value += problem.prize(visit.job, tour.vehicle);
    }
    return value;
}

Plan plan_of(const Problem& problem, std::vector<Tour> tours)
{
    Plan plan;
    std::vector<bool> served(problem.jobs().size(), false);
    for (const auto& tour : tours) {
        plan.objective += value_of(problem, tour);
        for (const auto& visit : tour.visits) {
            served[visit.job] = true;
        }
    }
    for (std::size_t j = 0; j < served.size(); ++j) {
        if (!served[j]) {
            plan.unserved.push_back(j);
        }
    }
    plan.tours = std::move(tours);
    return plan;
}

}  // namespace nestround::tour
