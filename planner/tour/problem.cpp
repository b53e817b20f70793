#include "planner/tour/problem.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace nestround::tour {

namespace {

/// A broken rule, in words; empty: none.
using Fault = std::string;

[[nodiscard]] bool is_time(seconds t) { return t >= seconds{0} && t < kLatestTime; }

[[nodiscard]] Fault fault_of(const Window& window, const char* what)
{
    if (!is_time(window.opens) || !is_time(window.closes)) {
        return fmt::format("{} {}-{} s lies outside 0 to {} s", what, window.opens.count(),
                           window.closes.count(), kLatestTime.count());
    }
    if (window.closes < window.opens) {
        return fmt::format("{} ends at {} s before it begins at {} s", what, window.closes.count(),
                           window.opens.count());
    }
    return {};
}

/// Holes, negative times (they arrive as huge ones) and places that are away from themselves.
[[nodiscard]] Fault fault_of(const roads::TravelMatrix& travel)
{
    const std::size_t pairs = travel.rows * travel.columns;
    if (travel.rows != travel.columns) {
        return fmt::format("it has {} rows and {} columns; one of each a place is needed",
                           travel.rows, travel.columns);
    }
    if (travel.duration_s.size() != pairs || travel.length_m.size() != pairs) {
        return fmt::format("it has holes: {} times and {} lengths for {} pairs of places",
                           travel.duration_s.size(), travel.length_m.size(), pairs);
    }
    for (std::size_t from = 0; from < travel.rows; ++from) {
        for (std::size_t to = 0; to < travel.columns; ++to) {
            const auto time = travel.seconds_between(from, to);
            const bool linked = time != roads::kUnreachable;
            if (linked && time >= kLatestTime.count()) {
                return fmt::format("the time from place {} to place {} is negative or too long",
                                   from, to);
            }
            if (linked != (travel.metres_between(from, to) != roads::kUnreachable)) {
                return fmt::format(
                    "from place {} to place {} time and length disagree on whether "
                    "there is a road",
                    from, to);
            }
            if (from == to && time != 0) {
                return fmt::format("place {} is {} s away from itself", from, time);
            }
        }
    }
    return {};
}

/// One value for all vehicles, or one a vehicle.
[[nodiscard]] Fault fault_of_count(std::size_t given, std::size_t vehicles, const char* what)
{
    if (given == 1 || (given == vehicles && given > 0)) {
        return {};
    }
    return fmt::format("it has {} {}; one for all, or one for each of {} vehicles, is needed",
                       given, what, vehicles);
}

[[nodiscard]] Fault fault_of_amounts(const std::vector<std::int64_t>& amounts,
                                     const ProblemInput& input, const char* what, bool may_drop)
{
    if (!amounts.empty() && amounts.size() != input.resources) {
        return fmt::format("it names {} {} for {} resources", amounts.size(), what,
                           input.resources);
    }
    for (std::size_t r = 0; r < amounts.size(); ++r) {
        const bool drops =
            may_drop && !input.resource_rules.empty() && input.resource_rules[r].carried;
        const std::int64_t most = kMostPoints.value();
        if (amounts[r] < (drops ? -most : 0) || amounts[r] > most) {
            return fmt::format("its {} of {} is negative or too large", what, amounts[r]);
        }
    }
    return {};
}

[[nodiscard]] Fault fault_of_times(const Job& job)
{
    for (const auto& service : job.service) {
        if (!is_time(service)) {
            return fmt::format("its service of {} s is negative or too long", service.count());
        }
    }
    for (const auto& window : job.windows) {
        if (auto fault = fault_of(window, "its window"); !fault.empty()) {
            return fault;
        }
    }
    if (job.pinned_start) {
        const auto pin = *job.pinned_start;
        const bool inside =
            std::any_of(job.windows.begin(), job.windows.end(),
                        [pin](const Window& w) { return w.opens <= pin && pin <= w.closes; });
        if (!is_time(pin) || (!job.windows.empty() && !inside)) {
            return fmt::format("its pinned start at {} s lies outside its windows", pin.count());
        }
    }
    if (job.ride_limit && !is_time(*job.ride_limit)) {
        return fmt::format("its ride limit of {} s is negative or too long",
                           job.ride_limit->count());
    }
    return {};
}

[[nodiscard]] Fault fault_of(const Follows& follows, const ProblemInput& input)
{
    if (follows.job >= input.jobs.size()) {
        return fmt::format("it follows job {} of {}", follows.job, input.jobs.size());
    }
    if (!is_time(follows.least) || (follows.most && !is_time(*follows.most))) {
        return "the time between it and the job that it follows is negative or too long";
    }
    if (follows.most && *follows.most < follows.least) {
        return fmt::format("it follows after at least {} s and at most {} s", follows.least.count(),
                           follows.most->count());
    }
    // A chain longer than there are jobs bites its own tail.
    std::size_t at = follows.job;
    for (std::size_t steps = 0; steps <= input.jobs.size(); ++steps) {
        const auto& next = input.jobs[at].follows;
        if (!next || next->job >= input.jobs.size()) {
            return {};
        }
        at = next->job;
    }
    return "it follows itself, by way of others or at once";
}

[[nodiscard]] Fault fault_of(const Job& job, const ProblemInput& input)
{
    if (job.place >= input.travel.rows) {
        return fmt::format("its place {} is not one of the {} of the matrix", job.place,
                           input.travel.rows);
    }
    const std::size_t vehicles = input.vehicles.size();
    if (auto fault = fault_of_count(job.prize.size(), vehicles, "prizes"); !fault.empty()) {
        return fault;
    }
    if (auto fault = fault_of_count(job.service.size(), vehicles, "service times");
        !fault.empty()) {
        return fault;
    }
    for (const auto& prize : job.prize) {
        if (prize > kMostPoints || prize < -kMostPoints) {
            return fmt::format("its prize of {} is too large", prize.value());
        }
    }
    for (const auto v : job.forbidden) {
        if (v >= vehicles) {
            return fmt::format("it forbids vehicle {} of {}", v, vehicles);
        }
    }
    if (auto fault = fault_of_amounts(job.demand, input, "demands", true); !fault.empty()) {
        return fault;
    }
    if (job.follows) {
        if (auto fault = fault_of(*job.follows, input); !fault.empty()) {
            return fault;
        }
    }
    return fault_of_times(job);
}

[[nodiscard]] Fault fault_of(const Vehicle& vehicle, const ProblemInput& input)
{
    if (vehicle.start_place >= input.travel.rows || vehicle.end_place >= input.travel.rows) {
        return fmt::format("its places {} and {} are not both among the {} of the matrix",
                           vehicle.start_place, vehicle.end_place, input.travel.rows);
    }
    if (auto fault = fault_of(vehicle.shift, "its shift"); !fault.empty()) {
        return fault;
    }
    if (auto fault = fault_of_amounts(vehicle.capacity, input, "capacities", false);
        !fault.empty()) {
        return fault;
    }
    if (vehicle.cost_per_second < Points{0} || vehicle.cost_per_second > Points{1 << 30}) {
        return fmt::format("its cost of {} points a second is negative or too large",
                           vehicle.cost_per_second.value());
    }
    if (vehicle.fixed_cost < Points{0} || vehicle.fixed_cost > kMostPoints) {
        return fmt::format("its fixed cost of {} is negative or too large",
                           vehicle.fixed_cost.value());
    }
    if (vehicle.overtime) {
        const Overtime& overtime = *vehicle.overtime;
        if (!is_time(overtime.latest_home) || overtime.latest_home < vehicle.shift.closes) {
            return fmt::format("its overtime ends at {} s, before its shift at {} s",
                               overtime.latest_home.count(), vehicle.shift.closes.count());
        }
        if (overtime.cost_per_second < Points{0} || overtime.cost_per_second > Points{1 << 30}) {
            return fmt::format("its overtime of {} points a second is negative or too large",
                               overtime.cost_per_second.value());
        }
    }
    if (vehicle.pause) {
        if (auto fault = fault_of(vehicle.pause->start, "its pause"); !fault.empty()) {
            return fault;
        }
        if (!is_time(vehicle.pause->length)) {
            return fmt::format("its pause of {} s is negative or too long",
                               vehicle.pause->length.count());
        }
    }
    return {};
}

[[nodiscard]] Fault fault_of_resources(const ProblemInput& input)
{
    const auto& rules = input.resource_rules;
    if (!rules.empty() && rules.size() != input.resources) {
        return fmt::format("{} rules for {} resources", rules.size(), input.resources);
    }
    for (std::size_t r = 0; r < rules.size(); ++r) {
        if (rules[r].shared && rules[r].carried) {
            return fmt::format("resource {} is carried, so it cannot be shared too", r);
        }
        if (rules[r].shared && (*rules[r].shared < 0 || *rules[r].shared > kMostPoints.value())) {
            return fmt::format("resource {} has {} for all, which is negative or too large", r,
                               *rules[r].shared);
        }
    }
    return {};
}

[[nodiscard]] Fault fault_of_traffic(const ProblemInput& input)
{
    const auto& slots = input.traffic;
    if (!is_time(input.traffic_period)) {
        return "its period is negative or too long";
    }
    for (std::size_t k = 0; k < slots.size(); ++k) {
        if (k == 0 ? slots[k].from != seconds{0}
                   : !is_time(slots[k].from) || slots[k].from <= slots[k - 1].from) {
            return fmt::format("slot {} begins at {} s; they must rise from 0", k,
                               slots[k].from.count());
        }
        if (slots[k].speed_permille < Traffic::kSlowest ||
            slots[k].speed_permille > Traffic::kFastest) {
            return fmt::format("slot {} has a speed of {} thousandths, outside {} to {}", k,
                               slots[k].speed_permille, Traffic::kSlowest, Traffic::kFastest);
        }
        if (input.traffic_period > seconds{0} && slots[k].from >= input.traffic_period) {
            return fmt::format("slot {} begins at {} s, after the period of {} s", k,
                               slots[k].from.count(), input.traffic_period.count());
        }
    }
    return {};
}

/// Sorted, overlapping and touching ones joined.
[[nodiscard]] std::vector<Window> tidy(std::vector<Window> windows)
{
    std::sort(windows.begin(), windows.end(),
              [](const Window& a, const Window& b) { return a.opens < b.opens; });
    std::vector<Window> joined;
    for (const auto& window : windows) {
        if (!joined.empty() && window.opens <= joined.back().closes + seconds{1}) {
            joined.back().closes = std::max(joined.back().closes, window.closes);
        } else {
            joined.push_back(window);
        }
    }
    return joined;
}

[[nodiscard]] std::vector<Window> windows_of(const Job& job)
{
    if (job.pinned_start) {
        return {{*job.pinned_start, *job.pinned_start}};
    }
    if (job.windows.empty()) {
        return {{seconds{0}, kLatestTime - seconds{1}}};
    }
    return tidy(job.windows);
}

/// Why nobody can do it, each reason once.
[[nodiscard]] std::string reasons_of_all(const Problem& problem, std::size_t j)
{
    std::set<std::string> reasons;
    for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
        auto reason = why_never(problem, j, v);
        if (reason.empty()) {
            return {};
        }
        reasons.insert(std::move(reason));
    }
    return reasons.empty() ? "there is no vehicle" : fmt::format("{}", fmt::join(reasons, "; "));
}

}  // namespace

