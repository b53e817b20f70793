#include "planner/season/plan_season.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "planner/day/day_problem.hpp"
#include "planner/season/season_words.hpp"
#include "planner/tour/checker.hpp"
#include "planner/tour/solver.hpp"

namespace nestround::season {

namespace {

using tour::Points;

/// How often the worth of a gram is set anew by what is wanted of it.
constexpr int kPriceRounds = 3;
constexpr std::uint64_t kExtraCrewIterations = 600;

/// A vehicle of the problem.
struct CrewOnDay {
    int day = 0;
    std::size_t crew = 0;
};

struct Built {
    tour::Problem problem;
    std::vector<std::size_t> call_of_job;
    std::vector<CrewOnDay> vehicles;
};

[[nodiscard]] std::string fault_of(const SeasonInput& input)
{
    if (input.days < 1 || input.days > 120) {
        return fmt::format("a season of {} days; 1 to 120 can be planned", input.days);
    }
    if (!input.is_off.empty() && input.is_off.size() != static_cast<std::size_t>(input.days)) {
        return "days off are needed for each day or for none";
    }
    if (input.access.size() != input.calls.size()) {
        return "a way of access is needed for each call";
    }
    for (std::size_t c = 0; c < input.calls.size(); ++c) {
        if (input.calls[c].days.size() != static_cast<std::size_t>(input.days) ||
            input.access[c].size() != input.crews.size()) {
            return fmt::format("call {} has {} days of worth and {} ways of access", c,
                               input.calls[c].days.size(), input.access[c].size());
        }
    }
    return {};
}

class Planner {
public:
    explicit Planner(const SeasonInput& input) : input_{input}
    {
        for (int d = 0; d < input.days; ++d) {
            if (!input.is_off.empty() && input.is_off[static_cast<std::size_t>(d)]) {
                continue;
            }
            for (std::size_t k = 0; k < input.crews.size(); ++k) {
                if (input.crews[k].active) {
                    vehicles_.push_back({d, k});
                }
            }
        }
    }

    Result<SeasonPlan> run()
    {
        std::map<std::string, double> price;
        std::vector<std::vector<std::size_t>> start;
        for (int round = 0;; ++round) {
            auto built = build(price);
            if (!built) {
                return tl::unexpected{built.error()};
            }
            const auto plan = search(*built, start, round);
            if (round + 1 == kPriceRounds || !reprice(*built, plan, price)) {
                return result(*built, plan);
            }
            start = calls_of(*built, plan);
        }
    }

private:
    [[nodiscard]] const HoldDay& day_of(std::size_t c, int d) const
    {
        return input_.calls[c].days[static_cast<std::size_t>(d)];
    }

    /// Points of a call on a day, its grams at the price of the round.
    [[nodiscard]] double worth(std::size_t c, int d,
                               const std::map<std::string, double>& price) const
    {
        const HoldDay& day = day_of(c, d);
        // Against leaving it, which loses it sooner or later.
        const double whole = day.worth + day.saved -
                             static_cast<double>(input_.calls[c].road.count()) / 60 *
                                 input_.settings.day.cost_per_driving_minute;
        const auto at = price.find(input_.calls[c].call.outlook.taxon);
        if (at == price.end()) {
            return whole;
        }
        // Only the part that is grams is worth less.
        return whole - (1 - at->second) * day.gram_worth;
    }

    [[nodiscard]] bool is_possible(std::size_t c, const CrewOnDay& vehicle) const
    {
        const SeasonCall& call = input_.calls[c];
        return vehicle.day >= call.known_from && day_of(c, vehicle.day).allowed &&
               input_.access[c][vehicle.crew].method != WorkMethod::NotReached;
    }

    /// The prize with each vehicle; nothing where it may not go.
    [[nodiscard]] std::vector<std::optional<double>> prizes(
        std::size_t c, const std::map<std::string, double>& price) const
    {
        std::vector<std::optional<double>> result(vehicles_.size());
        std::vector<double> days;
        for (int d = 0; d < input_.days; ++d) {
            days.push_back(worth(c, d, price));
        }
        // Only the best days are weighed, and whatever the plan that stood had.
        std::vector<double> sorted;
        for (std::size_t v = 0; v < vehicles_.size(); ++v) {
            if (is_possible(c, vehicles_[v])) {
                sorted.push_back(days[static_cast<std::size_t>(vehicles_[v].day)]);
            }
        }
        const std::size_t most = static_cast<std::size_t>(input_.settings.days_weighed) *
                                 std::max<std::size_t>(1, input_.crews.size());
        double least = 0;
        if (sorted.size() > most) {
            std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(most - 1),
                             sorted.end(), std::greater<>{});
            least = sorted[most - 1];
        }
        const auto standing = input_.standing.find(input_.calls[c].call.sheet.call.id);
        const bool must = input_.calls[c].call.sheet.call.must_take;
        for (std::size_t v = 0; v < vehicles_.size(); ++v) {
            const double prize = days[static_cast<std::size_t>(vehicles_[v].day)];
            const double bonus =
                standing != input_.standing.end() ? keeping(standing->second, vehicles_[v]) : 0;
            if (is_possible(c, vehicles_[v]) &&
                ((prize >= least && prize > 0) || bonus > 0 || must)) {
                result[v] = std::max(prize, 0.0) + bonus;
            }
        }
        return result;
    }

