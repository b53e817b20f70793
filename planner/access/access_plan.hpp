/// \file access_plan.hpp
/// \brief How a nest is reached, and how long it takes.
///
/// Purpose:  the value that planning and sheets share.
/// Units:    in the types.
/// Range:    method NotReached means: not with this gear or permission; `words` says what would do.
/// Accuracy: times are estimates from a table with marks.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/harvest.hpp"

namespace nestround::access {

struct AccessPlan {
    WorkMethod method = WorkMethod::NotReached;
    std::string words;                  ///< "pole from the ground: nest at 4.5 m, pole reaches 7 m"
    seconds service{};                  ///< from parking to leaving
    std::vector<std::string> gear;      ///< what to carry to the nest
    std::vector<std::string> cautions;  ///< never "is safe"
};

}  // namespace nestround::access
