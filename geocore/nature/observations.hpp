/// \file observations.hpp
/// \brief What was seen of one nest, and how it sharpens the forecast: Bayes' rule on the courses.
///
/// Purpose:  weighs the courses of a season by how well each explains what was seen. No course is
///           moved: only its weight changes, so all questions share the same courses.
/// Units:    days of the season; flights a minute; cells; combs; cm2; litres.
/// Range:    values > 0 but for traffic, where 0 is a quiet nest.
/// Accuracy: every spread is a row observe.*; most are assumptions. An observation that next to no
///           course explains is not heeded and said so; one that would leave fewer than 12 courses'
///           worth of weight is softened until they are left.
/// Cost:     a microsecond or some an observation; no allocation.
/// Errors:   none.
/// Source:   Bayes' rule; effective number of samples: L. Kish, "Survey sampling" (1965); traffic:
///           S46, S47, S77 of geocore/nature/taxa/sources.csv.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/nature/season.hpp"

namespace nestround::nature {

enum class Look { SeenAlive, Traffic, Cells, Combs, CombArea, Size, LargeCells, SexualsFlying };

struct Observation {
    Look look = Look::SeenAlive;
    double day = 0;       ///< of the season
    double value = 0;     ///< flights a minute in one direction, cells, combs, cm2, litres
    bool counted = true;  ///< cells: counted, not estimated
    bool rain = false;    ///< traffic: counted in rain
    double minutes = 5;   ///< traffic: counted for so long
    bool yes = true;      ///< large cells, queens or males: seen, or looked for and not seen
};

/// "traffic at the entrance", "cells", ...
[[nodiscard]] std::string_view text(Look look);

/// The rows observe.* and traffic.*, looked up once.
struct LookFigures {
    double traffic_workers = 32.243;
    double rain_cut = 0.3;
    double traffic_spread = 0.34;
    double day_mean = 0.7;
    double day_spread = 0.26;
    double other_genus = 0.5;
    double cells_counted = 0.1;
    double cells_estimated = 0.35;
    double combs = 0.25;
    double area = 0.15;
    double cells_per_cm2 = 5.0746;
    double size = 1.2;
    double slip = 0.03;
    double missed = 0.25;
    double level = 1;  ///< what own catches multiply a course's workers and cells by

    [[nodiscard]] static LookFigures of(const TaxaTable& table);
};

/// What an observation did.
enum class Heeded { Told, ToldNothing, Softened, Contradicts };

struct Weighed {
    Heeded heeded = Heeded::ToldNothing;
    double effective = 0;  ///< courses that the weights are worth, after it
    double fit = 1;        ///< mean of the likelihood over the best that could be; 0 to 1
};

/// Multiplies `weights` by the likelihood of what was seen and brings their sum back to 1. When it
/// tells nothing, or contradicts, the weights stay as they were, bit for bit. `room` has one place
/// a course too. Size takes `typical_litres` and `typical_cells` of a mature nest; 0: not heeded.
Weighed weigh(const Season& season, const LookFigures& figures, const Observation& seen,
              std::span<double> weights, std::span<double> room, double typical_litres = 0,
              double typical_cells = 0);

/// Workers that a count of traffic speaks of: 32.243 a flight a minute, rain allowed for.
[[nodiscard]] double workers_of_traffic(const LookFigures& figures, double per_minute, bool rain);

/// Kish's effective number of weights.
[[nodiscard]] double effective_number(std::span<const double> weights);

/// Volume of an ellipsoid of revolution in litres.
[[nodiscard]] double nest_litres(Metres width, Metres length);

}  // namespace nestround::nature
