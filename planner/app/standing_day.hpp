/// \file standing_day.hpp
/// \brief Reads the plan that stands, and works out where the crews are in it.
///
/// Purpose:  `nestround morning --replan PLAN.json --now HH:MM`.
/// Units:    as day/standing.hpp.
/// Range:    a plan written by `morning --json` for the same day and crews; a plan that was itself
///           made in the middle of the day will do.
/// Accuracy: without `done`, what the plan would have finished by now is taken as done, and so is
///           the work in hand, which ends as planned; without `at`, a crew is where its last work
///           was.
/// Errors:   Failure: NotFound, InvalidInput naming file and field, BadUsage for words that do not
///           fit.
/// Source:   own; docs/reference/morning-json.md.
#pragma once

#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/day/plan_day.hpp"

namespace nestround::app {

struct StandingWishes {
    std::string plan;               ///< file; empty: the whole day is planned
    std::string plan_text;          ///< the plan itself, in place of a file
    std::string now;                ///< HH:MM
    std::vector<std::string> at;    ///< POINT or CREW=POINT, latitude first
    std::vector<std::string> done;  ///< calls; empty: by the clock

    [[nodiscard]] bool any() const { return !plan.empty() || !plan_text.empty(); }
};

/// Notes say what was taken for granted.
struct StandingDay {
    day::Standing standing;
    std::vector<std::string> notes;
    std::vector<std::string> done_by_the_clock;  ///< names of places
};

[[nodiscard]] StandingDay standing_day(const book::Book& book, const StandingWishes& wishes, Day on,
                                       const std::vector<Crew>& crews,
                                       const day::DaySettings& settings);

}  // namespace nestround::app
