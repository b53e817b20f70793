/// \file day_plan.hpp
/// \brief A planned day as values: what the sheets show and nothing they have to work out.
///
/// Purpose:  the seam between planning (pure) and showing (rim).
/// Units:    in the types; clock times are local to the depot; costs and scores in points.
/// Range:    stops are in driving order; arrive <= begin <= leave.
/// Accuracy: times are whole seconds from the road engine and the service estimates.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/spread.hpp"
#include "geocore/records/crew.hpp"
#include "geocore/units/units.hpp"
#include "planner/access/access_plan.hpp"
#include "planner/rank/ranked_call.hpp"

namespace nestround::day {

struct PlannedStop {
    rank::RankedCall call;  ///< with outlook, score and reasons
    access::AccessPlan access;
    ClockTime arrive{};
    ClockTime begin{};  ///< after waiting for the allowed hours, if need be
    ClockTime leave{};
    seconds drive{};  ///< leg that leads here
    Metres drive_length{};
    std::vector<LonLat> drive_line;  ///< along the roads; empty when not asked for
    /// How daylight, weather and heat moved or bound it, rule by rule; empty: they did not.
    std::vector<std::string> bound_by;
    /// For the wasps that were away at the first, and so much after it when both are on this day.
    bool is_second = false;
    std::optional<seconds> after_first;
};

/// The midday break, taken wherever the crew then is.
struct PlannedBreak {
    std::size_t after_stops = 0;  ///< how many stops come before it
    ClockTime begin{};
    seconds length{};
};

struct CrewDay {
    Crew crew;
    std::optional<LonLat> sets_off_from;  ///< in the middle of the day; else the depot
    ClockTime depart{};
    std::vector<PlannedStop> stops;
    std::optional<PlannedBreak> pause;
    ClockTime home{};
    seconds drive_home{};
    Metres drive_home_length{};
    std::vector<LonLat> drive_home_line;
    seconds driving{};  ///< whole day
    Metres driven{};
    Spread<Grams> grams;
    std::vector<std::string> load;  ///< what to put on the truck
    std::vector<std::string> uses;  ///< of what is counted: "noise: 64 of 100 % of a day's dose"
};

struct LeftOut {
    rank::RankedCall call;
    std::string reason;        ///< the rule or the trade-off, in words
    bool after_first = false;  ///< the second visit of a nest whose first is in the plan
};

/// What a new plan in the middle of the day does to a stop; what must be told comes first.
enum class PlanChangeKind { Dropped, Later, Sooner, OtherCrew, Added, Kept };

struct PlanChange {
    rank::RankedCall call;
    PlanChangeKind kind = PlanChangeKind::Kept;
    std::optional<ClockTime> was;  ///< work would have begun
    std::optional<ClockTime> now;  ///< work begins
    std::string crew;              ///< that goes now; empty when dropped
    std::string words;
};

/// Asked for by name: why a call is in the plan or not.
struct Explained {
    rank::RankedCall call;
    std::vector<std::string> words;
};

struct DayPlan {
    Day day{};
    std::string region;  ///< from the settings
    std::string time_zone;
    std::vector<CrewDay> crews;
    std::vector<LeftOut> left_out;      ///< best score first
    std::optional<ClockTime> from;      ///< planned again at this moment; else the whole day
    std::vector<PlanChange> changes;    ///< against the plan that stood, Kept ones last
    std::vector<Explained> explained;   ///< as asked for
    std::vector<std::string> cautions;  ///< for the whole day
    std::string road_attribution;       ///< to be printed with any map
    std::uint64_t seed = 0;
    double total_score = 0;
    /// Per cent that it may lie below the best possible day, by the planner's own worth; 0: it is
    /// the best. Empty where that is not known.
    std::optional<double> within_percent;
    std::string held_to;                   ///< the limits of the day that were kept, in words
    std::vector<std::string> not_in_plan;  ///< the dangers that no rule of this plan could keep
    bool checked = false;                  ///< the separate checkers found no broken rule
};

}  // namespace nestround::day
