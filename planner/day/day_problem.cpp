#include "planner/day/day_problem.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace nestround::day {

namespace {

using tour::Points;
using tour::Window;

/// Of one call: what the wishes say.
struct Wish {
    bool must = false;
    bool never = false;
    std::optional<ClockTime> pin;
};

class Builder {
public:
    explicit Builder(const DayInput& input) : input_{input} {}

    Result<DayProblem> build()
    {
        if (auto fault = fault_of(input_); !fault.empty()) {
            return fail(ErrorCode::InvalidInput, std::move(fault), "day plan");
        }
        if (auto read = read_wishes(); !read) {
            return tl::unexpected{read.error()};
        }
        barred_ = barred_hours(input_.conditions, input_.limits);
        resources_ = counted(input_.crews, input_.limits);
        add_vehicles();
        for (std::size_t c = 0; c < input_.calls.size(); ++c) {
            if (auto added = add_call(c); !added) {
                return tl::unexpected{added.error()};
            }
        }
        return finish();
    }

private:
    [[nodiscard]] std::optional<std::size_t> find(CallId id) const
    {
        for (std::size_t c = 0; c < input_.calls.size(); ++c) {
            if (input_.calls[c].sheet.call.id == id) {
                return c;
            }
        }
        return std::nullopt;
    }

    Result<void> read_wishes()
    {
        wishes_.resize(input_.calls.size());
        const auto each = [&](CallId id, auto&& note) -> Result<void> {
            const auto c = find(id);
            if (!c) {
                return fail(ErrorCode::NotFound,
                            fmt::format("no call {} is waiting on this day", id.text()),
                            "day plan");
            }
            note(wishes_[*c]);
            return {};
        };
        Result<void> read;
        for (const auto& id : input_.wishes.must) {
            read = read ? each(id, [](Wish& w) { w.must = true; }) : read;
        }
        for (const auto& id : input_.wishes.never) {
            read = read ? each(id, [](Wish& w) { w.never = true; }) : read;
        }
        for (const auto& [id, at] : input_.wishes.pins) {
            read = read ? each(id, [at = at](Wish& w) { w.pin = at; }) : read;
        }
        for (std::size_t c = 0; c < wishes_.size() && read; ++c) {
            wishes_[c].must |= wishes_[c].pin.has_value();
            if (wishes_[c].must && wishes_[c].never) {
                read = fail(ErrorCode::InvalidInput, "is asked for and ruled out at once",
                            name_of(input_.calls[c]));
            }
        }
        return read;
    }

    void add_vehicles()
    {
        for (std::size_t k = 0; k < input_.crews.size(); ++k) {
            const Crew& crew = input_.crews[k];
            if (!crew.active) {
                continue;
            }
            tour::Vehicle vehicle;
            vehicle.name = crew.name;
            vehicle.start_place = vehicle.end_place = k;
            vehicle.shift = {crew.shift_begins.since_midnight(), crew.shift_ends.since_midnight()};
            vehicle.cost_per_second =
                Points{std::llround(input_.settings.cost_per_driving_minute / 60 * kPointScale)};
            if (input_.settings.overtime) {
                vehicle.overtime =
                    tour::Overtime{vehicle.shift.closes + *input_.settings.overtime,
                                   Points{std::llround(input_.settings.cost_per_overtime_minute /
                                                       60 * kPointScale)}};
            }
            if (input_.settings.lunch) {
                vehicle.pause = tour::Pause{{input_.settings.lunch->opens.since_midnight(),
                                             input_.settings.lunch->closes.since_midnight()},
                                            input_.settings.lunch_length};
            }
            for (const auto rule : resources_) {
                vehicle.capacity.push_back(room(rule, k));
            }
            if (input_.standing) {
                set_off_again(vehicle, k);
            }
            crew_of_vehicle_.push_back(k);
            vehicles_.push_back(std::move(vehicle));
        }
    }

