#include "planner/day/limits_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "planner/day/day_problem.hpp"

namespace nestround::day {

namespace {

/// A stage of a stop on the clock.
struct Moment {
    double from = 0;  ///< seconds since midnight
    double to = 0;
    bool ladder = false;
    bool pole = false;
    bool suit = false;
    bool vacuum = false;
};

class LimitChecker {
public:
    LimitChecker(const DayInput& input, const CrewDay& crew, std::vector<LimitBroken>& into)
        : input_{input}, crew_{crew}, into_{into}
    {
    }

    void check()
    {
        double dose_seconds = 0;
        double grams = 0;
        for (const auto& stop : crew_.stops) {
            stop_ = &stop;
            check_people();
            for (const auto& moment : moments(stop)) {
                check_light(moment);
                for (const auto& hour : input_.conditions.hours) {
                    const bool meets = moment.to > static_cast<double>(hour.from.count()) &&
                                       moment.from < static_cast<double>(hour.to.count());
                    if (meets) {
                        check_wind(moment, hour);
                        check_heat(moment, hour);
                    }
                    check_thunder(moment, hour);
                }
                dose_seconds += moment.vacuum ? moment.to - moment.from : 0;
            }
            grams += stop.call.outlook.grams.high.value();
        }
        check_loads(dose_seconds, grams);
    }

private:
    static std::vector<Moment> moments(const PlannedStop& stop)
    {
        const auto begin = static_cast<double>(stop.begin.since_midnight().count());
        const auto length = static_cast<double>((stop.leave - stop.begin).count());
        const WorkMethod method = stop.access.method;
        const bool poles = method == WorkMethod::GroundPole || method == WorkMethod::PoleThenLadder;
        if (stop.access.ways.empty()) {
            return {{begin, begin + length,
                     method == WorkMethod::Ladder || method == WorkMethod::PoleThenLadder, poles,
                     true, true}};
        }
        double whole = 0;
        for (const auto& stage : stop.access.ways.front().stages) {
            whole += static_cast<double>(stage.time.count());
        }
        std::vector<Moment> result;
        double at = begin;
        for (const auto& stage : stop.access.ways.front().stages) {
            const double took = length * static_cast<double>(stage.time.count()) / whole;
            if (took > 0) {
                result.push_back({at, at + took, stage.on_ladder,
                                  poles && stage.vacuum_runs && !stage.on_ladder, stage.in_suit,
                                  stage.vacuum_runs});
            }
            at += took;
        }
        return result;
    }

    void broken(LimitRule rule, std::string what) const
    {
        into_.push_back({rule, crew_.crew.name,
                         fmt::format("{}: {}", stop_ != nullptr ? name_of(stop_->call) : "the day",
                                     std::move(what))});
    }

    static std::string clock(double second)
    {
        return format_clock(ClockTime{seconds{static_cast<std::int64_t>(second)}});
    }

    void check_people() const
    {
        if (input_.limits.two_people && !stop_->access.ways.empty() &&
            stop_->access.ways.front().people > crew_.crew.people) {
            broken(LimitRule::TwoPeople, fmt::format("{} people, {} asked for", crew_.crew.people,
                                                     stop_->access.ways.front().people));
        }
    }

    void check_light(const Moment& moment) const
    {
        const auto& light = input_.conditions.light;
        if (!light || input_.limits.light == Light::Off || !moment.ladder) {
            return;
        }
        // A second of the clock is no dark second.
        if (moment.from < static_cast<double>(light->from.count()) - 1 ||
            moment.to > static_cast<double>(light->to.count()) + 1) {
            broken(LimitRule::Daylight, fmt::format("on the ladder from {} to {}",
                                                    clock(moment.from), clock(moment.to)));
        }
    }

    void check_wind(const Moment& moment, const HourOfWeather& hour) const
    {
        for (const auto& speed : {hour.wind, hour.gust}) {
            if (moment.ladder && input_.limits.wind && speed &&
                speed->value() > input_.limits.wind->value()) {
                broken(LimitRule::Wind, fmt::format("on the ladder at {} in {}", clock(moment.from),
                                                    speed_words(*speed)));
            }
        }
    }