    [[nodiscard]] double keeping(const StandingVisit& was, const CrewOnDay& vehicle) const
    {
        if (was.day != input_.from + std::chrono::days{vehicle.day}) {
            return 0;
        }
        return input_.settings.change_costs *
               (was.crew == input_.crews[vehicle.crew].name ? 1 : 0.5);
    }

    Result<Built> build(const std::map<std::string, double>& price) const
    {
        tour::ProblemInput made;
        made.travel = input_.travel;
        for (const auto& vehicle : vehicles_) {
            made.vehicles.push_back(vehicle_of(vehicle));
        }
        std::vector<std::size_t> call_of_job;
        for (std::size_t c = 0; c < input_.calls.size(); ++c) {
            const auto each = prizes(c, price);
            if (std::none_of(each.begin(), each.end(),
                             [](const auto& p) { return p.has_value(); })) {
                continue;
            }
            made.jobs.push_back(job_of(c, each));
            call_of_job.push_back(c);
        }
        auto problem = tour::Problem::make(std::move(made), tour::Hopeless::Leave);
        if (!problem) {
            return tl::unexpected{problem.error()};
        }
        return Built{std::move(*problem), std::move(call_of_job), vehicles_};
    }

    [[nodiscard]] tour::Vehicle vehicle_of(const CrewOnDay& at) const
    {
        const Crew& crew = input_.crews[at.crew];
        const day::DaySettings& settings = input_.settings.day;
        tour::Vehicle vehicle;
        vehicle.name =
            fmt::format("{}, {}", crew.name, format_day(input_.from + std::chrono::days{at.day}));
        vehicle.start_place = vehicle.end_place = at.crew;
        vehicle.shift = {crew.shift_begins.since_midnight(), crew.shift_ends.since_midnight()};
        vehicle.cost_per_second =
            Points{std::llround(settings.cost_per_driving_minute / 60 * day::kPointScale)};
        if (settings.overtime) {
            vehicle.overtime = tour::Overtime{
                vehicle.shift.closes + *settings.overtime,
                Points{std::llround(settings.cost_per_overtime_minute / 60 * day::kPointScale)}};
        }
        if (settings.lunch) {
            vehicle.pause = tour::Pause{
                {settings.lunch->opens.since_midnight(), settings.lunch->closes.since_midnight()},
                settings.lunch_length};
        }
        return vehicle;
    }

    [[nodiscard]] tour::Job job_of(std::size_t c,
                                   const std::vector<std::optional<double>>& each) const
    {
        const SeasonCall& call = input_.calls[c];
        const day::DaySettings& settings = input_.settings.day;
        tour::Job job;
        job.name = day::name_of(call.call);
        job.place = call.place;
        job.must_take = call.call.sheet.call.must_take && !call.expected;
        const bool is_second = call.call.sheet.call.second.due.has_value();
        if (!is_second) {
            job.ride_limit = settings.comb_ride_limit;  // no comb comes of a second visit
        }
        const seconds from =
            settings.earliest_start ? settings.earliest_start->since_midnight() : seconds{0};
        const seconds to = settings.latest_start ? settings.latest_start->since_midnight()
                                                 : seconds{std::chrono::hours{48}};
        for (const auto& span : call.call.sheet.call.allowed) {
            const tour::Window window{std::max(span.opens.since_midnight(), from),
                                      std::min(span.closes.since_midnight(), to)};
            if (window.opens <= window.closes) {
                job.windows.push_back(window);
            }
        }
        if (job.windows.empty()) {
            job.windows.push_back({from, to});
        }
        for (std::size_t v = 0; v < vehicles_.size(); ++v) {
            job.prize.emplace_back(std::llround(each[v].value_or(0) * day::kPointScale));
            if (!each[v]) {
                job.forbidden.push_back(v);
            }
            job.service.push_back(
                is_second
                    ? day::second_service(call.call.sheet.call, settings)
                    : seconds{std::llround(
                          static_cast<double>(input_.access[c][vehicles_[v].crew].service.count()) *
                          settings.service_factor)});
            job.service.back() += call.road + call.second_work;
        }
        return job;
    }

