/// \file rounds.hpp
/// \brief On which days to go round the habitats: an exact dynamic programme a place.
///
/// Purpose:  days on which to collect, and days on which only to feed, from now to the last comb.
///           What a day of waiting costs (adults that die), what it earns (venom that ripens, when
///           that is asked for) and what a round costs (labour, the trip) are weighed exactly.
/// Units:    days from now; adults; points; minutes.
/// Range:    up to 400 days; habitats of one place are served in one round, each of them as long as
///           something still comes in it.
/// Accuracy: the best plan under these rules; equal to trying every plan on small cases
///           (tests/planner/brood). Emergence enters by its mean, in which the worth is linear.
/// Cost:     days^2 a habitat and days^2 times the feeding interval a place.
/// Errors:   none; where nothing is worth a round the plan is empty.
/// Source:   own; R. Bellman, "Dynamic Programming" (1957).
#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

namespace nestround::brood {

inline constexpr double kNoTrip = std::numeric_limits<double>::infinity();

/// What comes from one habitat.
struct HabitatFlow {
    std::string name;
    std::size_t place = 0;
    std::vector<double> adults;   ///< of each day from now
    std::vector<double> waiting;  ///< there already, by whole days since they emerged
    double worth_each = 0;        ///< points
    int last_day = 0;             ///< a round on this day or later is its last
};

struct RoundPlace {
    std::string name;
    std::vector<double> trip_cost;  ///< points of going there on each day; kNoTrip: nobody can
    int fed_ago = 0;                ///< days since it was last seen to
};

struct RoundsInput {
    int days = 30;
    std::vector<HabitatFlow> habitats;
    std::vector<RoundPlace> places;
    double death = 0.04;      ///< of waiting adults a day, when fed
    int feed_days = 3;        ///< at most so many from one visit to the next
    double collect_cost = 0;  ///< points a habitat
    double feed_cost = 0;     ///< points a habitat
    /// Worth by age in days over that of a full-grown adult; empty: always 1.
    std::vector<double> ripeness;
};

struct Round {
    int day = 0;
    std::size_t place = 0;
    bool collects = true;  ///< false: feeds only
    bool last = false;     ///< every comb of the place is taken out, and cleaned
    struct Share {
        std::size_t habitat = 0;
        double adults = 0;  ///< alive, expected
        double worth = 0;   ///< points, before labour
        bool last = false;  ///< its comb is taken out
    };
    std::vector<Share> shares;
    double cost = 0;  ///< points: trip and labour
};

struct RoundPlan {
    std::vector<Round> rounds;  ///< by day, then place
    double worth = 0;           ///< points of all that is collected
    double cost = 0;            ///< points of trips and labour
    double lost_adults = 0;     ///< expected to die or to be left

    [[nodiscard]] double gain() const { return worth - cost; }
};

[[nodiscard]] RoundPlan plan_rounds(const RoundsInput& input);

/// What one place's plan is worth when its visits are given: pairs of day and whether it collects.
/// Minus infinity when the rules are broken. Separate from the programme, for checking it.
[[nodiscard]] double worth_of_visits(const RoundsInput& input, std::size_t place,
                                     const std::vector<std::pair<int, bool>>& visits);

}  // namespace nestround::brood
