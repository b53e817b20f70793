/// \file stop_words.hpp
/// \brief What is said of a stop, apart from what is said once of all stops of the day.
///
/// Purpose:  the terminal sheet and the printed one say the same.
/// Units:    none.
/// Range:    any plan; with fewer than two stops nothing is shared.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "planner/day/day_plan.hpp"

namespace nestround::sheets {

/// What every stop of the day has in common: said once, so that what differs is seen.
struct SharedWords {
    std::vector<std::string> cautions;
    std::vector<std::string> gear;
};

[[nodiscard]] SharedWords shared_by_all(const day::DayPlan& plan);

/// What to carry to the nest: "usual kit" for what is shared, and what is not.
[[nodiscard]] std::vector<std::string> carried(const day::PlannedStop& stop,
                                               const SharedWords& shared);
/// What to mind there, each once: the call's own marks first, then cautions that are not shared.
[[nodiscard]] std::vector<std::string> minded(const day::PlannedStop& stop,
                                              const SharedWords& shared);
/// "only 08:00-12:00, 14:00-16:00"; empty when any hour will do.
[[nodiscard]] std::string hours_words(const Call& call);

/// Shown forms of `parts`, the empty ones left out.
[[nodiscard]] std::string joined(const std::vector<std::string>& parts, std::string_view glue);

}  // namespace nestround::sheets
