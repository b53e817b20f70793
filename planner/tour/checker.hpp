/// \file checker.hpp
/// \brief Drives every tour of a plan again and lists each rule that it breaks.
///
/// Purpose:  no plan is shown that this has not passed. It shares only problem and plan with the
///           solvers, so that a mistake there cannot hide here.
/// Units:    as the problem's.
/// Range:    any plan, however wrong.
/// Accuracy: exact; an empty list means that every rule of the problem is kept.
/// Errors:   none: broken rules are the result.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

enum class Rule {
    OneTourAVehicle,  ///< tours are those of the vehicles, in order
    KnownJobs,        ///< every job named is one of the problem's
    ServedOnce,       ///< no job is visited twice
    UnservedListed,   ///< visited and unserved jobs together are all jobs
    MustTake,         ///< what must be taken is
    MayServe,         ///< skills, gear, forbidden vehicles
    Capacity,         ///< demands fit in the vehicle, carried loads at each moment
    SharedLimit,      ///< what all vehicles share is not used up twice
    Follows,          ///< second visits come after first ones, in time, by whom they must
    RoadExists,       ///< there is a road for every leg
    Shift,            ///< leaves no sooner, is home no later than overtime allows
    DriveTime,        ///< arrivals follow from the legs
    WindowKept,       ///< service begins within a window, not before arriving
    ServiceTime,      ///< service lasts as long as it must
    PauseKept,        ///< the pause is there, in its window, between two stops
    RideLimit,        ///< live cargo is home in time
    TotalsTrue,       ///< driving, metres and objective are what they say
};

[[nodiscard]] std::string_view text(Rule rule);

struct Violation {
    Rule rule;
    std::optional<std::size_t> vehicle;
    std::optional<std::size_t> job;
    std::string message;  ///< names the vehicle, the job, and both numbers
};

[[nodiscard]] std::vector<Violation> check(const Problem& problem, const Plan& plan);

}  // namespace nestround::tour
