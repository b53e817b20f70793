/// \file limits_check.hpp
/// \brief Goes through a finished day stage by stage and lists each limit that it breaks.
///
/// Purpose:  no day is shown that this has not passed. It looks at the planned stops only and
/// shares
///           no step with the cutting of hours, so that a mistake there cannot hide here.
/// Units:    as day_plan.hpp.
/// Range:    any day, however wrong.
/// Accuracy: exact; readings that are missing break nothing.
/// Errors:   none: broken rules are the result.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "planner/day/plan_day.hpp"

namespace nestround::day {

struct LimitBroken {
    LimitRule rule = LimitRule::Wind;
    std::string crew;
    std::string message;  ///< names the stop, the moment and both figures
};

[[nodiscard]] std::vector<LimitBroken> check_limits(const DayInput& input,
                                                    const std::vector<CrewDay>& crews);

}  // namespace nestround::day
