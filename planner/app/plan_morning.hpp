/// \file plan_morning.hpp
/// \brief Use case: the morning. What waits, what it is worth, and the day that follows from it.
///
/// Purpose:  the contents page of the main job; each step is one call into the part that knows.
/// Units:    as the parts.
/// Range:    days as rank_waiting.hpp.
/// Accuracy: not applicable.
/// Errors:   Failure, naming file, setting, call or rule.
/// Source:   own; docs/main-job.md lists the steps.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/roads/network.hpp"
#include "planner/app/preferences.hpp"
#include "planner/app/rank_waiting.hpp"
#include "planner/app/standing_day.hpp"
#include "planner/day/day_plan.hpp"

namespace nestround::app {

struct MorningWishes {
    Day on{};
    std::vector<std::string> must;  ///< as a person types a call: short key or source key
    std::vector<std::string> never;
    std::vector<std::string> pins;     ///< CALL=HH:MM
    std::vector<std::string> why;      ///< calls to explain
    std::vector<std::string> why_not;  ///< calls of which to say what would have to change
    std::vector<std::string> crews;    ///< by name; empty: all that are active
    std::optional<std::uint64_t> seed;
    std::optional<std::uint64_t> iterations;
    bool without_weather = false;
    bool allow_missing_must = false;
    StandingWishes standing;  ///< with a plan that stands: only the rest of the day
};

/// The most waiting calls that are weighed for one day: the best ranked and every must-take.
inline constexpr std::size_t kMostCalls = 400;

[[nodiscard]] day::DayPlan plan_morning(const book::Book& book,
                                        std::shared_ptr<const roads::RoadNetwork> network,
                                        const Preferences& preferences,
                                        const MorningWishes& wishes);

}  // namespace nestround::app