    /// What is left of a counted thing; a crew that is not held to it has room without end.
    [[nodiscard]] std::int64_t room(LimitRule rule, std::size_t k)
    {
        constexpr std::int64_t kNoEnd = std::int64_t{1} << 40;
        const auto most = most_of(rule, input_.crews[k], input_.limits);
        if (!most) {
            return kNoEnd;
        }
        std::int64_t left = *most;
        if (input_.standing) {
            for (const auto id : input_.standing->crews[k].done) {
                if (const auto c = find(id)) {
                    left -= share_of(rule, input_.calls[*c], input_.access[*c][k], input_);
                } else if (unknown_use_.insert(k).second) {
                    cautions_.push_back(fmt::format(
                        "{}: what some of its finished stops used of ears and boxes is not known: "
                        "they are closed in the book",
                        input_.crews[k].name));
                }
            }
        }
        return std::max<std::int64_t>(left, 0);
    }

    /// The rest of a day: from where the crew is and when it is free, home in time for live comb.
    void set_off_again(tour::Vehicle& vehicle, std::size_t k)
    {
        const CrewStanding& standing = input_.standing->crews[k];
        vehicle.start_place = input_.crews.size() + input_.calls.size() + k;
        const seconds free_at = std::max(standing.free_at, input_.standing->now).since_midnight();
        seconds home_by = at_work(vehicle).closes;
        if (standing.home_by) {
            home_by = std::min(home_by, standing.home_by->since_midnight());
        }
        vehicle.shift.opens = std::max(vehicle.shift.opens, free_at);
        if (home_by < vehicle.shift.opens) {
            cautions_.push_back(fmt::format("{} should be home by {}: it takes nothing more",
                                            vehicle.name, format_clock(ClockTime{home_by})));
        }
        vehicle.shift.closes =
            std::max(std::min(home_by, vehicle.shift.closes), vehicle.shift.opens);
        if (vehicle.overtime) {
            vehicle.overtime->latest_home = std::max(home_by, vehicle.shift.closes);
        }
        if (standing.rested) {
            vehicle.pause.reset();
        } else if (vehicle.pause && vehicle.pause->start.closes < vehicle.shift.opens) {
            cautions_.push_back(vehicle.name + ": the hours of its midday break have gone by");
            vehicle.pause.reset();
        }
    }

    /// What keeping to the plan that stands is worth: half for the day, half for the crew.
    [[nodiscard]] std::vector<Points> prizes(Points worth, CallId id) const
    {
        if (!input_.standing) {
            return {worth};
        }
        const Standing& standing = *input_.standing;
        const Points half{std::llround(standing.change_costs / 2 * kPointScale)};
        const auto has = [&](std::size_t k) {
            const auto& planned = standing.crews[k].planned;
            return std::any_of(planned.begin(), planned.end(),
                               [&](const auto& each) { return each.first == id; });
        };
        bool is_planned = false;
        for (std::size_t k = 0; k < standing.crews.size(); ++k) {
            is_planned |= has(k);
        }
        std::vector<Points> prizes;
        for (const auto k : crew_of_vehicle_) {
            Points prize = worth;
            prize += is_planned ? half : Points{0};
            prize += has(k) ? half : Points{0};
            prizes.push_back(prize);
        }
        return prizes;
    }

