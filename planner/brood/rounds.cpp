#include "planner/brood/rounds.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace nestround::brood {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

/// What an adult that emerged `age` days before a collection is worth, over a full one.
class Keeping {
public:
    Keeping(const RoundsInput& input, int most)
    {
        double alive = 1;
        for (int age = 0; age <= most; ++age) {
            alive_.push_back(alive);
            const double ripe = input.ripeness.empty()
                                    ? 1
                                    : input.ripeness[std::min(static_cast<std::size_t>(age),
                                                              input.ripeness.size() - 1)];
            worth_.push_back(alive * ripe);
            alive *= 1 - input.death;
        }
    }
    [[nodiscard]] double alive(int age) const { return alive_[index(age)]; }
    [[nodiscard]] double worth(int age) const { return worth_[index(age)]; }

private:
    [[nodiscard]] std::size_t index(int age) const
    {
        return std::min(static_cast<std::size_t>(age), alive_.size() - 1);
    }
    std::vector<double> alive_;
    std::vector<double> worth_;
};

/// The last day on which a place must be seen to after a visit on day `seen`, -1 standing for
/// its `fed_ago` days before now. Where nobody can come in time: the first day on which one can.
int latest_visit(const RoundsInput& input, std::size_t place, int seen)
{
    const int feed = std::max(1, input.feed_days);
    const int due = seen >= 0 ? seen + feed : std::max(0, feed - input.places[place].fed_ago);
    const auto& cost = input.places[place].trip_cost;
    int day = seen + 1;
    while (day < input.days && cost[static_cast<std::size_t>(day)] == kNoTrip) {
        ++day;
    }
    return std::min(input.days - 1, std::max(due, day));
}

/// Adults alive, and points, of a habitat on day `to` when it was last emptied on day `from`
/// (-1: not since now).
std::pair<double, double> gathered(const HabitatFlow& habitat, const Keeping& keeping, int from,
                                   int to)
{
    double adults = 0;
    double worth = 0;
    for (int day = from + 1; day <= to; ++day) {
        const double come = habitat.adults[static_cast<std::size_t>(day)];
        adults += come * keeping.alive(to - day);
        worth += come * keeping.worth(to - day);
    }
    if (from < 0) {
        for (std::size_t age = 0; age < habitat.waiting.size(); ++age) {
            const int then = static_cast<int>(age) + to;
            // They were counted as alive today.
            const double come = habitat.waiting[age];
            adults += come * keeping.alive(to);
            worth += come * keeping.alive(to) *
                     (keeping.alive(then) > 0 ? keeping.worth(then) / keeping.alive(then) : 0);
        }
    }
    return {adults, worth * habitat.worth_each};
}

/// One place: its best visits.
class PlaceRounds {
public:
    PlaceRounds(const RoundsInput& input, std::size_t place, const Keeping& keeping)
        : in_{input}, place_{place}, days_{input.days}
    {
        const auto size = static_cast<std::size_t>(days_);
        gain_.assign((size + 1) * size, 0);
        feed_.assign(size + 1, 0);
        for (const auto& habitat : in_.habitats) {
            if (habitat.place == place_) {
                add(habitat, keeping);
            }
        }
    }

    /// Pairs of day and whether it collects, best first; empty when nothing is worth it.
    [[nodiscard]] std::vector<std::pair<int, bool>> best() const
    {
        // State: last collected on day c-1 and last seen to on day v-1; 0 stands for before now.
        const std::size_t n = static_cast<std::size_t>(days_) + 1;
        std::vector<double> value(n * n, kNever);
        std::vector<int> from(n * n, -1);
        const auto at = [n](int c, int v) {
            return static_cast<std::size_t>(c) * n + static_cast<std::size_t>(v);
        };
        value[at(0, 0)] = 0;
        double best = 0;
        int best_collected = -1;
        for (int v = 0; v <= days_; ++v) {
            for (int c = 0; c <= v; ++c) {
                const double now = value[at(c, v)];
                if (now == kNever) {
                    continue;
                }
                // A plan ends with a collection.
                if (c == v && c > 0 && now > best) {
                    best = now;
                    best_collected = c;
                }
                const int reach = latest_visit(in_, place_, v - 1) + 1;
                for (int next = v + 1; next <= reach; ++next) {
                    const double trip = in_.places[place_].trip_cost[day_of(next)];
                    if (trip == kNoTrip) {
                        continue;
                    }
                    const double collect = now + gain(c, next) - trip;
                    if (collect > value[at(next, next)]) {
                        value[at(next, next)] = collect;
                        from[at(next, next)] = static_cast<int>(at(c, v));
                    }
                    const double feed = now - feed_[static_cast<std::size_t>(c)] - trip;
                    if (feed > value[at(c, next)]) {
                        value[at(c, next)] = feed;
                        from[at(c, next)] = static_cast<int>(at(c, v));
                    }
                }
            }
        }
        std::vector<std::pair<int, bool>> visits;
        if (best_collected < 0) {
            return visits;
        }
        for (auto state = static_cast<int>(at(best_collected, best_collected)); state != 0;
             state = from[static_cast<std::size_t>(state)]) {
            const int c = state / static_cast<int>(n);
            const int v = state % static_cast<int>(n);
            visits.emplace_back(v - 1, c == v);
        }
        std::reverse(visits.begin(), visits.end());
        return visits;
    }

private:
    static std::size_t day_of(int visit) { return static_cast<std::size_t>(visit - 1); }
    [[nodiscard]] double gain(int c, int next) const
    {
        return gain_[static_cast<std::size_t>(c) * static_cast<std::size_t>(days_) + day_of(next)];
    }

