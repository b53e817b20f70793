#include "planner/day/why_not.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "planner/access/figures.hpp"
#include "planner/day/left_out.hpp"
#include "planner/tour/schedule.hpp"

namespace nestround::day {

namespace {

std::string clock(seconds t) { return format_clock(ClockTime{t}); }

/// Where a call would go.
struct Fit {
    std::string crew;
    seconds begin{};
    bool alone = false;  ///< only instead of other stops
    [[nodiscard]] std::string words() const
    {
        return alone ? fmt::format("{} could take it at {} in place of other stops", crew,
                                   clock(begin))
                     : fmt::format("it would fit with {} at {}", crew, clock(begin));
    }
};

class Changes {
public:
    Changes(const DayInput& input, const DayProblem& day, const tour::Plan& plan, std::size_t call)
        : input_{input}, call_{call}
    {
        orders_.resize(day.crew_of_vehicle.size());
        for (const auto& tour : plan.tours) {
            for (const auto& visit : tour.visits) {
                if (!day.problem.job(visit.job).follows) {
                    orders_[tour.vehicle].push_back(day.call_of_job[visit.job]);
                }
            }
        }
    }

    std::vector<std::string> words()
    {
        const auto as_it_is = put_in(input_);
        is_crowded_ = as_it_is.has_value();
        if (as_it_is && !as_it_is->alone) {
            say("no limit of the day keeps it out");
            return std::move(words_);
        }
        daylight();
        wind();
        thunder();
        heat();
        people();
        loads();
        if (words_.empty()) {
            all_at_once();
        }
        return std::move(words_);
    }

private:
    void say(std::string words) { words_.push_back(std::move(words)); }

    /// A change that helps: room in the tours as they stand; for a call that the limits keep out
    /// altogether, room instead of other stops will do.
    [[nodiscard]] std::optional<Fit> fits(const DayInput& input) const
    {
        auto fit = put_in(input);
        return fit && fit->alone && is_crowded_ ? std::nullopt : fit;
    }

    /// The call put into the tours as they stand, else into empty ones, with the limits of `input`.
    [[nodiscard]] std::optional<Fit> put_in(const DayInput& input) const
    {
        DayInput free = input;
        free.settings.allow_missing_must = true;
        const auto made = day_problem(free);
        if (!made) {
            return std::nullopt;
        }
        const auto job_of = [&](std::size_t call) -> std::optional<std::size_t> {
            const auto at = std::find(made->call_of_job.begin(), made->call_of_job.end(), call);
            return at == made->call_of_job.end()
                       ? std::nullopt
                       : std::optional{static_cast<std::size_t>(at - made->call_of_job.begin())};
        };
        const auto asked = job_of(call_);
        if (!asked) {
            return std::nullopt;
        }
        std::optional<Fit> best;
        for (std::size_t v = 0; v < orders_.size(); ++v) {
            std::vector<std::size_t> jobs;
            for (const auto call : orders_[v]) {
                if (const auto job = job_of(call)) {
                    jobs.push_back(*job);
                }
            }
            try_tour(*made, v, jobs, *asked, false, best);
        }
        for (std::size_t v = 0; v < orders_.size() && !best; ++v) {
            try_tour(*made, v, {}, *asked, true, best);
        }
        return best;
    }

    static void try_tour(const DayProblem& made, std::size_t v,
                         const std::vector<std::size_t>& jobs, std::size_t asked, bool alone,
                         std::optional<Fit>& best)
    {
        if (!made.problem.may_serve(asked, v)) {
            return;
        }
        for (std::size_t at = 0; at <= jobs.size(); ++at) {
            auto order = jobs;
            order.insert(order.begin() + static_cast<std::ptrdiff_t>(at), asked);
            if (!within_load(made.problem, v, order)) {
                continue;
            }
            if (const auto tour = tour::schedule(made.problem, v, order);
                tour && (!best || tour->visits[at].begin < best->begin)) {
                best = Fit{made.problem.vehicle(v).name, tour->visits[at].begin, alone};
            }
        }
    }

    void daylight()
    {
        DayInput other = input_;
        other.limits.light = Light::Off;
        if (input_.limits.light != Light::Off && input_.conditions.light) {
            if (const auto fit = fits(other)) {
                say(fmt::format(
                    "daylight keeps it out ({}); in the dark hours alone {}",
                    input_.conditions.light->to < input_.conditions.light->from
                        ? std::string{"it is dark all day"}
                        : fmt::format("light from {} to {}", clock(input_.conditions.light->from),
                                      clock(input_.conditions.light->to)),
                    fit->words()));
            }
        }
    }