    /// The rule of the call's own that keeps it out of this day; empty: none.
    [[nodiscard]] std::string own_rule(std::size_t c) const
    {
        const rank::RankedCall& ranked = input_.calls[c];
        const Call& call = ranked.sheet.call;
        if (is_done(c)) {
            return "done today";
        }
        if (wishes_[c].never) {
            return "ruled out for this plan";
        }
        if (call.state != CallState::Waiting) {
            return call.state == CallState::Taken ? "already taken" : "given up";
        }
        if (call.not_before && input_.day < *call.not_before) {
            return "not before " + format_day_long(*call.not_before);
        }
        if (call.not_after && input_.day > *call.not_after) {
            return "its last day was " + format_day_long(*call.not_after);
        }
        if (const auto due = due_since(c); due && *due >= std::chrono::hours{24}) {
            return "its second visit is not due on this day yet";
        }
        if (!input_.no_road.empty() && !input_.no_road[c].empty()) {
            return "no road: " + input_.no_road[c];
        }
        if (crew_of_vehicle_.empty()) {
            return "no crew is at work";
        }
        std::set<std::string> unreached;
        std::set<std::string> lonely;
        for (const auto k : crew_of_vehicle_) {
            if (input_.access[c][k].method == WorkMethod::NotReached) {
                unreached.insert(input_.access[c][k].words);
            } else if (!has_people(c, k)) {
                lonely.insert(
                    fmt::format("{} has {} of the {} people that its way of work asks for",
                                input_.crews[k].name, input_.crews[k].people,
                                people_needed(input_.access[c][k])));
            } else {
                return {};
            }
        }
        if (!lonely.empty()) {
            return fmt::format("two people: {}", fmt::join(lonely, "; "));
        }
        return fmt::format("not reached with this gear: {}", fmt::join(unreached, "; or: "));
    }

    /// From local midnight of the day; empty: its first visit was not made.
    [[nodiscard]] std::optional<seconds> due_since(std::size_t c) const
    {
        return input_.second_due.empty() ? std::nullopt : input_.second_due[c];
    }

    /// The work of a visit: the whole of it at a first one.
    [[nodiscard]] seconds work(std::size_t c, const access::AccessPlan& access, bool second) const
    {
        return second ? second_service(input_.calls[c].sheet.call, input_.settings)
                      : service_of(access, input_.settings);
    }

    [[nodiscard]] bool has_people(std::size_t c, std::size_t k) const
    {
        return !input_.limits.two_people ||
               people_needed(input_.access[c][k]) <= input_.crews[k].people;
    }

    /// The hours of a call as the limits of the day leave them. Crews differ in how they work, but
    /// a job has one set of hours: those of all crews where they leave at least half of the widest,
    /// else the widest, and crews that these do not suit may not take it.
    struct Cut {
        bool is_cut = false;  ///< by any bar inside a shift
        std::vector<Window> hours;
        std::vector<std::size_t> forbidden;  ///< vehicles
        std::string rule;                    ///< that leaves nothing
    };
    [[nodiscard]] Cut cut(std::size_t c, const std::vector<Window>& asked, bool second) const
    {
        Cut result;
        std::vector<std::vector<Window>> of(crew_of_vehicle_.size());
        std::set<std::string> rules;
        std::optional<std::size_t> widest;
        for (std::size_t v = 0; v < of.size(); ++v) {
            const auto& access = input_.access[c][crew_of_vehicle_[v]];
            if (access.method == WorkMethod::NotReached || !has_people(c, crew_of_vehicle_[v])) {
                result.forbidden.push_back(v);
                continue;
            }
            const auto spans = work_spans(access, work(c, access, second));
            // A bar outside the shift is no news to anybody.
            const auto in_shift = in_both(asked, {at_work(vehicles_[v])});
            std::vector<const Barred*> bites;
            const auto left = cut_hours(in_shift, spans, barred_, &bites);
            if (!in_shift.empty() && left.empty()) {
                result.forbidden.push_back(v);
                for (const auto* bar : bites) {
                    rules.insert(fmt::format("{}: {}", text(bar->rule), bar->words));
                }
                continue;
            }
            result.is_cut |= !bites.empty();
            of[v] = bites.empty() ? asked : cut_hours(asked, spans, barred_);
            if (!widest || worked(of[v], v) > worked(of[*widest], *widest)) {
                widest = v;
            }
        }
        if (!widest) {
            result.rule = fmt::format("{}", fmt::join(rules, "; "));
            return result;
        }
        std::vector<Window> common = of[*widest];
        for (const auto& hours : of) {
            common = hours.empty() ? common : in_both(common, hours);
        }
        const seconds most = worked(of[*widest], *widest);
        const bool share = worked(common, *widest) * 2 >= most;
        result.hours = share ? common : of[*widest];
        for (std::size_t v = 0; v < of.size() && !share; ++v) {
            if (!of[v].empty() && worked(in_both(of[*widest], of[v]), *widest) < most) {
                result.forbidden.push_back(v);
            }
        }
        return result;
    }

