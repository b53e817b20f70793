/// \file stage_report.hpp
/// \brief What one nest is on a day, and what each thing seen of it did to the forecast.
///
/// Purpose:  takes the nest of a call and what was seen beside the book; gives the prior, each step
///           and the result.
/// Units:    days of the season; counts; litres.
/// Range:    one nest.
/// Accuracy: as geocore/nature/season.hpp and observations.hpp.
/// Errors:   none; contradictions and doubtful values are warnings. What contradicts widens the
///           forecast: it holds the calendar of the wasp named and those of all that nest so here.
/// Source:   own; docs/science/season-and-yield.md.
#pragma once

#include <string>
#include <vector>

#include "geocore/nature/observations.hpp"
#include "geocore/records/call.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::yield {

/// One thing seen, in words, with what it did.
struct StageStep {
    std::string words;  ///< "traffic 40 a minute speaks of 1290 workers (32.243 a flight)"
    nature::Weighed done;
    Spread<double> workers_before;
    Spread<double> workers_after;
    nature::Stage stage_before{};
    nature::Stage stage_after{};
    double chance_before = 0;  ///< of that stage
    double chance_after = 0;
};

struct StageReport {
    std::string taxon;  ///< in words
    Day on{};
    double latitude = 0;
    nature::SeasonDates dates;  ///< by all that is known
    int season = 0;
    nature::ColonyDay prior;
    std::vector<StageStep> steps;
    nature::ColonyDay now;
    double effective = 0;  ///< courses that the forecast is worth
    std::vector<std::string> warnings;
    std::vector<std::string> rests_on;  ///< own catches, the year's heat
    bool widened = false;  ///< something contradicts: the forecast holds all that may be
};

[[nodiscard]] StageReport stage_report(const nature::TaxaTable& table, const CallSheet& sheet,
                                       Day on, std::vector<nature::Observation> seen,
                                       const YieldSettings& settings = {});

}  // namespace nestround::yield