    void wind()
    {
        if (!input_.limits.wind) {
            return;
        }
        std::set<double> speeds;
        for (const auto& hour : input_.conditions.hours) {
            for (const auto& speed : {hour.wind, hour.gust}) {
                if (speed && *speed > *input_.limits.wind) {
                    speeds.insert(speed->value());
                }
            }
        }
        for (const double speed : speeds) {
            DayInput other = input_;
            other.limits.wind = MetresPerSecond{speed};
            if (const auto fit = fits(other)) {
                say(fmt::format("with a wind limit of {} instead of {} {}",
                                speed_words(MetresPerSecond{speed}),
                                speed_words(*input_.limits.wind), fit->words()));
                return;
            }
        }
    }

    void thunder()
    {
        if (!input_.limits.thunder) {
            return;
        }
        DayInput other = input_;
        other.limits.thunder = false;
        if (const auto fit = fits(other)) {
            std::string until;
            for (const auto& bar : barred_hours(input_.conditions, input_.limits)) {
                until = bar.rule == LimitRule::Thunder ? bar.words : until;
            }
            say(fmt::format("thunder keeps it out ({}); on a day without thunder {}", until,
                            fit->words()));
        }
    }

    void heat()
    {
        if (input_.limits.heat == access::HeatClass::Unknown) {
            return;
        }
        for (auto level = static_cast<int>(input_.limits.heat) + 1;
             level <= static_cast<int>(access::HeatClass::ExtremeDanger); ++level) {
            DayInput other = input_;
            other.limits.heat = static_cast<access::HeatClass>(level);
            if (const auto fit = fits(other)) {
                std::vector<std::string> when;
                for (const auto& bar : barred_hours(input_.conditions, input_.limits)) {
                    if (bar.rule == LimitRule::Heat) {
                        when.push_back(bar.words);
                    }
                }
                say(fmt::format("{}; with suits worn up to '{}' {}", fmt::join(when, "; "),
                                access::text(other.limits.heat), fit->words()));
                return;
            }
        }
    }

    void people()
    {
        for (std::size_t k = 0; k < input_.crews.size(); ++k) {
            const int needed = people_needed(input_.access[call_][k]);
            if (!input_.limits.two_people || !input_.crews[k].active ||
                needed <= input_.crews[k].people) {
                continue;
            }
            DayInput other = input_;
            other.crews[k].people = needed;
            if (const auto fit = fits(other)) {
                say(fmt::format("with {} more in {} {}",
                                needed - input_.crews[k].people == 1
                                    ? std::string{"one person"}
                                    : fmt::format("{} people", needed - input_.crews[k].people),
                                input_.crews[k].name, fit->words()));
            }
        }
    }

    void loads()
    {
        if (input_.limits.bottles) {
            DayInput other = input_;
            other.limits.bottles = *input_.limits.bottles + 1;
            if (const auto fit = fits(other)) {
                say(fmt::format("with one vacuum container more {}", fit->words()));
            }
        }
        for (const auto& [kind, what] :
             {std::pair{GearKind::CombBox, "comb box"}, {GearKind::ColdBox, "cold box"}}) {
            one_box_more(kind, what);
        }
        if (input_.limits.vacuum_level) {
            // Whole decibels less at the ear: what a better protector or a quieter tool would do.
            for (int less = 1; less <= 40; ++less) {
                DayInput other = input_;
                other.limits.vacuum_level = *input_.limits.vacuum_level - less;
                if (const auto fit = fits(other)) {
                    say(fmt::format(
                        "its noise would be over {:.0f} % of a person's day; with {} dB "
                        "less at the ear {}",
                        input_.limits.dose_percent, less, fit->words()));
                    return;
                }
            }
        }
    }

    void one_box_more(GearKind kind, const char* what)
    {
        for (std::size_t k = 0; k < input_.crews.size(); ++k) {
            DayInput other = input_;
            for (auto& gear : other.crews[k].gear) {
                if (gear.kind == kind) {
                    ++gear.count;
                    if (const auto fit = fits(other)) {
                        say(fmt::format("with one {} more on the truck of {} {}", what,
                                        input_.crews[k].name, fit->words()));
                    }
                    break;
                }
            }
        }
    }