    /// Of hours, what lies in the shift of a vehicle.
    [[nodiscard]] seconds worked(const std::vector<Window>& hours, std::size_t v) const
    {
        return length(in_both(hours, {at_work(vehicles_[v])}));
    }

    [[nodiscard]] static std::vector<Window> in_both(const std::vector<Window>& a,
                                                     const std::vector<Window>& b)
    {
        std::vector<Window> both;
        for (const auto& x : a) {
            for (const auto& y : b) {
                const Window part{std::max(x.opens, y.opens), std::min(x.closes, y.closes)};
                if (part.opens <= part.closes) {
                    both.push_back(part);
                }
            }
        }
        return both;
    }
    [[nodiscard]] static seconds length(const std::vector<Window>& windows)
    {
        seconds sum{0};
        for (const auto& window : windows) {
            sum += window.closes - window.opens + seconds{1};
        }
        return sum;
    }

    [[nodiscard]] bool is_done(std::size_t c) const
    {
        return input_.standing &&
               std::find(input_.standing->done.begin(), input_.standing->done.end(),
                         input_.calls[c].sheet.call.id) != input_.standing->done.end();
    }

    [[nodiscard]] std::ptrdiff_t times_done(std::size_t c) const
    {
        return std::count(input_.standing->done.begin(), input_.standing->done.end(),
                          input_.calls[c].sheet.call.id);
    }

    [[nodiscard]] double insecticide_factor(std::size_t c) const
    {
        return input_.calls[c].sheet.nest.insecticide ? input_.settings.insecticide_factor : 1;
    }

    /// Hours in which work may begin; empty: none are left.
    [[nodiscard]] std::vector<Window> hours(const Call& call) const
    {
        const DaySettings& s = input_.settings;
        const seconds from = s.earliest_start ? s.earliest_start->since_midnight() : seconds{0};
        const seconds to =
            s.latest_start ? s.latest_start->since_midnight() : seconds{std::chrono::hours{48}};
        std::vector<Window> result;
        const auto add = [&](seconds opens, seconds closes) {
            const Window window{std::max(opens, from), std::min(closes, to)};
            if (window.opens <= window.closes) {
                result.push_back(window);
            }
        };
        for (const auto& span : call.allowed) {
            add(span.opens.since_midnight(), span.closes.since_midnight());
        }
        if (call.allowed.empty()) {
            add(seconds{0}, seconds{std::chrono::hours{48}});
        }
        return result;
    }

    /// A must that cannot be: an error, or a caution where the settings allow that.
    Result<void> keep_out(std::size_t c, std::string rule)
    {
        const bool promised = input_.calls[c].sheet.call.must_take && !wishes_[c].never &&
                              input_.calls[c].sheet.call.state == CallState::Waiting &&
                              is_its_day(input_.calls[c].sheet.call);
        if (wishes_[c].must || promised) {
            if (!input_.settings.allow_missing_must) {
                return fail(ErrorCode::Infeasible, "must be taken, but: " + rule,
                            name_of(input_.calls[c]));
            }
            cautions_.push_back("NOT TAKEN though it must be: " + name_of(input_.calls[c]) + ": " +
                                rule);
        } else if (wishes_[c].never && input_.calls[c].sheet.call.must_take) {
            cautions_.push_back("promised to the client, yet ruled out for this plan: " +
                                name_of(input_.calls[c]));
        }
        kept_out_[c] = std::move(rule);
        return {};
    }

    [[nodiscard]] bool is_its_day(const Call& call) const
    {
        return !(call.not_before && input_.day < *call.not_before) &&
               !(call.not_after && input_.day > *call.not_after);
    }

