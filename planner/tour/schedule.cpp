#include "planner/tour/schedule.hpp"

#include <algorithm>

#include "planner/tour/timing.hpp"

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

[[nodiscard]] Frame frame_of(const Vehicle& vehicle)
{
    Frame frame{{time(vehicle.shift.opens), time(vehicle.shift.closes)}, 0, std::nullopt};
    if (vehicle.pause) {
        frame.pause = PauseRule{time(vehicle.pause->start.opens), time(vehicle.pause->start.closes),
                                time(vehicle.pause->length)};
    }
    return frame;
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

[[nodiscard]] Tour tour_of(const Problem& problem, std::size_t v, std::span<const std::size_t> jobs,
                           const Times& times)
{
    const Vehicle& vehicle = problem.vehicle(v);
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
        visit.arrive = leave + problem.drive(here, place);
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

}  // namespace

std::optional<Tour> schedule(const Problem& problem, std::size_t v,
                             std::span<const std::size_t> jobs)
{
    const Vehicle& vehicle = problem.vehicle(v);
    if (jobs.empty()) {
        Tour idle;
        idle.vehicle = v;
        idle.depart = idle.home = vehicle.shift.opens;
        return idle;
    }
    if (!has_roads(problem, vehicle, jobs)) {
        return std::nullopt;
    }
    Frame frame = frame_of(vehicle);
    frame.drive_out = time(problem.drive(vehicle.start_place, problem.job(jobs.front()).place));
    std::vector<std::vector<Span>> windows;
    std::vector<Step> steps;
    windows.reserve(jobs.size());
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const Job& job = problem.job(jobs[i]);
        const std::size_t next =
            i + 1 < jobs.size() ? problem.job(jobs[i + 1]).place : vehicle.end_place;
        windows.push_back(spans(problem.windows(jobs[i])));
        steps.push_back({windows.back(), time(problem.service(jobs[i], v)),
                         time(problem.drive(job.place, next)),
                         job.ride_limit ? time(*job.ride_limit) : kNoLimit});
    }
    const auto times = Timing{}.solve(steps, frame);
    if (!times) {
        return std::nullopt;
    }
    return tour_of(problem, v, jobs, *times);
}

Points value_of(const Problem& problem, const Tour& tour)
{
    Points value = -(tour.driving.count() * problem.vehicle(tour.vehicle).cost_per_second);
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