    [[nodiscard]] tour::Plan search(const Built& built,
                                    const std::vector<std::vector<std::size_t>>& start,
                                    int round) const
    {
        tour::SolveOptions options;
        options.seed = input_.seed + static_cast<std::uint64_t>(round);
        // Later rounds start from a good plan.
        options.stop.iterations = round == 0 ? input_.iterations : input_.iterations / 3;
        if (input_.keep_going) {
            options.progress = [&](const tour::Progress& progress) {
                return input_.keep_going(static_cast<double>(progress.iteration) /
                                         static_cast<double>(options.stop.iterations));
            };
        }
        for (const auto& order : start) {
            auto& jobs = options.start.emplace_back();
            for (const auto c : order) {
                const auto at = std::find(built.call_of_job.begin(), built.call_of_job.end(), c);
                if (at != built.call_of_job.end()) {
                    jobs.push_back(static_cast<std::size_t>(at - built.call_of_job.begin()));
                }
            }
        }
        auto plan = tour::solve(built.problem, options).plan;
        for (const auto& violation : tour::check(built.problem, plan)) {
            if (violation.rule != tour::Rule::MustTake) {
                throw Failure{ErrorCode::Internal,
                              fmt::format("the checker refuses the plan: {}: {}",
                                          tour::text(violation.rule), violation.message),
                              "season"};
            }
        }
        return plan;
    }

    [[nodiscard]] static std::vector<std::vector<std::size_t>> calls_of(const Built& built,
                                                                        const tour::Plan& plan)
    {
        std::vector<std::vector<std::size_t>> orders;
        for (const auto& tour : plan.tours) {
            auto& order = orders.emplace_back();
            for (const auto& visit : tour.visits) {
                order.push_back(built.call_of_job[visit.job]);
            }
        }
        return orders;
    }

    /// Sets the mean worth of a gram of each taxon that is ordered, from what the plan brings of
    /// it; false when nothing moves by more than a twentieth.
    [[nodiscard]] bool reprice(const Built& built, const tour::Plan& plan,
                               std::map<std::string, double>& price) const
    {
        std::map<std::string, double> grams;
        for (const auto& tour : plan.tours) {
            for (const auto& visit : tour.visits) {
                const std::size_t c = built.call_of_job[visit.job];
                grams[input_.calls[c].call.outlook.taxon] +=
                    day_of(c, built.vehicles[tour.vehicle].day).grams.middle.value();
            }
        }
        bool moved = false;
        for (const auto& [taxon, order] : input_.settings.orders) {
            const double brought = grams[taxon];
            const double wanted = order.wanted.value();
            const double mean = brought <= wanted || brought <= 0
                                    ? 1
                                    : (wanted + order.surplus_worth * (brought - wanted)) / brought;
            const double before = price.contains(taxon) ? price[taxon] : 1;
            moved |= std::abs(mean - before) > 0.05;
            price[taxon] = mean;
        }
        return moved;
    }

    [[nodiscard]] SeasonPlan result(const Built& built, const tour::Plan& plan) const
    {
        SeasonPlan season;
        season.checked = true;
        std::vector<int> day_of_call(input_.calls.size(), -1);
        std::vector<std::size_t> crew_of_call(input_.calls.size(), 0);
        for (const auto& tour : plan.tours) {
            if (tour.visits.empty()) {
                continue;
            }
            const CrewOnDay& vehicle = built.vehicles[tour.vehicle];
            SeasonTour shown;
            shown.day = vehicle.day;
            shown.crew = vehicle.crew;
            shown.depart = ClockTime{tour.depart};
            shown.home = ClockTime{tour.home};
            shown.driving = tour.driving;
            shown.driven = Metres{static_cast<double>(tour.metres)};
            for (const auto& visit : tour.visits) {
                const std::size_t c = built.call_of_job[visit.job];
                shown.visits.push_back({c, ClockTime{visit.begin}, ClockTime{visit.leave}});
                day_of_call[c] = vehicle.day;
                crew_of_call[c] = vehicle.crew;
                season.worth += day_of(c, vehicle.day).worth;
                season.expected_visits += input_.calls[c].expected ? 1 : 0;
            }
            season.driving_cost += static_cast<double>(tour.driving.count()) / 60 *
                                   input_.settings.day.cost_per_driving_minute;
            season.tours.push_back(std::move(shown));
        }
        season.grams = grams_by_taxon(input_, day_of_call);
        std::vector<std::string> never(input_.calls.size());
        for (const auto j : plan.unserved) {
            never[built.call_of_job[j]] = why_never(built.problem, j);
        }
        season.choices = choices(input_, day_of_call, crew_of_call, never);
        season.crew_day_worth = extra_crew_days(built, plan);
        return season;
    }

