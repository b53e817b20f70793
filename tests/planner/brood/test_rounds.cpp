#include "planner/brood/rounds.hpp"

#include <cmath>
#include <functional>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::brood;

namespace {

RoundsInput some_case(Random& random, int days, std::size_t habitats, std::size_t places)
{
    RoundsInput input;
    input.days = days;
    input.death = random.uniform(0, 0.3);
    input.feed_days = 1 + static_cast<int>(random.below(4));
    input.collect_cost = random.uniform(0, 8);
    input.feed_cost = random.uniform(0, 2);
    if (random.chance(0.5)) {
        input.ripeness = {0.2, 0.5, 0.8, 1};
    }
    for (std::size_t p = 0; p < places; ++p) {
        RoundPlace place{"place", {}, static_cast<int>(random.below(6))};
        for (int d = 0; d < days; ++d) {
            place.trip_cost.push_back(random.chance(0.15) ? kNoTrip : random.uniform(0, 10));
        }
        input.places.push_back(place);
    }
    for (std::size_t h = 0; h < habitats; ++h) {
        HabitatFlow flow;
        flow.place = h % places;
        for (int d = 0; d < days; ++d) {
            flow.adults.push_back(random.uniform(0, 20));
        }
        for (std::size_t age = 0; age < random.below(4); ++age) {
            flow.waiting.push_back(random.uniform(0, 20));
        }
        flow.worth_each = random.uniform(0, 1);
        flow.last_day = static_cast<int>(random.below(static_cast<std::uint64_t>(days)));
        input.habitats.push_back(flow);
    }
    return input;
}

/// Every way to do nothing, feed or collect on each day.
double best_by_trying(const RoundsInput& input, std::size_t place)
{
    double best = 0;
    std::vector<std::pair<int, bool>> visits;
    const std::function<void(int)> go = [&](int day) {
        if (day == input.days) {
            best = std::max(best, worth_of_visits(input, place, visits));
            return;
        }
        go(day + 1);
        for (const bool collects : {false, true}) {
            visits.emplace_back(day, collects);
            go(day + 1);
            visits.pop_back();
        }
    };
    go(0);
    return best;
}

}  // namespace

TEST_CASE("Rounds, AreTheBestOfAllPlansOnSmallCases")
{
    Random random{20260804};
    int with_rounds = 0;
    int with_feeding = 0;
    for (int k = 0; k < 200; ++k) {
        const auto input = some_case(random, 1 + static_cast<int>(random.below(8)), 3, 1);
        const auto plan = plan_rounds(input);
        CHECK(plan.gain() == Approx(best_by_trying(input, 0)).margin(1e-9));
        with_rounds += plan.rounds.empty() ? 0 : 1;
        for (const auto& round : plan.rounds) {
            with_feeding += round.collects ? 0 : 1;
        }
    }
    CHECK(with_rounds > 100);  // the cases are not empty
    CHECK(with_feeding > 10);
}

TEST_CASE("Rounds, OfSeveralPlacesAreThoseOfEach")
{
    Random random{7};
    for (int k = 0; k < 20; ++k) {
        const auto input = some_case(random, 6, 5, 2);
        CHECK(plan_rounds(input).gain() ==
              Approx(best_by_trying(input, 0) + best_by_trying(input, 1)).margin(1e-9));
    }
}

TEST_CASE("Rounds, OneTripServesAllHabitatsOfAPlace")
{
    RoundsInput input;
    input.days = 10;
    input.feed_days = 10;
    input.death = 0.05;
    input.collect_cost = 1;
    for (int h = 0; h < 3; ++h) {
        HabitatFlow flow;
        flow.adults.assign(10, 10.0);
        flow.worth_each = 0.2;
        flow.last_day = 9;
        input.habitats.push_back(flow);
    }
    input.places = {{"barn", std::vector<double>(10, 5.0), 0}};
    const auto joined = plan_rounds(input);
    REQUIRE_FALSE(joined.rounds.empty());
    for (const auto& round : joined.rounds) {
        CHECK(round.shares.size() == 3);
    }
    // Apart, each pays its own trips.
    input.places = {{"a", std::vector<double>(10, 5.0), 0},
                    {"b", std::vector<double>(10, 5.0), 0},
                    {"c", std::vector<double>(10, 5.0), 0}};
    for (std::size_t h = 0; h < 3; ++h) {
        input.habitats[h].place = h;
    }
    CHECK(plan_rounds(input).gain() < joined.gain());
}

TEST_CASE("Rounds, FallOnDrivingDaysWhenPassingByIsCheap")
{
    RoundsInput input;
    input.days = 12;
    input.feed_days = 12;
    input.death = 0.01;
    input.collect_cost = 0.5;
    HabitatFlow flow;
    flow.adults.assign(12, 10.0);
    flow.worth_each = 0.2;
    flow.last_day = 11;
    input.habitats = {flow};
    RoundPlace place{"barn", std::vector<double>(12, 20.0), 0};
    place.trip_cost[3] = place.trip_cost[7] = place.trip_cost[11] = 1;
    input.places = {place};
    const auto plan = plan_rounds(input);
    REQUIRE_FALSE(plan.rounds.empty());
    for (const auto& round : plan.rounds) {
        CHECK((round.day == 3 || round.day == 7 || round.day == 11));
    }
}

TEST_CASE("Rounds, WaitForVenomWhenItRipensAndNotElse")
{
    RoundsInput input;
    input.days = 15;
    input.feed_days = 15;
    input.death = 0.02;
    HabitatFlow flow;
    flow.adults.assign(15, 0.0);
    flow.adults[0] = 100;
    flow.worth_each = 1;
    flow.last_day = 0;
    input.habitats = {flow};
    input.places = {{"home", std::vector<double>(15, 1.0), 0}};
    CHECK(plan_rounds(input).rounds.front().day == 0);
    input.ripeness = {0.2, 0.36, 0.52, 0.68, 0.84, 1};
    const auto ripe = plan_rounds(input);
    CHECK(ripe.rounds.front().day == 5);
    CHECK(ripe.worth == Approx(100 * std::pow(0.98, 5)));
}

TEST_CASE("Rounds, NobodyComesWhereNothingIsWorthIt")
{
    RoundsInput input;
    input.days = 5;
    HabitatFlow flow;
    flow.adults.assign(5, 1.0);
    flow.worth_each = 0.01;
    input.habitats = {flow};
    input.places = {{"home", std::vector<double>(5, 3.0), 0}};
    const auto plan = plan_rounds(input);
    CHECK(plan.rounds.empty());
    CHECK(plan.lost_adults == Approx(5));
    CHECK(plan_rounds({}).rounds.empty());
}
