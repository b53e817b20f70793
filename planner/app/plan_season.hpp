/// \file plan_season.hpp
/// \brief Use case: the season. Which call on which day, what is held, what is expected.
///
/// Purpose:  `nestround season`.
/// Units:    as season/plan_season.hpp.
/// Range:    1 to 120 days.
/// Accuracy: as season/plan_season.hpp.
/// Errors:   Failure, naming file, setting, call or rule.
/// Source:   own.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/roads/network.hpp"
#include "planner/app/preferences.hpp"
#include "planner/season/plan_season.hpp"
#include "planner/season/rehearsal.hpp"

namespace nestround::app {

struct SeasonWishes {
    Day from{};
    Day to{};
    std::vector<std::string> crews;     ///< by name; empty: all that are active
    std::vector<std::string> days_off;  ///< "sunday", or a date
    int more_crews = 0;                 ///< what-if: copies of the first crew
    std::optional<double> calls_a_day;  ///< expected; empty: from the book
    std::vector<std::string> orders;    ///< TAXON=GRAMS, beside the book's open orders
    std::string standing;               ///< season JSON of a plan before; empty: none
    std::optional<std::uint64_t> seed;
    std::uint64_t iterations = 12000;
    int draws = 1;  ///< of chance in a rehearsal, by seeds that follow one another
    std::function<bool(double share_done)> keep_going{};  ///< false ends the search; may be empty
};

struct PlannedSeason {
    season::SeasonInput input;  ///< what was planned with
    season::SeasonPlan plan;
    double calls_a_day = 0;
    std::vector<std::string> notes;
};

[[nodiscard]] PlannedSeason plan_season(const book::Book& book,
                                        std::shared_ptr<const roads::RoadNetwork> network,
                                        const Preferences& preferences, const SeasonWishes& wishes);

/// A season lived through with the book's calls as they came in, by this planner and by three
/// simple rules; means of all draws.
[[nodiscard]] std::vector<season::Rehearsal> rehearse_season(
    const book::Book& book, std::shared_ptr<const roads::RoadNetwork> network,
    const Preferences& preferences, const SeasonWishes& wishes);

}  // namespace nestround::app
