#include "planner/season/rehearsal.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>
#include <string>

#include "geocore/base/random.hpp"
#include "planner/day/day_problem.hpp"
#include "planner/tour/schedule.hpp"

namespace nestround::season {

namespace {

using tour::Points;

/// Of the true cost of driving: enough to prefer the shorter of two ways.
constexpr double kDrivingAtWill = 0.05;

/// What chance has in store for a nest, drawn before the season begins.
struct Lot {
    double level = 0.5;     ///< quantile of its true catch
    double lost_after = 0;  ///< days of waiting after which someone else ends it
};

/// The value at quantile `level` of a distribution given by 10, 50 and 90 %, straight between them
/// and at the same slope beyond.
[[nodiscard]] double at_level(const Spread<Grams>& spread, double level)
{
    const double low = spread.low.value();
    const double middle = spread.middle.value();
    const double high = spread.high.value();
    const double value = level < 0.5 ? middle + (middle - low) * (level - 0.5) / 0.4
                                     : middle + (high - middle) * (level - 0.5) / 0.4;
    return std::max(0.0, value);
}

class Season {
public:
    Season(const RehearsalInput& input, Rule rule) : input_{input}, in_{input.season}, rule_{rule}
    {
        Random random{in_.seed};
        for (std::size_t c = 0; c < in_.calls.size(); ++c) {
            Lot lot;
            lot.level = random.uniform(0.02, 0.98);
            lot.lost_after = -input.hold.patience_days * std::log(1 - random.uniform());
            lots_.push_back(lot);
        }
        gone_.assign(in_.calls.size(), false);
    }

    Result<Rehearsal> run()
    {
        Rehearsal result;
        result.rule = rule_;
        for (int day = 0; day < in_.days; ++day) {
            if (input_.keep_going &&
                !input_.keep_going(static_cast<double>(day) / static_cast<double>(in_.days))) {
                break;
            }
            lose(day, result);
            const bool works = in_.is_off.empty() || !in_.is_off[static_cast<std::size_t>(day)];
            if (works) {
                const bool plans = rule_ == Rule::Planner || rule_ == Rule::PlannerAtWill;
                auto tours = plans ? planned(day) : simple(day);
                if (!tours) {
                    return tl::unexpected{tours.error()};
                }
                for (const auto& tour : *tours) {
                    drive(tour, day, result);
                }
            }
            result.worth_by_day.push_back(result.worth);
        }
        for (std::size_t c = 0; c < in_.calls.size(); ++c) {
            if (!gone_[c]) {
                ++result.still_waiting;
                wait_with(c, in_.days, result);
            }
        }
        if (!result.worth_by_day.empty()) {
            result.worth_by_day.back() = result.worth;
        }
        result.worth_by_draw = {result.worth};
        for (const auto& [taxon, order] : in_.settings.orders) {
            const auto caught = caught_.find(taxon);
            if (caught != caught_.end()) {
                result.ordered += std::min(caught->second, order.wanted);
            }
        }
        return result;
    }

private:
    [[nodiscard]] bool waits(std::size_t c, int day) const
    {
        return !gone_[c] && in_.calls[c].known_from <= day;
    }

    /// Charges the days that people lived beside it.
    void wait_with(std::size_t c, int until, Rehearsal& result) const
    {
        const Call& call = in_.calls[c].call.sheet.call;
        const int waited = std::max(0, until - in_.calls[c].known_from);
        const double cost = people_cost(call, input_.hold);
        result.worth -= cost * waited;
        if (cost > 0) {
            result.people_days += waited;
        }
    }

    void lose(int day, Rehearsal& result)
    {
        for (std::size_t c = 0; c < in_.calls.size(); ++c) {
            if (!waits(c, day)) {
                continue;
            }
            const Call& call = in_.calls[c].call.sheet.call;
            const int waited = day - in_.calls[c].known_from;
            const bool is_late =
                call.not_after && in_.from + std::chrono::days{day} > *call.not_after;
            if (is_late || waited > lots_[c].lost_after) {
                gone_[c] = true;
                ++result.lost;
                result.worth -= in_.calls[c].days[static_cast<std::size_t>(day)].saved;
                wait_with(c, day, result);
            }
        }
    }

    void drive(const SeasonTour& tour, int day, Rehearsal& result)
    {
        result.driving += tour.driving;
        result.driven += tour.driven;
        result.worth -= static_cast<double>(tour.driving.count()) / 60 *
                        in_.settings.day.cost_per_driving_minute;
        for (const auto& visit : tour.visits) {
            const SeasonCall& call = in_.calls[visit.call];
            const HoldDay& forecast = call.days[static_cast<std::size_t>(day)];
            const double middle = forecast.grams.middle.value();
            const double grams = at_level(forecast.grams, lots_[visit.call].level);
            gone_[visit.call] = true;
            ++result.taken;
            result.grams += Grams{grams};
            caught_[call.call.outlook.taxon] += Grams{grams};
            wait_with(visit.call, day, result);
            // The worth of the day with the true catch, and nothing for chance: it was there.
            const double per_gram = middle > 0 ? forecast.catch_points / middle : 0;
            result.worth += grams * per_gram + forecast.people_points;
        }
    }