    void add(const HabitatFlow& habitat, const Keeping& keeping)
    {
        for (int c = 0; c <= days_; ++c) {
            if (c - 1 >= habitat.last_day) {
                break;  // its comb is out
            }
            feed_[static_cast<std::size_t>(c)] += in_.feed_cost;
            for (int next = c + 1; next <= days_; ++next) {
                gain_[static_cast<std::size_t>(c) * static_cast<std::size_t>(days_) +
                      day_of(next)] +=
                    gathered(habitat, keeping, c - 1, next - 1).second - in_.collect_cost;
            }
        }
    }

    const RoundsInput& in_;
    std::size_t place_;
    int days_;
    std::vector<double> gain_;  // by last collection and next
    std::vector<double> feed_;  // by last collection
};

}  // namespace

double worth_of_visits(const RoundsInput& input, std::size_t place,
                       const std::vector<std::pair<int, bool>>& visits)
{
    const Keeping keeping{input, input.days + 60};
    if (visits.empty()) {
        return 0;
    }
    if (!visits.back().second) {
        return kNever;
    }
    double sum = 0;
    int seen = -1;
    std::vector<int> emptied(input.habitats.size(), -1);
    std::vector<bool> over(input.habitats.size(), false);
    for (const auto& [day, collects] : visits) {
        if (day > latest_visit(input, place, seen) ||
            input.places[place].trip_cost[static_cast<std::size_t>(day)] == kNoTrip) {
            return kNever;
        }
        seen = day;
        sum -= input.places[place].trip_cost[static_cast<std::size_t>(day)];
        for (std::size_t h = 0; h < input.habitats.size(); ++h) {
            const auto& habitat = input.habitats[h];
            if (habitat.place != place || over[h]) {
                continue;
            }
            if (!collects) {
                sum -= input.feed_cost;
                continue;
            }
            sum += gathered(habitat, keeping, emptied[h], day).second - input.collect_cost;
            emptied[h] = day;
            over[h] = day >= habitat.last_day;
        }
    }
    return sum;
}

RoundPlan plan_rounds(const RoundsInput& input)
{
    RoundPlan plan;
    if (input.days < 1) {
        return plan;
    }
    const Keeping keeping{input, input.days + 60};
    double come = 0;
    double taken = 0;
    for (const auto& habitat : input.habitats) {
        for (const double adults : habitat.adults) {
            come += adults;
        }
        for (const double adults : habitat.waiting) {
            come += adults;
        }
    }
    for (std::size_t place = 0; place < input.places.size(); ++place) {
        const auto visits = PlaceRounds{input, place, keeping}.best();
        std::vector<int> emptied(input.habitats.size(), -1);
        std::vector<bool> over(input.habitats.size(), false);
        for (const auto& [day, collects] : visits) {
            Round round{day, place, collects, day == visits.back().first, {}, 0};
            round.cost = input.places[place].trip_cost[static_cast<std::size_t>(day)];
            for (std::size_t h = 0; h < input.habitats.size(); ++h) {
                const auto& habitat = input.habitats[h];
                if (habitat.place != place || over[h]) {
                    continue;
                }
                round.cost += collects ? input.collect_cost : input.feed_cost;
                Round::Share share{h, 0, 0, false};
                if (collects) {
                    const auto [adults, worth] = gathered(habitat, keeping, emptied[h], day);
                    share = {h, adults, worth, round.last || day >= habitat.last_day};
                    emptied[h] = day;
                    over[h] = share.last;
                    plan.worth += worth;
                    taken += adults;
                }
                round.shares.push_back(share);
            }
            plan.cost += round.cost;
            plan.rounds.push_back(std::move(round));
        }
    }
    plan.lost_adults = std::max(0.0, come - taken);
    std::stable_sort(plan.rounds.begin(), plan.rounds.end(), [](const Round& a, const Round& b) {
        return std::pair{a.day, a.place} < std::pair{b.day, b.place};
    });
    return plan;
}

}  // namespace nestround::brood
