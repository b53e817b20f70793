/// \file emergence.hpp
/// \brief What emerges from one comb day by day, with doubt, and what collections say of it.
///
/// Purpose:  the forecast of a comb in a habitat: workers, queens and males by day and in all. What
///           is not known (sealed days, slope on temperature, ages, share saved, count) is drawn
///           together many times; collections weigh the draws by Bayes' rule.
/// Units:    adults; days from the midnight before the comb came.
/// Range:    counts >= 0; collections in order of time.
/// Accuracy: 512 draws on a fixed low-discrepancy grid, and the chance of single cells on top. Of
///           combs drawn from the same figures about 80 % lie within 10 and 90 %
///           (tests/planner/brood).
/// Cost:     some milliseconds a comb.
/// Errors:   none: a comb without brood gives zeros.
/// Source:   docs/science/brood.md; grid after R. D. Richtmyer, Los Alamos LA-1342 (1951); Bayes'
///           rule; effective number of draws: L. Kish, "Survey sampling" (1965).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/base/spread.hpp"
#include "planner/brood/ages.hpp"
#include "planner/brood/figures.hpp"
#include "planner/brood/warmth.hpp"

namespace nestround::brood {

/// What is in the cells of a comb when it comes home.
struct CombBrood {
    double eggs = 0;
    double larvae = 0;
    double sealed_small = 0;
    double sealed_large = 0;
    double doubt = 0;                    ///< standard deviation of the logarithm of the counts
    std::optional<double> sealed_least;  ///< days, when something is known of the ages
    std::optional<double> sealed_most;
    bool nurses = false;
    double sexual_small = 0;  ///< of sealed small cells, where queens and males grow in those too
};

/// One collection from the comb.
struct Taken {
    double day = 0;  ///< from the first midnight
    std::optional<double> workers;
    std::optional<double> reproductives;
    double doubt = 0;  ///< beside that of counting: standard deviation of the logarithm
};

struct EmergenceInput {
    BroodFigures figures;
    CombBrood brood;
    SealedGrowth growth;
    Warmth warmth;  ///< as many days as are wanted
    std::vector<Taken> taken;
};

struct DayEmergence {
    Spread<double> workers;
    Spread<double> queens;
    Spread<double> males;
    double mean_workers = 0;
    double mean_queens = 0;
    double mean_males = 0;
};

/// Reproductives are queens and males together.
struct Emergence {
    std::vector<DayEmergence> days;
    Spread<double> workers;             ///< in all
    Spread<double> reproductives;       ///< in all
    Spread<double> workers_left;        ///< from the last collection on
    Spread<double> reproductives_left;  ///< from the last collection on
    Spread<double> last_day;            ///< by which 95 % of what will emerge is out
    double from_larvae = 0;             ///< of the workers, the mean that larvae give
    double killed_by_heat = 0;          ///< share of the brood that heat has killed, mean
    double effective = 512;             ///< draws that count after the collections
    bool softened = false;              ///< the collections are far from what was counted
};

[[nodiscard]] Emergence forecast_emergence(const EmergenceInput& input);

}  // namespace nestround::brood