Problem::Problem(ProblemInput input) : input_{std::move(input)}
{
    const std::size_t vehicles = input_.vehicles.size();
    std::vector<Traffic::Slot> slots;
    for (const auto& slot : input_.traffic) {
        slots.push_back({static_cast<Time>(slot.from.count()), slot.speed_permille});
    }
    traffic_ = Traffic{std::move(slots), static_cast<Time>(input_.traffic_period.count())};
    windows_.reserve(input_.jobs.size());
    serves_.assign(input_.jobs.size() * vehicles, false);
    for (std::size_t j = 0; j < input_.jobs.size(); ++j) {
        const Job& job = input_.jobs[j];
        windows_.push_back(windows_of(job));
        has_follows_ |= job.follows.has_value();
        for (std::size_t v = 0; v < vehicles; ++v) {
            const bool skilled = (job.needs & ~input_.vehicles[v].skills) == 0;
            serves_[j * vehicles + v] =
                skilled &&
                std::find(job.forbidden.begin(), job.forbidden.end(), v) == job.forbidden.end();
        }
    }
}

Result<Problem> Problem::make(ProblemInput input, Hopeless hopeless)
{
    if (auto fault = fault_of(input.travel); !fault.empty()) {
        return fail(ErrorCode::InvalidInput, std::move(fault), "matrix of travel times");
    }
    if (auto fault = fault_of_resources(input); !fault.empty()) {
        return fail(ErrorCode::InvalidInput, std::move(fault), "resources");
    }
    if (auto fault = fault_of_traffic(input); !fault.empty()) {
        return fail(ErrorCode::InvalidInput, std::move(fault), "traffic");
    }
    for (const auto& vehicle : input.vehicles) {
        if (auto fault = fault_of(vehicle, input); !fault.empty()) {
            return fail(ErrorCode::InvalidInput, std::move(fault), vehicle.name);
        }
    }
    for (const auto& job : input.jobs) {
        if (auto fault = fault_of(job, input); !fault.empty()) {
            return fail(ErrorCode::InvalidInput, std::move(fault), job.name);
        }
    }
    Problem problem{std::move(input)};
    if (hopeless == Hopeless::Refuse) {
        for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
            if (auto reasons = reasons_of_all(problem, j); !reasons.empty()) {
                return fail(ErrorCode::Infeasible, "no vehicle can do it: " + reasons,
                            problem.job(j).name);
            }
        }
    }
    return problem;
}

}  // namespace nestround::tour