    /// One more crew like the first on each working day in turn: what the plan gains by it, found
    /// by a short search from the plan as it is. A search of the same length without it is the
    /// measure, so that what the search itself still gains is not counted.
    [[nodiscard]] std::vector<double> extra_crew_days(const Built& built,
                                                      const tour::Plan& plan) const
    {
        std::vector<double> worth(static_cast<std::size_t>(input_.days), 0);
        std::vector<std::vector<std::size_t>> orders;
        for (const auto& tour : plan.tours) {
            auto& order = orders.emplace_back();
            for (const auto& visit : tour.visits) {
                order.push_back(visit.job);
            }
        }
        const auto value_of = [&](const tour::Problem& problem) {
            tour::SolveOptions options;
            options.seed = input_.seed;
            options.stop.iterations = kExtraCrewIterations;
            options.start = orders;
            options.start.resize(problem.vehicles().size());
            return static_cast<double>(tour::solve(problem, options).plan.objective.value()) /
                   day::kPointScale;
        };
        const double without = value_of(built.problem);
        for (std::size_t v = 0; v < built.vehicles.size(); ++v) {
            if (v > 0 && built.vehicles[v].day == built.vehicles[v - 1].day) {
                continue;
            }
            const double gain = value_of(with_one_more(built.problem, v)) - without;
            worth[static_cast<std::size_t>(built.vehicles[v].day)] = std::max(0.0, gain);
        }
        return worth;
    }

    /// The problem with vehicle `v` twice.
    [[nodiscard]] static tour::Problem with_one_more(const tour::Problem& problem, std::size_t v)
    {
        tour::ProblemInput more = problem.input();
        more.vehicles.push_back(more.vehicles[v]);
        more.vehicles.back().name += ", one more";
        for (auto& job : more.jobs) {
            if (job.prize.size() > 1) {
                job.prize.push_back(job.prize[v]);
            }
            if (job.service.size() > 1) {
                job.service.push_back(job.service[v]);
            }
            if (std::find(job.forbidden.begin(), job.forbidden.end(), v) != job.forbidden.end()) {
                job.forbidden.push_back(more.vehicles.size() - 1);
            }
        }
        return value_or_throw(tour::Problem::make(std::move(more), tour::Hopeless::Leave));
    }

    /// Why no crew could do it on any of its days, even alone; empty when one could.
    [[nodiscard]] static std::string why_never(const tour::Problem& problem, std::size_t j)
    {
        std::string reason;
        for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
            if (problem.may_serve(j, v)) {
                reason = tour::why_never(problem, j, v);
                if (reason.empty()) {
                    return {};
                }
            }
        }
        return reason;
    }

    const SeasonInput& input_;
    std::vector<CrewOnDay> vehicles_;
};

}  // namespace

void count_second_visit(SeasonCall& call, seconds work, seconds road,
                        const SeasonSettings& settings, const HoldSettings& hold)
{
    const double share = call.call.second_share;
    double most = 0;
    for (const auto& day : call.days) {
        most = std::max(most, day.allowed ? share * day.gram_worth : 0.0);
    }
    const double cost =
        static_cast<double>(road.count()) / 60 * settings.day.cost_per_driving_minute;
    if (most <= cost) {
        return;
    }
    const double people = people_cost(call.call.sheet.call, hold);
    for (std::size_t d = 0; d < call.days.size(); ++d) {
        HoldDay& day = call.days[d];
        day.grams = {day.grams.low * (1 + share), day.grams.middle * (1 + share),
                     day.grams.high * (1 + share)};
        day.catch_points *= 1 + share;
        weigh(day, static_cast<int>(d), people, hold);
    }
    call.second_work = work;
    call.road += road;
}

Result<SeasonPlan> plan_season(const SeasonInput& input)
{
    if (auto fault = fault_of(input); !fault.empty()) {
        return fail(ErrorCode::InvalidInput, std::move(fault), "season");
    }
    return Planner{input}.run();
}

}  // namespace nestround::season