    /// A morning of this planner: the days ahead are planned, the first is driven.
    Result<std::vector<SeasonTour>> planned(int day) const
    {
        SeasonInput morning;
        morning.from = in_.from + std::chrono::days{day};
        morning.days = std::min(input_.look_ahead, in_.days - day);
        morning.crews = in_.crews;
        morning.travel = in_.travel;
        morning.settings = in_.settings;
        morning.settings.day.overtime.reset();  // the rules have none either
        if (rule_ == Rule::PlannerAtWill) {
            morning.settings.day.cost_per_driving_minute *= kDrivingAtWill;
        }
        for (auto& [taxon, order] : morning.settings.orders) {
            const auto caught = caught_.find(taxon);
            if (caught != caught_.end()) {
                order.wanted = std::max(Grams{0}, order.wanted - caught->second);
            }
        }
        morning.seed = in_.seed;
        morning.iterations = in_.iterations;
        if (!in_.is_off.empty()) {
            morning.is_off.assign(in_.is_off.begin() + day,
                                  in_.is_off.begin() + day + morning.days);
        }
        std::vector<std::size_t> origin;
        const auto add = [&](SeasonCall call, std::size_t c) {
            call.known_from = std::max(0, call.known_from - day);
            call.days = rebased(call.days, day, morning.days, call.call.sheet.call);
            morning.calls.push_back(std::move(call));
            morning.access.push_back(in_.access[c]);
            origin.push_back(c);
        };
        for (std::size_t c = 0; c < in_.calls.size(); ++c) {
            if (waits(c, day)) {
                add(in_.calls[c], c);
            }
        }
        const std::size_t known = morning.calls.size();
        if (input_.expected) {
            for (auto& call : input_.expected(day)) {
                if (call.known_from < day + morning.days) {
                    const std::size_t like = call.like;
                    add(std::move(call), like);
                }
            }
        }
        auto plan = plan_season(morning);
        if (!plan) {
            return tl::unexpected{plan.error()};
        }
        std::vector<SeasonTour> tours;
        for (auto& tour : plan->tours) {
            if (tour.day == 0) {
                std::erase_if(tour.visits,
                              [&](const SeasonVisit& visit) { return visit.call >= known; });
                for (auto& visit : tour.visits) {
                    visit.call = origin[visit.call];
                }
                tours.push_back(std::move(tour));
            }
        }
        return tours;
    }

    /// The curve as it looks from a later day: waiting is charged from then on.
    [[nodiscard]] std::vector<HoldDay> rebased(const std::vector<HoldDay>& days, int day, int count,
                                               const Call& call) const
    {
        const double cost = people_cost(call, input_.hold);
        std::vector<HoldDay> result;
        for (int d = 0; d < count; ++d) {
            HoldDay each = days[static_cast<std::size_t>(day + d)];
            weigh(each, d, cost, input_.hold);
            result.push_back(each);
        }
        return result;
    }

    /// A morning of a simple rule: each crew takes the next call of the rule that still fits.
    Result<std::vector<SeasonTour>> simple(int day) const
    {
        tour::ProblemInput made;
        made.travel = in_.travel;
        std::vector<std::size_t> call_of_job;
        std::vector<std::size_t> crew_of_vehicle;
        for (std::size_t k = 0; k < in_.crews.size(); ++k) {
            if (in_.crews[k].active) {
                crew_of_vehicle.push_back(k);
                made.vehicles.push_back(vehicle_of(k));
            }
        }
        for (std::size_t c = 0; c < in_.calls.size(); ++c) {
            if (waits(c, day) && in_.calls[c].days[static_cast<std::size_t>(day)].allowed) {
                made.jobs.push_back(job_of(c, crew_of_vehicle));
                call_of_job.push_back(c);
            }
        }
        const auto problem = tour::Problem::make(std::move(made), tour::Hopeless::Leave);
        if (!problem) {
            return tl::unexpected{problem.error()};
        }
        std::vector<bool> taken(call_of_job.size(), false);
        std::vector<SeasonTour> tours;
        for (std::size_t v = 0; v < crew_of_vehicle.size(); ++v) {
            std::vector<std::size_t> order;
            while (const auto next = next_job(*problem, v, order, taken, call_of_job, day)) {
                order.push_back(*next);
                taken[*next] = true;
            }
            const auto tour = tour::schedule(*problem, v, order).value();
            SeasonTour shown;
            shown.day = day;
            shown.crew = crew_of_vehicle[v];
            shown.driving = tour.driving;
            shown.driven = Metres{static_cast<double>(tour.metres)};
            for (const auto& visit : tour.visits) {
                shown.visits.push_back(
                    {call_of_job[visit.job], ClockTime{visit.begin}, ClockTime{visit.leave}});
            }
            tours.push_back(std::move(shown));
        }
        return tours;
    }

