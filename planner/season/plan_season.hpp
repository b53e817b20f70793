/// \file plan_season.hpp
/// \brief Which day and crew for which call, over the coming weeks.
///
/// Purpose:  the day planner's question asked of many days at once: a vehicle is a crew on a day, a
///           call's prize is what it is worth on that day, and calls not made yet take their share
///           of the room.
/// Units:    points, grams, whole seconds since local midnight; days counted from `from`.
/// Range:    1 to 120 days, some 400 calls, 10 crews.
/// Accuracy: the best plan found within `iterations`; the same for the same input, seed and
///           iterations. Every tour has passed the separate checker.
/// Errors:   InvalidInput for input that contradicts itself. Throws Failure (Internal) when the
///           checker finds a broken rule.
/// Source:   own; docs/science/season.md.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "planner/day/plan_day.hpp"
#include "planner/season/hold.hpp"

namespace nestround::season {

/// A call with what it is worth on each day.
struct SeasonCall {
    rank::RankedCall call;
    std::vector<HoldDay> days;  ///< one for each day of the horizon
    std::size_t place = 0;      ///< row of the matrix, see SeasonInput::travel
    int known_from = 0;         ///< first day on which a crew could go
    bool expected = false;      ///< not made yet: a call of the kind that is expected
    /// Of an expected call, which takes room but has no place that others could be driven to
    /// together with: the road to it, counted as work and charged as driving. Of a call that asks
    /// for a second visit on its day: the road to come again.
    seconds road{0};
    /// Work of that second visit, see count_second_visit; 0: none.
    seconds second_work{0};
    std::size_t like = 0;  ///< of an expected call: index of the call it is like
};

/// What a laboratory wants of a taxon by the end of the horizon.
struct SeasonOrder {
    Grams wanted{};
    double surplus_worth = 0.3;  ///< of the worth of a gram, beyond what is wanted; assumption
};

struct SeasonSettings {
    day::DaySettings day;
    std::map<std::string, SeasonOrder> orders;  ///< by taxon
    double change_costs = 8;  ///< points for keeping day and crew of the plan that stood
    /// A call is weighed for this many of its best days; fewer are quicker.
    int days_weighed = 12;
};

/// Where a call stood in the plan before.
struct StandingVisit {
    Day day{};
    std::string crew;
};

struct SeasonInput {
    Day from{};
    int days = 0;
    std::vector<Crew> crews;
    std::vector<bool> is_off;  ///< one a day; empty: none
    std::vector<SeasonCall> calls;
    /// access[call][crew]: how that crew would reach that nest.
    std::vector<std::vector<access::AccessPlan>> access;
    /// Square: the depot of each crew, then the places that calls name.
    roads::TravelMatrix travel;
    SeasonSettings settings;
    std::map<CallId, StandingVisit> standing;
    std::uint64_t seed = 1;
    std::uint64_t iterations = 20000;
    std::function<bool(double share_done)> keep_going;  ///< false ends the search; may be empty
};

struct SeasonVisit {
    std::size_t call = 0;  ///< index into SeasonInput::calls
    ClockTime begin{};
    ClockTime leave{};
};

struct SeasonTour {
    int day = 0;
    std::size_t crew = 0;
    std::vector<SeasonVisit> visits;
    ClockTime depart{};
    ClockTime home{};
    seconds driving{};
    Metres driven{};
};

enum class SeasonFate { Today, Later, NotTaken };

/// What becomes of a call, and why then.
struct SeasonChoice {
    std::size_t call = 0;
    SeasonFate fate = SeasonFate::NotTaken;
    int day = -1;  ///< on which it is taken; -1: not
    std::size_t crew = 0;
    double worth = 0;  ///< on that day
    std::string words;
    bool moved = false;  ///< another day or crew than in the plan that stood
};

/// Expected grams of a taxon against what is wanted.
struct SeasonGrams {
    std::string taxon;
    Spread<Grams> known;     ///< from calls that wait
    Spread<Grams> expected;  ///< from calls that are expected
    std::optional<Grams> wanted;
};

struct SeasonPlan {
    std::vector<SeasonTour> tours;      ///< those that set out, by day and crew
    std::vector<SeasonChoice> choices;  ///< one a known call, taken ones by day first
    std::vector<SeasonGrams> grams;     ///< by taxon
    double worth = 0;                   ///< points of all visits, driving not charged
    double driving_cost = 0;
    std::size_t expected_visits = 0;
    /// What one more crew like the first would add on each day, driving paid; a short search each.
    std::vector<double> crew_day_worth;
    bool checked = false;
};

[[nodiscard]] Result<SeasonPlan> plan_season(const SeasonInput& input);

/// Counts in the second visit that a call asks for on the day of its first:
/// `call.call.second_share` of the grams of each day more, `work` more, and `road` to come again;
/// nothing when that road costs more points than those grams are worth on the best day. When in the
/// day it comes is the day's own question.
void count_second_visit(SeasonCall& call, seconds work, seconds road,
                        const SeasonSettings& settings, const HoldSettings& hold);

}  // namespace nestround::season
