#include "planner/brood/brood_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace nestround::brood {

namespace {

Spread<double>& operator+=(Spread<double>& sum, const Spread<double>& more)
{
    sum.low += more.low;
    sum.middle += more.middle;
    sum.high += more.high;
    return sum;
}

Spread<double> times(const Spread<double>& spread, double factor)
{
    return {spread.low * factor, spread.middle * factor, spread.high * factor};
}

bool flag(const std::vector<bool>& flags, int day)
{
    return static_cast<std::size_t>(day) < flags.size() && flags[static_cast<std::size_t>(day)];
}

class Planner {
public:
    explicit Planner(const BroodInput& input) : in_{input}
    {
        plan_.on = in_.on;
        plan_.days = in_.days;
        plan_.room = room_of(in_.habitats);
        rounds_.days = in_.days;
        const BroodSettings& s = in_.settings;
        rounds_.death = s.death;
        rounds_.feed_days = s.feed_days;
        rounds_.collect_cost = s.cost_per_minute * s.collect_minutes;
        rounds_.feed_cost = s.cost_per_minute * s.feed_minutes;
        if (s.ripening || in_.figures.venom_is_published) {
            const double full = std::max(1.0, in_.figures.venom_full_age);
            for (int age = 0; age <= static_cast<int>(std::ceil(full)); ++age) {
                rounds_.ripeness.push_back(
                    std::min(1.0, in_.figures.venom_at_emergence +
                                      (1 - in_.figures.venom_at_emergence) * age / full));
            }
        }
    }

    BroodPlan run()
    {
        for (const auto& habitat : in_.habitats) {
            add(habitat);
        }
        plan_.places = rounds_.places;
        plan_.rounds = plan_rounds(rounds_);
        tell();
        return std::move(plan_);
    }

private:
    std::size_t place_of(const StandingHabitat& standing)
    {
        const Habitat& habitat = standing.habitat;
        for (std::size_t p = 0; p < rounds_.places.size(); ++p) {
            if (rounds_.places[p].name == habitat.place) {
                return p;
            }
        }
        const BroodSettings& s = in_.settings;
        RoundPlace place{habitat.place, {}, 0};
        for (int d = 0; d < in_.days; ++d) {
            const double trip = flag(in_.is_driving, d)
                                    ? habitat.passing_min.value_or(habitat.trip_min)
                                    : habitat.trip_min;
            place.trip_cost.push_back(
                flag(in_.is_off, d) ? kNoTrip : s.cost_per_minute * (trip + s.round_minutes));
        }
        place.fed_ago = 10000;
        rounds_.places.push_back(std::move(place));
        return rounds_.places.size() - 1;
    }