    [[nodiscard]] std::optional<std::size_t> next_job(const tour::Problem& problem, std::size_t v,
                                                      const std::vector<std::size_t>& order,
                                                      const std::vector<bool>& taken,
                                                      const std::vector<std::size_t>& call_of_job,
                                                      int day) const
    {
        const std::size_t here =
            order.empty() ? problem.vehicle(v).start_place : problem.job(order.back()).place;
        std::optional<std::size_t> best;
        double best_key = 0;
        for (std::size_t j = 0; j < call_of_job.size(); ++j) {
            if (taken[j] || !problem.may_serve(j, v)) {
                continue;
            }
            const SeasonCall& call = in_.calls[call_of_job[j]];
            double key = call.known_from;
            if (rule_ == Rule::Nearest) {
                key = problem.is_linked(here, problem.job(j).place)
                          ? static_cast<double>(problem.drive(here, problem.job(j).place).count())
                          : 1e18;
            } else if (rule_ == Rule::Greatest) {
                key = -call.days[static_cast<std::size_t>(day)].grams.middle.value();
            }
            if (best && key >= best_key) {
                continue;
            }
            auto longer = order;
            longer.push_back(j);
            if (tour::schedule(problem, v, longer)) {
                best = j;
                best_key = key;
            }
        }
        return best;
    }

    [[nodiscard]] tour::Vehicle vehicle_of(std::size_t k) const
    {
        const Crew& crew = in_.crews[k];
        tour::Vehicle vehicle;
        vehicle.name = crew.name;
        vehicle.start_place = vehicle.end_place = k;
        vehicle.shift = {crew.shift_begins.since_midnight(), crew.shift_ends.since_midnight()};
        if (in_.settings.day.lunch) {
            vehicle.pause = tour::Pause{{in_.settings.day.lunch->opens.since_midnight(),
                                         in_.settings.day.lunch->closes.since_midnight()},
                                        in_.settings.day.lunch_length};
        }
        return vehicle;
    }

    [[nodiscard]] tour::Job job_of(std::size_t c,
                                   const std::vector<std::size_t>& crew_of_vehicle) const
    {
        tour::Job job;
        job.name = day::name_of(in_.calls[c].call);
        job.place = in_.calls[c].place;
        job.prize = {Points{1}};
        job.ride_limit = in_.settings.day.comb_ride_limit;
        for (const auto& span : in_.calls[c].call.sheet.call.allowed) {
            job.windows.push_back({span.opens.since_midnight(), span.closes.since_midnight()});
        }
        for (std::size_t v = 0; v < crew_of_vehicle.size(); ++v) {
            const auto& way = in_.access[c][crew_of_vehicle[v]];
            if (way.method == WorkMethod::NotReached) {
                job.forbidden.push_back(v);
            }
            job.service.emplace_back(std::llround(static_cast<double>(way.service.count()) *
                                                  in_.settings.day.service_factor));
        }
        return job;
    }

    const RehearsalInput& input_;
    const SeasonInput& in_;
    Rule rule_;
    std::vector<Lot> lots_;
    std::vector<bool> gone_;
    std::map<std::string, Grams> caught_;  ///< so far, by taxon
};

}  // namespace

std::string_view text(Rule rule)
{
    switch (rule) {
        case Rule::Planner:
            return "this planner";
        case Rule::PlannerAtWill:
            return "planner, driving free";
        case Rule::FirstCome:
            return "first come, first served";
        case Rule::Nearest:
            return "nearest first";
        case Rule::Greatest:
            return "greatest nest first";
    }
    return "";
}

Rehearsal mean_of(std::span<const Rehearsal> draws)
{
    assert(!draws.empty());
    Rehearsal mean;
    mean.rule = draws.front().rule;
    mean.worth_by_day.assign(draws.front().worth_by_day.size(), 0);
    const double share = 1 / static_cast<double>(draws.size());
    for (const auto& draw : draws) {
        mean.worth += share * draw.worth;
        mean.grams += share * draw.grams;
        mean.ordered += share * draw.ordered;
        mean.taken += share * draw.taken;
        mean.lost += share * draw.lost;
        mean.still_waiting += share * draw.still_waiting;
        mean.people_days += share * draw.people_days;
        mean.driven += share * draw.driven;
        // Whole seconds are cut to at most a second a draw: nobody reads them.
        mean.driving += seconds{std::llround(share * static_cast<double>(draw.driving.count()))};
        for (std::size_t d = 0; d < mean.worth_by_day.size(); ++d) {
            mean.worth_by_day[d] += share * draw.worth_by_day[d];
        }
        mean.worth_by_draw.push_back(draw.worth);
    }
    return mean;
}

Result<Rehearsal> rehearse(const RehearsalInput& input, Rule rule)
{
    return Season{input, rule}.run();
}

}  // namespace nestround::season