    Result<void> add_call(std::size_t c)
    {
        kept_out_.emplace_back();
        const rank::RankedCall& ranked = input_.calls[c];
        if (auto rule = own_rule(c); !rule.empty()) {
            if (is_done(c)) {
                kept_out_[c] = std::move(rule);
                if (ranked.sheet.call.second.after && !due_since(c) && times_done(c) == 1) {
                    add_second(c, insecticide_factor(c), {});
                }
                return {};
            }
            return keep_out(c, std::move(rule));
        }
        const bool must = ranked.sheet.call.must_take || wishes_[c].must;
        const double factor = insecticide_factor(c);
        const Points prize{std::llround(ranked.score * factor * kPointScale)};
        if (prize <= Points{0} && !must) {
            return keep_out(c, "worth nothing on this day");
        }
        tour::Job job;
        job.name = name_of(ranked);
        job.place = input_.crews.size() + c;
        job.prize = prizes(prize, ranked.sheet.call.id);
        job.must_take = must;
        const auto due = due_since(c);
        job.ride_limit = due ? std::nullopt : input_.settings.comb_ride_limit;
        job.windows = hours(ranked.sheet.call);
        if (due) {
            job.windows = in_both(job.windows,
                                  {{std::max(*due, seconds{0}), seconds{std::chrono::hours{48}}}});
        }
        if (job.windows.empty()) {
            return keep_out(c, due ? "its hours are over before its second visit is due"
                                   : "its hours lie outside those in which work may begin");
        }
        Cut hours_left = cut(c, job.windows, due.has_value());
        if (hours_left.hours.empty()) {
            return keep_out(c, hours_left.rule.empty()
                                   ? std::string{"its hours lie outside the shifts"}
                                   : std::move(hours_left.rule));
        }
        if (hours_left.is_cut) {
            job.windows = std::move(hours_left.hours);
        }
        job.forbidden = std::move(hours_left.forbidden);
        if (wishes_[c].pin) {
            const seconds pin = wishes_[c].pin->since_midnight();
            const bool inside =
                std::any_of(job.windows.begin(), job.windows.end(),
                            [pin](const Window& w) { return w.opens <= pin && pin <= w.closes; });
            if (!inside) {
                return fail(
                    ErrorCode::InvalidInput,
                    fmt::format("pinned to {}, outside its hours", format_clock(*wishes_[c].pin)),
                    job.name);
            }
            job.pinned_start = pin;
        }
        fill_work(job, c, due.has_value());
        const bool may_follow = ranked.sheet.call.second.after && !due;
        add_job(std::move(job), c, prize, due.has_value());
        if (may_follow) {
            add_second(c, factor, jobs_.size() - 1);
        }
        return {};
    }

    /// Its work by crew, and what it takes of what is counted.
    void fill_work(tour::Job& job, std::size_t c, bool second) const
    {
        for (std::size_t v = 0; v < crew_of_vehicle_.size(); ++v) {
            job.service.push_back(work(c, input_.access[c][crew_of_vehicle_[v]], second));
        }
        const bool is_due = input_.calls[c].sheet.call.second.due.has_value();
        for (const auto rule : resources_) {
            std::int64_t most = 0;  // of the crews that may take it: a job has one demand
            for (std::size_t v = 0; v < crew_of_vehicle_.size(); ++v) {
                if (std::find(job.forbidden.begin(), job.forbidden.end(), v) ==
                    job.forbidden.end()) {
                    most = std::max(
                        most, share_of(rule, input_.calls[c], input_.access[c][crew_of_vehicle_[v]],
                                       input_, second && !is_due));
                }
            }
            job.demand.push_back(most);
        }
    }

    void add_job(tour::Job job, std::size_t c, Points worth, bool second)
    {
        worth_.push_back(worth);
        call_of_job_.push_back(c);
        is_second_.push_back(second);
        jobs_.push_back(std::move(job));
    }

