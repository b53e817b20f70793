/// \file rehearsal.hpp
/// \brief A season lived through day by day: this planner against three simple rules.
///
/// Purpose:  shows what planning is worth. Calls become known as they came in; each nest has a true
///           catch on each day, drawn once from its forecast; some are lost while they wait. Every
///           rule sees the forecasts and never the draws, and drives by the same clock.
/// Units:    points, grams, days.
/// Range:    as plan_season.hpp.
/// Accuracy: one draw of chance by the seed, the same for all rules; mean_of puts several together.
/// Errors:   as plan_season.hpp.
/// Source:   own; docs/science/season.md.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "planner/season/plan_season.hpp"

namespace nestround::season {

/// PlannerAtWill plans as though driving cost next to nothing, as the simple rules do; its points
/// are charged for driving like all others.
enum class Rule { Planner, PlannerAtWill, FirstCome, Nearest, Greatest };

/// "this planner", "planner, driving free", "first come, first served", "nearest first", "greatest
/// nest first".
[[nodiscard]] std::string_view text(Rule rule);

/// What came of a rule.
struct Rehearsal {
    Rule rule{};
    double worth = 0;  ///< points of what was caught and of people helped, less waiting, living
                       ///< nests lost and driving
    Grams grams{};     ///< truly caught, insecticide nests not counted
    Grams ordered{};   ///< of those, what open orders want, up to what they want
    double taken = 0;  ///< nests; a fraction where several draws were put together
    double lost = 0;   ///< ended by someone else, or the client's last day passed
    double still_waiting = 0;
    double people_days = 0;  ///< days that nests near a door or an allergic person waited
    Metres driven{};
    seconds driving{};
    std::vector<double> worth_by_day;  ///< running sum
    std::vector<double> worth_by_draw;
};

struct RehearsalInput {
    /// Calls with the days of the whole season; known_from is when each was made.
    SeasonInput season;
    int look_ahead = 14;  ///< days that the planner weighs each morning
    HoldSettings hold;    ///< chance and cost of waiting
    /// Expected calls for a morning's plan, from those known by `day`, with the call each is like;
    /// may be empty.
    std::function<std::vector<SeasonCall>(int day)> expected;
    std::function<bool(double share_done)> keep_going;
};

/// Means over several draws of one rule, at least one; of the same days.
[[nodiscard]] Rehearsal mean_of(std::span<const Rehearsal> draws);

[[nodiscard]] Result<Rehearsal> rehearse(const RehearsalInput& input, Rule rule);

}  // namespace nestround::season
