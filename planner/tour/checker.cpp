#include "planner/tour/checker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace nestround::tour {

namespace {

/// Walks through one plan and writes down what is wrong.
class Inspection {
public:
    Inspection(const Problem& problem, const Plan& plan)
        : problem_{problem}, plan_{plan}, visits_(problem.jobs().size(), 0)
    {
    }

    std::vector<Violation> run()
    {
        if (plan_.tours.size() != problem_.vehicles().size()) {
            note(Rule::OneTourAVehicle, {}, {},
                 fmt::format("{} tours for {} vehicles", plan_.tours.size(),
                             problem_.vehicles().size()));
        }
        for (std::size_t i = 0; i < plan_.tours.size(); ++i) {
            const Tour& tour = plan_.tours[i];
            if (tour.vehicle != i || i >= problem_.vehicles().size()) {
                note(Rule::OneTourAVehicle, {}, {},
                     fmt::format("tour {} is of vehicle {}", i, tour.vehicle));
                continue;
            }
            inspect(tour);
        }
        inspect_jobs();
        inspect_shared();
        for (std::size_t j = 0; j < problem_.jobs().size(); ++j) {
            if (problem_.job(j).follows) {
                inspect_second(j, *problem_.job(j).follows);
            }
        }
        return std::move(found_);
    }

private:
    void note(Rule rule, std::optional<std::size_t> vehicle, std::optional<std::size_t> job,
              const std::string& message)
    {
        std::string who;
        if (vehicle) {
            who += problem_.vehicle(*vehicle).name + ": ";
        }
        if (job) {
            who += problem_.job(*job).name + ": ";
        }
        found_.push_back({rule, vehicle, job, who + message});
    }

    void inspect(const Tour& tour)
    {
        for (const auto& visit : tour.visits) {
            if (visit.job >= problem_.jobs().size()) {
                note(Rule::KnownJobs, tour.vehicle, {},
                     fmt::format("there is no job {}", visit.job));
                return;
            }
            ++visits_[visit.job];
        }
        inspect_fitness(tour);
        if (inspect_roads(tour)) {
            inspect_times(tour);
            inspect_pause(tour);
            inspect_totals(tour);
        }
    }

    void inspect_fitness(const Tour& tour)
    {
        const Vehicle& vehicle = problem_.vehicle(tour.vehicle);
        std::vector<std::int64_t> load(problem_.resources(), 0);
        for (const auto& visit : tour.visits) {
            const Job& job = problem_.job(visit.job);
            const bool barred = std::find(job.forbidden.begin(), job.forbidden.end(),
                                          tour.vehicle) != job.forbidden.end();
            if (barred || (job.needs & vehicle.skills) != job.needs) {
                note(Rule::MayServe, tour.vehicle, visit.job,
                     barred ? "the vehicle is forbidden" : "a skill or gear is missing");
            }
            for (std::size_t r = 0; r < job.demand.size(); ++r) {
                load[r] += job.demand[r];
                const bool over = !vehicle.capacity.empty() && load[r] > vehicle.capacity[r];
                if (problem_.is_carried(r) && (over || load[r] < 0)) {
                    note(Rule::Capacity, tour.vehicle, visit.job,
                         fmt::format("has {} of resource {} aboard on leaving", load[r], r));
                }
            }
        }
        for (std::size_t r = 0; r < vehicle.capacity.size(); ++r) {
            if (!problem_.is_carried(r) && load[r] > vehicle.capacity[r]) {
                note(Rule::Capacity, tour.vehicle, {},
                     fmt::format("carries {} of resource {}, holds {}", load[r], r,
                                 vehicle.capacity[r]));
            }
        }
    }

    /// The places of the tour in order, depots included.
    [[nodiscard]] std::vector<std::size_t> places(const Tour& tour) const
    {
        const Vehicle& vehicle = problem_.vehicle(tour.vehicle);
        if (tour.visits.empty()) {
            return {};
        }
        std::vector<std::size_t> result{vehicle.start_place};
        for (const auto& visit : tour.visits) {
            result.push_back(problem_.job(visit.job).place);
        }
        result.push_back(vehicle.end_place);
        return result;
    }

    bool inspect_roads(const Tour& tour)
    {
        const auto stops = places(tour);
        for (std::size_t i = 0; i + 1 < stops.size(); ++i) {
            if (!problem_.is_linked(stops[i], stops[i + 1])) {
                note(Rule::RoadExists, tour.vehicle, {},
                     fmt::format("no road from place {} to place {}", stops[i], stops[i + 1]));
                return false;
            }
        }
        return true;
    }

