/// \file plan_day.hpp
/// \brief From ranked calls, crews and travel times to a day that crews can drive.
///
/// Purpose:  chooses and orders calls, re-verifies the plan with the separate checker, says for
/// each
///           call left out which limit binds, and lists what to load and to mind.
/// Units:    in the types; clock times of the depot; scores and costs in points (see rank.hpp).
/// Range:    up to some 300 calls and 10 crews.
/// Accuracy: whole seconds; the plan is the best found within `iterations`, the same for the same
///           input, seed and iterations.
/// Errors:   InvalidInput for input that contradicts itself, NotFound for a call named in a wish
///           that is not among `calls`, Infeasible for a must-take that cannot be fitted; each
///           names call and rule. Throws Failure (Internal) when the checker finds a broken rule.
/// Source:   own; docs/science/day.md.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/roads/travel.hpp"
#include "planner/day/day_plan.hpp"
#include "planner/day/limits.hpp"
#include "planner/day/standing.hpp"
#include "planner/tour/problem.hpp"

namespace nestround::day {

/// Every value is marked assumption: a start for a crew to move to its own liking.
struct DaySettings {
    double cost_per_driving_minute = 0.5;  ///< points; assumption
    double service_factor = 1.0;           ///< on the minutes at a nest: a slow or a quick crew
    std::optional<ClockSpan> lunch;        ///< when the midday break may begin; empty: none
    seconds lunch_length{std::chrono::minutes{30}};  ///< assumption
    std::optional<ClockTime> earliest_start;         ///< no work at a nest begins sooner
    std::optional<ClockTime> latest_start;           ///< no work at a nest begins later
    std::optional<seconds> comb_ride_limit;  ///< from leaving a nest to being home; empty: none
    /// Crews may be home so much later than their shift ends, at a price; empty: never.
    std::optional<seconds> overtime;
    double cost_per_overtime_minute = 2;  ///< points, beside the driving; assumption
    double insecticide_factor = 1.0;      ///< on the score of a nest that had insecticide
    std::optional<int> comb_room;         ///< the comb of so many nests finds a place; empty: any
    seconds second_visit{
        std::chrono::minutes{30}};    ///< work, where the call does not say; assumption
    bool allow_missing_must = false;  ///< a must-take that does not fit is a caution, no error
};

/// What the person at the desk asks for on top of the calls' own flags.
struct DayWishes {
    std::vector<CallId> must;
    std::vector<CallId> never;
    std::vector<std::pair<CallId, ClockTime>> pins;  ///< work begins then; implies must
    std::vector<CallId> explain;                     ///< say why each is in the plan or not
    std::vector<CallId> why_not;  ///< say what would have to change for each to be in it
};

struct DayInput {
    Day day{};
    std::string region;
    std::string time_zone;
    std::vector<Crew> crews;              ///< those not active stay home and are not shown
    std::vector<rank::RankedCall> calls;  ///< in any order
    /// access[call][crew]: how that crew would reach that nest.
    std::vector<std::vector<access::AccessPlan>> access;
    /// Square, rows and columns in this order: the depot of each crew, then the stop of each call,
    /// and when `standing` is set the place where each crew is.
    roads::TravelMatrix travel;
    /// Slots of one day, repeated; empty: driving takes what `travel` says at all hours.
    std::vector<tour::TrafficSlot> traffic;
    /// One a call: empty when the stop lies on the network, else why not, in words. May be left
    /// empty when all do.
    std::vector<std::string> no_road;
    /// One a call: since when its second visit is due, from local midnight of `day`, below 0 when
    /// since before; empty: its first was not made. May be left empty when no call waits for one.
    std::vector<std::optional<seconds>> second_due;
    DaySettings settings;
    LimitSettings limits;
    DayConditions conditions;
    DayWishes wishes;
    /// Set when crews are out already: only the rest of the day is planned.
    std::optional<Standing> standing;
    std::uint64_t seed = 1;
    std::uint64_t iterations = 20000;
    /// Asked now and then: false ends the search with the best plan so far. May be empty.
    std::function<bool(double share_done)> keep_going;
};

[[nodiscard]] Result<DayPlan> plan_day(const DayInput& input);

}  // namespace nestround::day