    void add(const StandingHabitat& standing)
    {
        HabitatOutlook outlook;
        outlook.days.resize(static_cast<std::size_t>(in_.days));
        HabitatFlow flow;
        flow.name = standing.habitat.name;
        flow.adults.assign(outlook.days.size(), 0);
        if (standing.combs.empty()) {
            plan_.habitats.push_back(std::move(outlook));
            return;
        }
        flow.place = place_of(standing);
        double adults = 0;
        double worth = 0;
        int seen_ago = 10000;
        std::set<std::string> taxa;
        for (const auto& comb : standing.combs) {
            CombOutlook one;
            one.emergence = forecast_emergence(comb.input);
            const double since = comb.input.taken.empty() ? 0 : comb.input.taken.back().day;
            seen_ago = std::min(seen_ago,
                                std::max(0, static_cast<int>(std::floor(-comb.first_day - since))));
            one.last_day = std::max(
                0, static_cast<int>(std::ceil(one.emergence.last_day.high)) + comb.first_day);
            const double each = comb.input.figures.worker_mg / 1000;
            const auto& days = one.emergence.days;
            for (std::size_t d = 0; d < days.size(); ++d) {
                const int day = static_cast<int>(d) + comb.first_day;
                // Males carry no venom and are not counted on.
                double come = days[d].mean_workers + days[d].mean_queens;
                if (day < 0) {
                    const double share = std::clamp(static_cast<double>(d) + 1 - since, 0.0, 1.0);
                    const auto age = static_cast<std::size_t>(-day);
                    come *= share * std::pow(1 - in_.settings.death, static_cast<double>(age));
                    if (flow.waiting.size() <= age) {
                        flow.waiting.resize(age + 1, 0);
                    }
                    flow.waiting[age] += come;
                    one.waiting += come;
                } else if (static_cast<std::size_t>(day) < outlook.days.size()) {
                    auto& sum = outlook.days[static_cast<std::size_t>(day)];
                    sum.workers += days[d].workers;
                    sum.queens += days[d].queens;
                    sum.males += days[d].males;
                    sum.mean_workers += days[d].mean_workers;
                    sum.mean_queens += days[d].mean_queens;
                    sum.mean_males += days[d].mean_males;
                    flow.adults[static_cast<std::size_t>(day)] += come;
                } else {
                    come = 0;
                }
                adults += come;
                worth += come * each * comb.worth_per_gram;
            }
            outlook.waiting += one.waiting;
            outlook.workers_left += one.emergence.workers_left;
            outlook.reproductives_left += one.emergence.reproductives_left;
            outlook.grams_left += times(one.emergence.workers_left, each);
            outlook.last_day = std::max(outlook.last_day, one.last_day);
            outlook.combs.push_back(std::move(one));
            taxa.insert(comb.taxon);
        }
        flow.worth_each = adults > 0 ? worth / adults : 0;
        flow.last_day = outlook.last_day;
        auto& fed = rounds_.places[flow.place].fed_ago;
        fed = std::min(fed, seen_ago);
        if (taxa.size() > 1) {
            plan_.notes.push_back(fmt::format(
                "combs of {} kinds of wasp stand in {}: what emerges must be told apart before it "
                "can go into a bag of one species",
                taxa.size(), standing.habitat.name));
        }
        flow_of_.push_back(plan_.habitats.size());
        rounds_.habitats.push_back(std::move(flow));
        plan_.habitats.push_back(std::move(outlook));
    }

    void tell()
    {
        // Shares name habitats of the input, not of the rounds.
        for (auto& round : plan_.rounds.rounds) {
            for (auto& share : round.shares) {
                share.habitat = flow_of_[share.habitat];
            }
        }
        for (const auto& outlook : plan_.habitats) {
            if (outlook.last_day >= in_.days) {
                plan_.notes.push_back(fmt::format(
                    "brood still comes after the {} days looked at: look further with --days",
                    in_.days));
                break;
            }
        }
        for (std::size_t p = 0; p < plan_.places.size(); ++p) {
            const auto& rounds = plan_.rounds.rounds;
            if (std::none_of(rounds.begin(), rounds.end(),
                             [p](const Round& round) { return round.place == p; })) {
                plan_.notes.push_back(fmt::format(
                    "no round to {} is worth its labour and its way: bring that comb to a nearer "
                    "place, say on which days a crew passes (--driving), or lower "
                    "brood.cost_per_minute",
                    plan_.places[p].name));
            }
        }
        if (plan_.room.is_full()) {
            plan_.notes.push_back("the room for comb is full");
        }
    }

    const BroodInput& in_;
    BroodPlan plan_;
    RoundsInput rounds_;
    std::vector<std::size_t> flow_of_;
};

}  // namespace

std::optional<int> Room::combs_left() const
{
    return combs ? std::optional{std::max(0, *combs - combs_standing)} : std::nullopt;
}

bool Room::is_full() const
{
    return (combs && combs_standing >= *combs) || (cells && cells_standing >= *cells);
}

Room room_of(const std::vector<StandingHabitat>& habitats)
{
    Room room;
    if (!habitats.empty()) {
        room.combs = 0;
        room.cells = 0;
    }
    for (const auto& [habitat, combs] : habitats) {
        room.combs_standing += static_cast<int>(combs.size());
        for (const auto& comb : combs) {
            room.cells_standing += comb.cells;
        }
        room.combs = room.combs && habitat.combs ? std::optional{*room.combs + *habitat.combs}
                                                 : std::nullopt;
        room.cells = room.cells && habitat.cells ? std::optional{*room.cells + *habitat.cells}
                                                 : std::nullopt;
    }
    return room;
}

BroodPlan plan_brood(const BroodInput& input) { return Planner{input}.run(); }

}  // namespace nestround::brood