    void inspect_times(const Tour& tour)
    {
        const Vehicle& vehicle = problem_.vehicle(tour.vehicle);
        const seconds last =
            vehicle.overtime ? vehicle.overtime->latest_home : vehicle.shift.closes;
        if (tour.depart < vehicle.shift.opens || tour.home > last || tour.home < tour.depart) {
            note(Rule::Shift, tour.vehicle, {},
                 fmt::format("out {}-{} s, allowed {}-{} s", tour.depart.count(), tour.home.count(),
                             vehicle.shift.opens.count(), last.count()));
        }
        if (tour.visits.empty()) {
            return;
        }
        std::size_t here = vehicle.start_place;
        seconds free_at = tour.depart;
        for (std::size_t i = 0; i < tour.visits.size(); ++i) {
            const Visit& visit = tour.visits[i];
            const std::size_t place = problem_.job(visit.job).place;
            const seconds due = arrival(after_pause(tour, i, free_at), here, place);
            if (visit.arrive != due) {
                note(Rule::DriveTime, tour.vehicle, visit.job,
                     fmt::format("arrives at {} s, the road says {} s", visit.arrive.count(),
                                 due.count()));
            }
            inspect_visit(tour, visit);
            here = place;
            free_at = visit.leave;
        }
        const seconds due =
            arrival(after_pause(tour, tour.visits.size(), free_at), here, vehicle.end_place);
        if (tour.home != due) {
            note(
                Rule::DriveTime, tour.vehicle, {},
                fmt::format("is home at {} s, the road says {} s", tour.home.count(), due.count()));
        }
    }

    /// Drives second by second through the slots of the traffic.
    [[nodiscard]] seconds arrival(seconds leave, std::size_t from, std::size_t to) const
    {
        const seconds road = problem_.drive(from, to);
        const auto slots = problem_.traffic_slots();
        if (slots.empty()) {
            return leave + road;
        }
        std::int64_t left = 1000 * road.count();
        seconds now = leave;
        while (left > 0) {
            const seconds period = problem_.traffic_period();
            const seconds clock = period > seconds{0} ? now % period : now;
            int speed = slots.front().speed_permille;
            for (const auto& slot : slots) {
                speed = slot.from <= clock ? slot.speed_permille : speed;
            }
            left -= speed;
            now += seconds{1};
        }
        return now;
    }

    void inspect_visit(const Tour& tour, const Visit& visit)
    {
        const Job& job = problem_.job(visit.job);
        bool inside = job.pinned_start ? visit.begin == *job.pinned_start : job.windows.empty();
        if (!job.pinned_start) {
            for (const auto& window : job.windows) {
                inside |= visit.begin >= window.opens && visit.begin <= window.closes;
            }
        }
        if (!inside || visit.begin < visit.arrive) {
            note(Rule::WindowKept, tour.vehicle, visit.job,
                 fmt::format("arrives at {} s and begins at {} s, outside its hours",
                             visit.arrive.count(), visit.begin.count()));
        }
        const seconds lasts = problem_.service(visit.job, tour.vehicle);
        if (visit.leave - visit.begin != lasts) {
            note(Rule::ServiceTime, tour.vehicle, visit.job,
                 fmt::format("stays {} s, the work takes {} s", (visit.leave - visit.begin).count(),
                             lasts.count()));
        }
        if (job.ride_limit && tour.home - visit.leave > *job.ride_limit) {
            note(Rule::RideLimit, tour.vehicle, visit.job,
                 fmt::format("its cargo rides {} s, at most {} s are allowed",
                             (tour.home - visit.leave).count(), job.ride_limit->count()));
        }
    }

    /// When the vehicle drives on after `stops` stops, `free_at` being the end of the last one.
    [[nodiscard]] seconds after_pause(const Tour& tour, std::size_t stops, seconds free_at) const
    {
        const auto& rule = problem_.vehicle(tour.vehicle).pause;
        // Before the first stop the pause lies before setting off.
        if (rule && tour.pause && stops > 0 && tour.pause->after == stops) {
            return tour.pause->begin + rule->length;
        }
        return free_at;
    }

    void inspect_pause(const Tour& tour)
    {
        const Vehicle& vehicle = problem_.vehicle(tour.vehicle);
        if (!tour.pause) {
            if (vehicle.pause && !tour.visits.empty() && tour.home > vehicle.pause->start.closes) {
                note(Rule::PauseKept, tour.vehicle, {},
                     fmt::format("no pause, yet home only at {} s", tour.home.count()));
            }
            return;
        }
        const PlannedPause pause = *tour.pause;
        if (!vehicle.pause || pause.after > tour.visits.size()) {
            note(Rule::PauseKept, tour.vehicle, {}, "a pause that is not among the rules");
            return;
        }
        const seconds begin = pause.begin;
        const seconds end = begin + vehicle.pause->length;
        const bool before_leaving = pause.after == 0;
        const seconds free_at =
            before_leaving ? vehicle.shift.opens : tour.visits[pause.after - 1].leave;
        if (begin < free_at || begin < vehicle.pause->start.opens ||
            begin > vehicle.pause->start.closes || (before_leaving && end > tour.depart)) {
            note(Rule::PauseKept, tour.vehicle, {},
                 fmt::format("pauses {}-{} s, free from {} s, allowed to begin {}-{} s",
                             begin.count(), end.count(), free_at.count(),
                             vehicle.pause->start.opens.count(),
                             vehicle.pause->start.closes.count()));
        }
    }

