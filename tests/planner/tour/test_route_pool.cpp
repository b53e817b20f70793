#include "planner/tour/route_pool.hpp"

#include "tests/support/catch.hpp"
#include "tests/support/made_tours.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

constexpr std::uint64_t kWork = 10'000'000;

/// `jobs` without windows for `tours` crews whose day is as long as all of them.
Problem easy(std::size_t jobs, std::size_t tours)
{
    const test::MadeTourShape shape{"", jobs, tours, test::Scatter::Mixed, 900000, 0, 0, 0, 100};
    return value_or_throw(Problem::make(test::made_tour(shape, 1), Hopeless::Leave));
}

/// The best that any tours of `seen` are worth together, by trying all.
std::int64_t best_of(const std::vector<SearchState>& seen, std::size_t cars)
{
    std::vector<const Route*> all;
    for (const auto& state : seen) {
        for (const auto& route : state.routes()) {
            all.push_back(&route);
        }
    }
    std::int64_t best = 0;
    const auto choose = [&](auto& self, std::size_t from, std::size_t left, std::int64_t worth,
                            std::vector<std::uint8_t> taken) -> void {
        best = std::max(best, worth);
        for (std::size_t i = from; i < all.size() && left > 0; ++i) {
            auto with = taken;
            bool is_apart = all[i]->size() > 0;
            for (int at = 1; at <= all[i]->size(); ++at) {
                is_apart = is_apart && taken[all[i]->job(at)] == 0;
                with[all[i]->job(at)] = 1;
            }
            if (is_apart) {
                self(self, i + 1, left - 1, worth + all[i]->profit(), with);
            }
        }
    };
    choose(choose, 0, cars, 0, std::vector<std::uint8_t>(200, 0));
    return best;
}

}  // namespace

TEST_CASE("RoutePool, FindsTheBestMixOfAllItHasSeen")
{
    for (const std::size_t cars : {2U, 3U, 4U}) {
        const auto problem = easy(30, cars);
        const Flat flat{problem};
        for (std::uint64_t seed = 1; seed <= 20; ++seed) {
            Random random{seed};
            RoutePool pool{flat};
            std::vector<SearchState> seen;
            std::int64_t best_seen = 0;
            for (int plan = 0; plan < 6; ++plan) {
                auto& state = seen.emplace_back(flat);
                std::vector<std::vector<int>> orders(cars);
                for (int job = 0; job < flat.jobs; ++job) {
                    const auto car = random.below(cars + 2);
                    if (car < cars) {
                        orders[car].push_back(job);
                    }
                }
                for (std::size_t car = 0; car < cars; ++car) {
                    REQUIRE(state.assign(static_cast<int>(car), orders[car]));
                }
                pool.note(state);
                best_seen = std::max(best_seen, state.profit());
            }
            const auto best = best_of(seen, cars);
            const auto mix = pool.better_mix(best_seen, kWork);
            REQUIRE(mix.has_value() == (best > best_seen));
            if (mix) {
                SearchState mixed{flat};
                for (std::size_t car = 0; car < cars; ++car) {
                    REQUIRE(mixed.assign(static_cast<int>(car), (*mix)[car]));
                }
                REQUIRE(mixed.profit() == best);
            }
            REQUIRE_FALSE(pool.better_mix(best, kWork));
        }
    }
}

TEST_CASE("RoutePool, MixesTwentyTours")
{
    const auto problem = easy(80, 20);
    const Flat flat{problem};
    RoutePool pool{flat};
    RoutePool other{flat};
    // Of two plans one is good in the first ten tours, the other in the last ten.
    SearchState first{flat};
    SearchState second{flat};
    for (int car = 0; car < 20; ++car) {
        const std::vector<int> jobs{4 * car, 4 * car + 1, 4 * car + 2, 4 * car + 3};
        const std::vector<int> few{4 * car};
        REQUIRE(first.assign(car, car < 10 ? jobs : few));
        REQUIRE(second.assign(car, car < 10 ? few : jobs));
    }
    pool.note(first);
    other.note(second);
    CHECK_FALSE(pool.better_mix(first.profit(), kWork));
    pool.learn(other);
    const auto mix = pool.better_mix(std::max(first.profit(), second.profit()), kWork);
    REQUIRE(mix);
    std::size_t jobs = 0;
    for (const auto& order : *mix) {
        jobs += order.size();
    }
    CHECK(jobs == 80);
}