    void all_at_once()
    {
        DayInput other = input_;
        other.conditions = {};
        other.limits.two_people = false;
        other.limits.vacuum_level.reset();
        other.limits.bottles.reset();
        other.limits.cold_box.reset();
        other.limits.nests_per_comb_box = 0;
        const auto fit = fits(other);
        if (fit) {
            say(
                fmt::format("no single limit keeps it out, several together do; without any of "
                            "them {}",
                            fit->words()));
        } else if (is_crowded_) {
            say("the limits of the day leave room for it, the tours as they stand do not: see "
                "--why");
        } else {
            const auto reason = even_then(other);
            say(fmt::format("without any limit of the day it could not be taken either{}{}",
                            reason.empty() ? "" : ": ", reason));
        }
    }

    /// Why a call is not taken though no limit speaks against it.
    [[nodiscard]] std::string even_then(DayInput input) const
    {
        input.settings.allow_missing_must = true;
        const auto made = day_problem(input);
        if (!made) {
            return {};
        }
        if (!made->kept_out[call_].empty()) {
            return made->kept_out[call_];
        }
        const auto at = std::find(made->call_of_job.begin(), made->call_of_job.end(), call_);
        const auto job = static_cast<std::size_t>(at - made->call_of_job.begin());
        std::set<std::string> reasons;
        for (std::size_t v = 0; v < made->problem.vehicles().size(); ++v) {
            if (made->problem.may_serve(job, v)) {
                reasons.insert(tour::why_never(made->problem, job, v));
            }
        }
        return fmt::format("{}", fmt::join(reasons, "; "));
    }

    const DayInput& input_;
    std::size_t call_;
    bool is_crowded_ = false;  ///< it could be taken as the limits are, were there room
    std::vector<std::vector<std::size_t>> orders_;  ///< calls, one order a vehicle
    std::vector<std::string> words_;
};

}  // namespace

std::vector<std::string> why_not(const DayInput& input, const DayProblem& day,
                                 const tour::Plan& plan, std::size_t call)
{
    for (const auto& tour : plan.tours) {
        for (const auto& visit : tour.visits) {
            if (day.call_of_job[visit.job] == call) {
                return {fmt::format("it is in the plan: {} begins there at {}",
                                    day.problem.vehicle(tour.vehicle).name, clock(visit.begin))};
            }
        }
    }
    std::vector<std::string> words;
    if (!day.kept_out[call].empty()) {
        words.push_back(fmt::format("not asked for: {}", day.kept_out[call]));
    } else {
        const auto at = std::find(day.call_of_job.begin(), day.call_of_job.end(), call);
        words.push_back(fmt::format(
            "not taken: {}",
            why_left_out(day, plan, static_cast<std::size_t>(at - day.call_of_job.begin()))));
    }
    for (auto& change : Changes{input, day, plan, call}.words()) {
        words.push_back(std::move(change));
    }
    return words;
}

std::vector<std::string> bound_by(const DayProblem& day, const PlannedStop& stop,
                                  const tour::Window& shift)
{
    std::vector<std::string> words;
    const seconds begin = stop.begin.since_midnight();
    const auto spans = work_spans(stop.access, stop.leave - stop.begin);
    for (const auto& bar : day.barred) {
        const auto part = barred_part(spans, bar);
        if (!part || bar.to <= shift.opens || bar.from >= shift.closes) {
            continue;
        }
        // A bar far from the work has not moved it; the day's own line names them all.
        constexpr seconds kNear{std::chrono::minutes{45}};
        const seconds gap = bar.to <= begin + part->opens + seconds{1}
                                ? begin + part->opens - bar.to
                                : bar.from - (begin + part->closes);
        if (gap > kNear) {
            continue;
        }
        const char* what = bar.work == Work::Ladder         ? "on the ladder"
                           : bar.work == Work::PoleOrLadder ? "with pole or ladder"
                                                            : "in suits";
        if (bar.to <= begin + part->opens + seconds{1}) {
            words.push_back(fmt::format(
                "{}: work {} here begins after {}{} ({})", text(bar.rule), what, clock(bar.to),
                stop.begin > stop.arrive ? ", so the crew waits" : "", bar.words));
        } else {
            words.push_back(fmt::format("{}: work {} here is over before {} ({})", text(bar.rule),
                                        what, clock(bar.from), bar.words));
        }
    }
    return words;
}

}  // namespace nestround::day