    void inspect_totals(const Tour& tour)
    {
        const auto stops = places(tour);
        seconds driving{};
        std::int64_t metres = 0;
        for (std::size_t i = 0; i + 1 < stops.size(); ++i) {
            driving += problem_.drive(stops[i], stops[i + 1]);
            metres += problem_.metres(stops[i], stops[i + 1]);
        }
        if (driving != tour.driving || metres != tour.metres) {
            note(Rule::TotalsTrue, tour.vehicle, {},
                 fmt::format("says {} s and {} m of driving, the legs give {} s and {} m",
                             tour.driving.count(), tour.metres, driving.count(), metres));
        }
        const Vehicle& vehicle = problem_.vehicle(tour.vehicle);
        objective_ += -(driving.count() * vehicle.cost_per_second);
        if (!tour.visits.empty()) {
            objective_ += -vehicle.fixed_cost;
        }
        if (vehicle.overtime && tour.home > vehicle.shift.closes) {
            const seconds over = tour.home - vehicle.shift.closes;
            objective_ += -(over.count() * vehicle.overtime->cost_per_second);
        }
        for (const auto& visit : tour.visits) {
            objective_ += problem_.prize(visit.job, tour.vehicle);
        }
    }

    void inspect_jobs()
    {
        std::vector<std::size_t> missing;
        for (std::size_t j = 0; j < visits_.size(); ++j) {
            if (visits_[j] > 1) {
                note(Rule::ServedOnce, {}, j, fmt::format("visited {} times", visits_[j]));
            }
            if (visits_[j] == 0) {
                missing.push_back(j);
                if (problem_.job(j).must_take) {
                    note(Rule::MustTake, {}, j, "must be taken and is not");
                }
            }
        }
        if (missing != plan_.unserved) {
            note(Rule::UnservedListed, {}, {},
                 fmt::format("{} jobs are listed as unserved, {} are", plan_.unserved.size(),
                             missing.size()));
        }
        if (objective_ != plan_.objective) {
            note(Rule::TotalsTrue, {}, {},
                 fmt::format("the objective says {}, the tours give {}", plan_.objective.value(),
                             objective_.value()));
        }
    }

    void inspect_shared()
    {
        for (std::size_t r = 0; r < problem_.resources(); ++r) {
            const auto limit = problem_.shared_limit(r);
            std::int64_t used = 0;
            for (std::size_t j = 0; j < visits_.size(); ++j) {
                used += visits_[j] * problem_.demand(j, r);
            }
            if (limit && used > *limit) {
                note(Rule::SharedLimit, {}, {},
                     fmt::format("all use {} of resource {}, there are {}", used, r, *limit));
            }
        }
    }

    [[nodiscard]] std::pair<const Tour*, const Visit*> find(std::size_t job) const
    {
        for (const auto& tour : plan_.tours) {
            for (const auto& visit : tour.visits) {
                if (visit.job == job) {
                    return {&tour, &visit};
                }
            }
        }
        return {nullptr, nullptr};
    }

    void inspect_second(std::size_t j, const Follows& rule)
    {
        const auto [tour, second] = find(j);
        if (second == nullptr) {
            return;
        }
        const auto [first_tour, first] = find(rule.job);
        if (first == nullptr) {
            note(Rule::Follows, {}, j, "the job that it follows is not done");
            return;
        }
        const seconds gap = second->begin - first->leave;
        if (gap < rule.least || (rule.most && gap > *rule.most)) {
            note(Rule::Follows, {}, j,
                 fmt::format("begins {} s after the job that it follows", gap.count()));
        }
        if (rule.same_vehicle && tour->vehicle != first_tour->vehicle) {
            note(Rule::Follows, {}, j, "another vehicle did the job that it follows");
        }
    }

    const Problem& problem_;
    const Plan& plan_;
    std::vector<int> visits_;
    Points objective_{};
    std::vector<Violation> found_;
};

}  // namespace

std::string_view text(Rule rule)
{
    switch (rule) {
        case Rule::OneTourAVehicle:
            return "one tour a vehicle";
        case Rule::KnownJobs:
            return "known jobs";
        case Rule::ServedOnce:
            return "served once";
        case Rule::UnservedListed:
            return "unserved listed";
        case Rule::MustTake:
            return "must take";
        case Rule::MayServe:
            return "may serve";
        case Rule::Capacity:
            return "capacity";
        case Rule::SharedLimit:
            return "shared limit";
        case Rule::Follows:
            return "follows";
        case Rule::RoadExists:
            return "road exists";
        case Rule::Shift:
            return "shift";
        case Rule::DriveTime:
            return "drive time";
        case Rule::WindowKept:
            return "window kept";
        case Rule::ServiceTime:
            return "service time";
        case Rule::PauseKept:
            return "pause kept";
        case Rule::RideLimit:
            return "ride limit";
        case Rule::TotalsTrue:
            return "totals true";
    }
    return "unknown rule";
}

std::vector<Violation> check(const Problem& problem, const Plan& plan)
{
    return Inspection{problem, plan}.run();
}

}  // namespace nestround::tour