    void check_thunder(const Moment& moment, const HourOfWeather& hour) const
    {
        const auto until = static_cast<double>((hour.to + input_.limits.thunder_wait).count());
        if (input_.limits.thunder && hour.thunder == true && (moment.ladder || moment.pole) &&
            moment.to > static_cast<double>(hour.from.count()) && moment.from < until) {
            broken(LimitRule::Thunder,
                   fmt::format("with pole or ladder at {} after thunder", clock(moment.from)));
        }
    }

    void check_heat(const Moment& moment, const HourOfWeather& hour) const
    {
        if (!moment.suit || !hour.air || input_.limits.heat == access::HeatClass::Unknown) {
            return;
        }
        const auto index =
            access::heat_index(*hour.air, hour.humidity ? hour.humidity : input_.limits.humidity);
        if (index && access::heat_class(index) > input_.limits.heat) {
            broken(LimitRule::Heat, fmt::format("in a suit at {} with a heat index of {:.0f} C",
                                                clock(moment.from), index->value()));
        }
    }

    void check_loads(double dose_seconds, double grams)
    {
        stop_ = nullptr;
        if (input_.standing) {
            return;  // what the morning used is the problem's to count
        }
        if (input_.limits.vacuum_level) {
            const std::vector<access::NoiseSpell> day{
                {input_.limits.vacuum_level, seconds{static_cast<std::int64_t>(dose_seconds)}}};
            const auto dose = access::noise_dose(day, input_.limits.criterion);
            if (dose && dose->percent && *dose->percent > input_.limits.dose_percent) {
                broken(LimitRule::Noise, fmt::format("{:.1f} % of a day's dose", *dose->percent));
            }
        }
        const auto stops = static_cast<std::int64_t>(crew_.stops.size());
        const auto second = std::count_if(crew_.stops.begin(), crew_.stops.end(),
                                          [](const PlannedStop& stop) { return stop.is_second; });
        if (input_.limits.bottles && stops > *input_.limits.bottles) {
            broken(LimitRule::Bottles, fmt::format("{} nests", stops));
        }
        std::map<GearKind, int> count;
        for (const auto& gear : crew_.crew.gear) {
            count[gear.kind] += gear.count;
        }
        const int combs = count[GearKind::CombBox] * input_.limits.nests_per_comb_box;
        if (combs > 0 && stops - second > combs) {
            broken(LimitRule::CombBoxes,
                   fmt::format("{} nests, room for {}", stops - second, combs));
        }
        if (const int boxes = count[GearKind::ColdBox];
            input_.limits.cold_box && boxes > 0 &&
            grams > boxes * input_.limits.cold_box->value()) {
            broken(LimitRule::ColdBox, fmt::format("{:.0f} g", grams));
        }
    }

    const DayInput& input_;
    const CrewDay& crew_;
    std::vector<LimitBroken>& into_;
    const PlannedStop* stop_ = nullptr;
};

/// Second visits on the day of the first: each has one, and waits as long as the call asks.
void check_second_visits(const std::vector<CrewDay>& crews, std::vector<LimitBroken>& into)
{
    std::map<CallId, ClockTime> first_left;
    for (const auto& crew : crews) {
        for (const auto& stop : crew.stops) {
            if (!stop.is_second) {
                first_left[stop.call.sheet.call.id] = stop.leave;
            }
        }
    }
    for (const auto& crew : crews) {
        for (const auto& stop : crew.stops) {
            if (!stop.after_first) {
                continue;
            }
            const auto first = first_left.find(stop.call.sheet.call.id);
            const auto& after = stop.call.sheet.call.second.after;
            if (first == first_left.end() || !after || stop.begin - first->second < *after) {
                into.push_back({LimitRule::SecondVisit, crew.crew.name,
                                name_of(stop.call) + ": begins before the first has long ended"});
            }
        }
    }
}

}  // namespace

std::vector<LimitBroken> check_limits(const DayInput& input, const std::vector<CrewDay>& crews)
{
    std::vector<LimitBroken> result;
    check_second_visits(crews, result);
    for (const auto& crew : crews) {
        LimitChecker{input, crew, result}.check();
    }
    return result;
}

}  // namespace nestround::day
