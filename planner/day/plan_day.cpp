#include "planner/day/plan_day.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/day/day_problem.hpp"
#include "planner/day/left_out.hpp"
#include "planner/day/limits_check.hpp"
#include "planner/day/load_list.hpp"
#include "planner/day/why.hpp"
#include "planner/day/why_not.hpp"
#include "planner/tour/checker.hpp"
#include "planner/tour/exact.hpp"
#include "planner/tour/route_bound.hpp"
#include "planner/tour/schedule.hpp"
#include "planner/tour/solver.hpp"

namespace nestround::day {

namespace {

/// Days up to this many calls are solved exactly: milliseconds.
constexpr std::size_t kProvenCalls = 9;
constexpr double kPolishShare = 0.15;             ///< see tour::SolveOptions
constexpr std::uint64_t kBoundWork = 24'000'000;  ///< some three quarters of a second at most
constexpr std::uint64_t kExactWork = 2'000'000;   ///< the same

/// With live cargo a proof may take too long to wait for.
[[nodiscard]] bool is_live(const tour::Problem& problem)
{
    return std::any_of(problem.jobs().begin(), problem.jobs().end(),
                       [](const tour::Job& job) { return job.ride_limit.has_value(); });
}

/// The orders of the plan that stands, as jobs.
[[nodiscard]] std::vector<std::vector<std::size_t>> standing_orders(const DayInput& input,
                                                                    const DayProblem& day)
{
    struct Planned {
        ClockTime begin;
        std::size_t vehicle;
        CallId call;
    };
    std::vector<Planned> all;
    for (std::size_t v = 0; v < day.crew_of_vehicle.size(); ++v) {
        for (const auto& [call, begin] : input.standing->crews[day.crew_of_vehicle[v]].planned) {
            all.push_back({begin, v, call});
        }
    }
    // By the hour, so that of two visits to one nest the second is known from the first.
    std::stable_sort(all.begin(), all.end(),
                     [](const Planned& a, const Planned& b) { return a.begin < b.begin; });
    std::vector<std::vector<std::size_t>> orders(day.crew_of_vehicle.size());
    std::vector<bool> is_there(day.call_of_job.size(), false);
    for (const auto& each : all) {
        // A call's jobs stand first visit first.
        for (std::size_t j = 0; j < day.call_of_job.size(); ++j) {
            if (!is_there[j] && input.calls[day.call_of_job[j]].sheet.call.id == each.call) {
                is_there[j] = true;
                orders[each.vehicle].push_back(j);
                break;
            }
        }
    }
    return orders;
}

/// The orders as they stand without what can no longer be kept: of each tour what comes later
/// gives way, and second visits, which hang on the tour of the first too, before everything else.
[[nodiscard]] tour::Plan kept_plan(const tour::Problem& problem,
                                   const std::vector<std::vector<std::size_t>>& orders)
{
    std::vector<std::vector<std::size_t>> kept(orders.size());
    std::vector<tour::Tour> tours;
    for (std::size_t v = 0; v < orders.size(); ++v) {
        auto& order = kept[v];
        for (const auto j : orders[v]) {
            if (problem.job(j).follows) {
                continue;
            }
            order.push_back(j);
            if (!problem.may_serve(j, v) || !within_load(problem, v, order) ||
                !tour::schedule(problem, v, order)) {
                order.pop_back();
            }
        }
        tours.push_back(tour::schedule(problem, v, order).value());
    }
    for (std::size_t v = 0; v < orders.size(); ++v) {
        auto at = kept[v].begin();  // where the next of the tour as it stood belongs
        for (const auto j : orders[v]) {
            if (at != kept[v].end() && *at == j) {
                ++at;
            } else if (problem.job(j).follows) {
                at = kept[v].insert(at, j);
                auto all = problem.may_serve(j, v) && within_load(problem, v, kept[v])
                               ? tour::schedule_all(problem, kept)
                               : std::nullopt;
                if (all) {
                    tours = std::move(*all);
                    ++at;
                } else {
                    at = kept[v].erase(at);
                }
            }
        }
    }
    return tour::plan_of(problem, std::move(tours));
}

[[nodiscard]] std::size_t missing_musts(const tour::Problem& problem, const tour::Plan& plan)
{
    return static_cast<std::size_t>(
        std::count_if(plan.unserved.begin(), plan.unserved.end(),
                      [&](std::size_t j) { return problem.job(j).must_take; }));
}

[[nodiscard]] tour::Plan search(const DayInput& input, const tour::Problem& problem,
                                const std::vector<std::vector<std::size_t>>& start)
{
    if (problem.jobs().size() <= kProvenCalls && !is_live(problem)) {
        return tour::solve_exact(problem).value().plan;
    }
    tour::SolveOptions options;
    options.seed = input.seed;
    options.stop.iterations = input.iterations;
    options.start = start;
    options.polish_share = kPolishShare;
    if (input.keep_going) {
        options.progress = [&](const tour::Progress& progress) {
            return input.keep_going(
                static_cast<double>(progress.iteration) /
                static_cast<double>(std::max<std::uint64_t>(1, input.iterations)));
        };
    }
    auto plan = tour::solve(problem, options).plan;
    fill_gaps(problem, plan);
    return plan;
}

/// What the plan may lie below the best, in per cent; a better one that is found on the way is
/// taken.
[[nodiscard]] std::optional<double> prove(const tour::Problem& problem, tour::Plan& plan)
{
    if (missing_musts(problem, plan) > 0) {
        return std::nullopt;
    }
    auto found = tour::best_bound(problem, plan, kBoundWork);
    const auto bound = found.bound;
    if (found.better) {
        plan = std::move(*found.better);
    }
    if (plan.objective >= bound) {
        return 0;
    }
    if (const auto exact = tour::solve_exact(problem, {kExactWork, &plan})) {
        plan = exact->plan;
        return 0;
    }
    if (bound <= tour::Points{0}) {
        return std::nullopt;
    }
    return 100 *
           (1 - static_cast<double>(plan.objective.value()) / static_cast<double>(bound.value()));
}

/// The rest of the day: the best plan, unless what it brings over the plan that stands is not worth
/// its changes.
[[nodiscard]] tour::Plan search_again(const DayInput& input, const DayProblem& day)
{
    const auto was = standing_orders(input, day);
    auto kept = kept_plan(day.problem, was);
    fill_gaps(day.problem, kept);
    auto better = search(input, day.problem, was);
    const auto less_changes = [&](const tour::Plan& plan) {
        return static_cast<double>(plan.objective.value()) / kPointScale -
               input.standing->change_costs * static_cast<double>(count_changes(was, plan));
    };
    const auto kept_misses = missing_musts(day.problem, kept);
    const auto better_misses = missing_musts(day.problem, better);
    if (better_misses != kept_misses) {
        return better_misses < kept_misses ? better : kept;
    }
    return less_changes(better) > less_changes(kept) ? better : kept;
}

/// Names of must-takes that cannot all be met, the fewest that clash where that can be worked out.
[[nodiscard]] std::string clash(const DayProblem& day, const std::vector<std::size_t>& missing)
{
    const auto smallest = is_live(day.problem) ? std::nullopt : tour::smallest_clash(day.problem);
    const bool is_known = smallest && !smallest->empty();
    std::vector<std::string> names;
    for (const auto j : is_known ? *smallest : missing) {
        std::vector<std::string> hours;
        for (const auto& window : day.problem.windows(j)) {
            hours.push_back(format_clock_span({ClockTime{window.opens}, ClockTime{window.closes}}));
        }
        names.push_back(fmt::format("{} ({})", day.problem.job(j).name, fmt::join(hours, ", ")));
    }
    if (!is_known) {
        return fmt::format("no plan was found that takes {}; drop a must-take or give more time",
                           fmt::join(names, " and "));
    }
    if (names.size() == 1) {
        return fmt::format("{} must be taken, but no crew can do it: {}", names.front(),
                           why_left_out(day, {}, smallest->front()));
    }
    return fmt::format("these must-takes cannot all be met by the crews at work: {}",
                       fmt::join(names, " and "));
}

/// The checker's word on the plan; missing must-takes are the caller's affair.
void verify(const tour::Problem& problem, const tour::Plan& plan)
{
    for (const auto& violation : tour::check(problem, plan)) {
        if (violation.rule != tour::Rule::MustTake) {
            throw Failure{ErrorCode::Internal,
                          fmt::format("the checker refuses the plan: {}: {}",
                                      tour::text(violation.rule), violation.message),
                          "day plan"};
        }
    }
}

/// Sums of forecasts: medians add up; the spreads are taken as independent of each other.
[[nodiscard]] Spread<Grams> sum_of(const std::vector<PlannedStop>& stops)
{
    double middle = 0;
    double below = 0;
    double above = 0;
    for (const auto& stop : stops) {
        const auto& outlook = stop.call.outlook;
        if (!outlook.venom) {
            continue;  // laboratories get nothing from a nest that had insecticide
        }
        middle += outlook.grams.middle.value();
        below += std::pow((outlook.grams.middle - outlook.grams.low).value(), 2);
        above += std::pow((outlook.grams.high - outlook.grams.middle).value(), 2);
    }
    return {Grams{std::max(0.0, middle - std::sqrt(below))}, Grams{middle},
            Grams{middle + std::sqrt(above)}};
}

/// A crew that is out and has nothing more to do.
void go_home(CrewDay& day, const tour::Problem& problem, const tour::Vehicle& vehicle)
{
    if (!problem.is_linked(vehicle.start_place, vehicle.end_place)) {
        return;
    }
    const seconds leave = day.depart.since_midnight();
    day.drive_home = seconds{problem.traffic().arrive(
                         static_cast<tour::Time>(leave.count()),
                         static_cast<tour::Time>(
                             problem.drive(vehicle.start_place, vehicle.end_place).count()))} -
                     leave;
    day.drive_home_length =
        Metres{static_cast<double>(problem.metres(vehicle.start_place, vehicle.end_place))};
    day.driving = day.drive_home;
    day.driven = day.drive_home_length;
    day.home = ClockTime{day.depart.since_midnight() + day.drive_home};
}

/// The last seconds before `arrive` that a drive takes in the traffic there is then.
[[nodiscard]] seconds driven_until(const tour::Problem& problem, seconds arrive, seconds drive)
{
    const auto at = static_cast<tour::Time>(arrive.count());
    return seconds{at - problem.traffic().leave_by(at, static_cast<tour::Time>(drive.count()))};
}

/// What the crew's stops take of what is counted.
[[nodiscard]] std::vector<std::string> uses_of(const DayProblem& day, const tour::Tour& tour)
{
    constexpr std::int64_t kNoEnd = std::int64_t{1} << 40;
    std::vector<std::string> words;
    for (std::size_t r = 0; r < day.resources.size() && !tour.visits.empty(); ++r) {
        std::int64_t used = 0;
        for (const auto& visit : tour.visits) {
            used += day.problem.demand(visit.job, r);
        }
        const std::int64_t most = day.problem.vehicle(tour.vehicle).capacity[r];
        if (most == kNoEnd) {
            continue;
        }
        switch (day.resources[r]) {
            case LimitRule::Noise:
                words.push_back(fmt::format(
                    "noise: {:.0f} of at most {:.0f} % of a day's dose for "
                    "whoever stands by the vacuum all day",
                    std::ceil(static_cast<double>(used) / 100), static_cast<double>(most) / 100));
                break;
            case LimitRule::ColdBox:
                words.push_back(
                    fmt::format("cold box: {} of {} g, the 90 % figures of the catch", used, most));
                break;
            case LimitRule::Bottles:
                words.push_back(fmt::format("vacuum containers: {} of {}", used, most));
                break;
            default:
                words.push_back(fmt::format("comb boxes: room for {} nests, {} taken", most, used));
        }
    }
    return words;
}

/// What is told of a stop that is a second visit.
void make_second(PlannedStop& stop, const DayProblem& day, const tour::Visit& visit,
                 const tour::Plan& plan)
{
    auto& label = stop.call.sheet.site.label;
    label = label.empty() ? "second visit" : label + ", second visit";
    stop.is_second = true;
    if (stop.call.sheet.call.second.due) {
        return;  // rank knows of it
    }
    auto& outlook = stop.call.outlook;
    const double share = stop.call.second_share;
    outlook.grams = {outlook.grams.low * share, outlook.grams.middle * share,
                     outlook.grams.high * share};
    outlook.workers = {outlook.workers.low * share, outlook.workers.middle * share,
                       outlook.workers.high * share};
    outlook.sealed_workers = outlook.sealed_sexuals = {};
    stop.call.score = stop.call.second_score;
    stop.call.reasons = {
        fmt::format("for the wasps that were away at the first visit: {:.0f} % of them "
                    "(assumption)",
                    100 * share)};
    if (!day.problem.job(visit.job).follows) {
        return;
    }
    for (const auto& tour : plan.tours) {
        for (const auto& other : tour.visits) {
            if (other.job == day.problem.job(visit.job).follows->job) {
                stop.after_first = visit.begin - other.leave;
                stop.call.reasons.push_back(fmt::format(
                    "{} after the first visit has ended, at least {} are asked for",
                    in_words(*stop.after_first), in_words(*stop.call.sheet.call.second.after)));
            }
        }
    }
}

[[nodiscard]] CrewDay crew_day(const DayInput& input, const DayProblem& day, const tour::Tour& tour,
                               const tour::Plan& plan)
{
    const tour::Problem& problem = day.problem;
    const tour::Vehicle& vehicle = problem.vehicle(tour.vehicle);
    const std::size_t k = day.crew_of_vehicle[tour.vehicle];
    CrewDay result;
    result.crew = input.crews[k];
    result.depart = ClockTime{tour.depart};
    result.home = ClockTime{tour.home};
    result.driving = tour.driving;
    result.driven = Metres{static_cast<double>(tour.metres)};
    if (tour.pause) {
        result.pause =
            PlannedBreak{tour.pause->after, ClockTime{tour.pause->begin}, vehicle.pause->length};
    }
    std::size_t here = vehicle.start_place;
    for (const auto& visit : tour.visits) {
        const std::size_t c = day.call_of_job[visit.job];
        const std::size_t place = problem.job(visit.job).place;
        PlannedStop stop;
        stop.call = input.calls[c];
        stop.access = input.access[c][k];
        stop.arrive = ClockTime{visit.arrive};
        stop.begin = ClockTime{visit.begin};
        stop.leave = ClockTime{visit.leave};
        stop.drive = driven_until(problem, visit.arrive, problem.drive(here, place));
        stop.drive_length = Metres{static_cast<double>(problem.metres(here, place))};
        here = place;
        if (day.is_second[visit.job]) {
            make_second(stop, day, visit, plan);
        }
        stop.bound_by = bound_by(day, stop, at_work(vehicle));
        result.stops.push_back(std::move(stop));
    }
    if (!result.stops.empty()) {
        result.drive_home =
            driven_until(problem, tour.home, problem.drive(here, vehicle.end_place));
        if (!problem.traffic().is_even()) {
            // The tour counts road, the sheet tells time.
            result.driving = result.drive_home;
            for (const auto& stop : result.stops) {
                result.driving += stop.drive;
            }
        }
        result.drive_home_length =
            Metres{static_cast<double>(problem.metres(here, vehicle.end_place))};
    }
    if (input.standing) {
        const CrewStanding& standing = input.standing->crews[k];
        result.sets_off_from = standing.at;
        if (result.stops.empty() && standing.is_out) {
            go_home(result, problem, vehicle);
        }
    }
    result.uses = uses_of(day, tour);
    result.grams = sum_of(result.stops);
    result.load = load_list(result);
    return result;
}

[[nodiscard]] std::vector<LeftOut> left_out(const DayInput& input, const DayProblem& day,
                                            const tour::Plan& plan)
{
    std::vector<LeftOut> result;
    for (std::size_t c = 0; c < input.calls.size(); ++c) {
        const bool is_done =
            input.standing && std::find(input.standing->done.begin(), input.standing->done.end(),
                                        input.calls[c].sheet.call.id) != input.standing->done.end();
        if (!day.kept_out[c].empty() && !is_done) {
            result.push_back({input.calls[c], day.kept_out[c]});
        }
    }
    for (const auto j : plan.unserved) {
        const auto& follows = day.problem.job(j).follows;
        if (follows && std::find(plan.unserved.begin(), plan.unserved.end(), follows->job) !=
                           plan.unserved.end()) {
            continue;  // the first is named
        }
        if (day.is_second[j] && !input.calls[day.call_of_job[j]].sheet.call.second.due) {
            auto call = input.calls[day.call_of_job[j]];
            call.score = call.second_score;
            result.push_back({std::move(call), "second visit: " + why_left_out(day, plan, j),
                              follows.has_value()});
            continue;
        }
        result.push_back({input.calls[day.call_of_job[j]], why_left_out(day, plan, j)});
    }
    std::sort(result.begin(), result.end(), [](const LeftOut& a, const LeftOut& b) {
        return std::pair{-a.call.score, a.call.sheet.call.id} <
               std::pair{-b.call.score, b.call.sheet.call.id};
    });
    return result;
}

}  // namespace

Result<DayPlan> plan_day(const DayInput& input)
{
    auto made = day_problem(input);
    if (!made) {
        return tl::unexpected{made.error()};
    }
    const DayProblem& day = *made;
    tour::Plan plan = input.standing ? search_again(input, day) : search(input, day.problem, {});
    DayPlan result;
    if (!input.standing) {
        result.within_percent = prove(day.problem, plan);
    }
    verify(day.problem, plan);

    result.cautions = day.cautions;
    std::vector<std::size_t> missing;
    std::copy_if(plan.unserved.begin(), plan.unserved.end(), std::back_inserter(missing),
                 [&](std::size_t j) { return day.problem.job(j).must_take; });
    if (!missing.empty()) {
        auto words = clash(day, missing);
        // A promise that the rest of the day cannot keep is told, and the others are planned.
        if (!input.settings.allow_missing_must && !input.standing) {
            return fail(ErrorCode::Infeasible, std::move(words), "day plan");
        }
        for (const auto j : missing) {
            result.cautions.push_back("NOT TAKEN though it must be: " + day.problem.job(j).name);
        }
        result.cautions.push_back(std::move(words));
    }

    result.day = input.day;
    result.region = input.region;
    result.time_zone = input.time_zone;
    result.seed = input.seed;
    result.checked = true;
    bool carries_ice = false;
    for (const auto& tour : plan.tours) {
        result.crews.push_back(crew_day(input, day, tour, plan));
        if (const auto over = tour.home - day.problem.vehicle(tour.vehicle).shift.closes;
            over > seconds{0} && !tour.visits.empty()) {
            result.cautions.push_back(fmt::format(
                "{} is home at {}, {} after its shift: overtime counted as {:.0f} points",
                result.crews.back().crew.name, format_clock(result.crews.back().home),
                in_words(over),
                static_cast<double>(over.count()) / 60 * input.settings.cost_per_overtime_minute));
        }
        for (const auto& stop : result.crews.back().stops) {
            result.total_score += stop.call.score;
            carries_ice = true;
        }
    }
    if (const auto broken = check_limits(input, result.crews); !broken.empty()) {
        throw Failure{
            ErrorCode::Internal,
            fmt::format("the checker of limits refuses the plan: {}: {}: {}",
                        text(broken.front().rule), broken.front().crew, broken.front().message),
            "day plan"};
    }
    result.held_to = in_plan(input.conditions, input.limits);
    result.not_in_plan = not_in_plan(input.conditions, input.crews, input.limits);
    result.left_out = left_out(input, day, plan);
    for (const auto& [ids, is_why_not] :
         {std::pair{&input.wishes.explain, false}, {&input.wishes.why_not, true}}) {
        for (const auto id : *ids) {
            const auto at = std::find_if(input.calls.begin(), input.calls.end(),
                                         [&](const auto& c) { return c.sheet.call.id == id; });
            if (at == input.calls.end()) {
                return fail(ErrorCode::NotFound,
                            fmt::format("no call {} is waiting on this day", id.text()),
                            "day plan");
            }
            const auto call = static_cast<std::size_t>(at - input.calls.begin());
            result.explained.push_back(
                {*at, is_why_not ? why_not(input, day, plan, call) : why(day, plan, call)});
        }
    }
    if (input.standing) {
        result.from = input.standing->now;
        result.changes = changes_between(*input.standing, result.crews, result.left_out);
    }
    if (carries_ice) {
        result.cautions.push_back(dry_ice_caution());
    }
    result.cautions.emplace_back(
        "a plan supports a decision: local codes, the makers' instructions and licensed practice "
        "come first");
    return result;
}

}  // namespace nestround::day
