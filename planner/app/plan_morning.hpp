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

#include <functional>
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
    /// Asked now and then: false ends the search with the best plan so far. May be empty.
    std::function<bool(double share_done)> keep_going;
};

/// The most waiting calls that are weighed for one day: the best ranked and every must-take.
inline constexpr std::size_t kMostCalls = 400;

[[nodiscard]] day::DayPlan plan_morning(const book::Book& book,
                                        std::shared_ptr<const roads::RoadNetwork> network,
                                        const Preferences& preferences,
                                        const MorningWishes& wishes);

/// What one plan after the other needs again: forecasts of the calls, the roads made ready, times
/// between stops. ranked() and forget() may be called by several threads, plan_morning with it by
/// one at a time; whoever keeps it calls forget() after the book or its settings were changed. The
/// roads are kept: they do not change.
class MorningMemory {
public:
    MorningMemory();
    ~MorningMemory();
    MorningMemory(const MorningMemory&) = delete;
    MorningMemory& operator=(const MorningMemory&) = delete;

    void forget();
    /// Ranked once a day of the year.
    [[nodiscard]] std::shared_ptr<const RankedMorning> ranked(const book::Book& book,
                                                              const Preferences& preferences,
                                                              Day on, bool without_weather);

private:
    friend class MorningRoom;
    struct Kept;
    std::unique_ptr<Kept> kept_;
};

[[nodiscard]] day::DayPlan plan_morning(const book::Book& book,
                                        std::shared_ptr<const roads::RoadNetwork> network,
                                        const Preferences& preferences, const MorningWishes& wishes,
                                        MorningMemory& memory);

}  // namespace nestround::app