    /// The second visit of a call whose first is asked for too, or was made just now: `first` is
    /// its job. Nothing is promised of it.
    void add_second(std::size_t c, double factor, std::optional<std::size_t> first)
    {
        const rank::RankedCall& ranked = input_.calls[c];
        const Points prize{std::llround(ranked.second_score * factor * kPointScale)};
        if (prize <= Points{0}) {
            return;
        }
        tour::Job job;
        job.name = name_of(ranked) + ", second visit";
        job.place = input_.crews.size() + c;
        job.prize = {prize};
        job.windows = hours(ranked.sheet.call);
        const seconds after = *ranked.sheet.call.second.after;
        if (first) {
            job.follows = tour::Follows{*first, after, {}, false};
        } else {
            // When it ended is not in the book: counted from now.
            job.windows = in_both(job.windows, {{input_.standing->now.since_midnight() + after,
                                                 seconds{std::chrono::hours{48}}}});
        }
        Cut left = cut(c, job.windows, true);
        if (left.hours.empty()) {
            return;
        }
        if (left.is_cut) {
            job.windows = std::move(left.hours);
        }
        job.forbidden = std::move(left.forbidden);
        fill_work(job, c, true);
        add_job(std::move(job), c, prize, true);
    }

    /// Comb that comes home needs a place there: one a nest, for all crews together. What was
    /// promised is taken all the same.
    void keep_room(tour::ProblemInput& problem)
    {
        if (!input_.settings.comb_room) {
            return;
        }
        std::ptrdiff_t promised = 0;
        for (std::size_t j = 0; j < problem.jobs.size(); ++j) {
            promised += problem.jobs[j].must_take && !is_second_[j] ? 1 : 0;
        }
        const auto room = static_cast<std::int64_t>(std::max(0, *input_.settings.comb_room));
        if (promised > room) {
            cautions_.push_back(
                fmt::format("the room for comb at home holds {} more, and {} nests are promised",
                            room, promised));
        }
        // After what is counted for each crew; no crew alone is held to it.
        constexpr std::int64_t kNoEnd = std::int64_t{1} << 40;
        problem.resource_rules.resize(problem.resources);
        problem.resource_rules.push_back({false, std::max<std::int64_t>(room, promised)});
        for (auto& vehicle : problem.vehicles) {
            vehicle.capacity.resize(problem.resources, kNoEnd);
            vehicle.capacity.push_back(kNoEnd);
        }
        for (std::size_t j = 0; j < problem.jobs.size(); ++j) {
            problem.jobs[j].demand.resize(problem.resources, 0);
            problem.jobs[j].demand.push_back(is_second_[j] ? 0 : 1);
        }
        ++problem.resources;
    }

    Result<DayProblem> finish()
    {
        tour::ProblemInput problem{input_.travel, std::move(jobs_), std::move(vehicles_),
                                   resources_.size()};
        problem.traffic = input_.traffic;
        problem.traffic_period = input_.traffic.empty() ? seconds{0} : std::chrono::hours{24};
        keep_room(problem);
        auto made = tour::Problem::make(std::move(problem), tour::Hopeless::Leave);
        if (!made) {
            return tl::unexpected{made.error()};
        }
        return DayProblem{
            std::move(*made),      std::move(call_of_job_), std::move(crew_of_vehicle_),
            std::move(is_second_), std::move(kept_out_),    std::move(worth_),
            std::move(barred_),    std::move(resources_),   std::move(cautions_)};
    }

    const DayInput& input_;
    std::vector<Wish> wishes_;
    std::vector<tour::Job> jobs_;
    std::vector<tour::Vehicle> vehicles_;
    std::vector<std::size_t> call_of_job_;
    std::vector<bool> is_second_;
    std::vector<std::size_t> crew_of_vehicle_;
    std::vector<std::string> kept_out_;
    std::vector<Points> worth_;
    std::vector<Barred> barred_;
    std::vector<LimitRule> resources_;
    std::set<std::size_t> unknown_use_;
    std::vector<std::string> cautions_;
};

}  // namespace

Result<DayProblem> day_problem(const DayInput& input) { return Builder{input}.build(); }

}  // namespace nestround::day
