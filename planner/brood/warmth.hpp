/// \file warmth.hpp
/// \brief How warm comb stood, hour by hour, and what that is in days of development and in heat.
///
/// Purpose:  turns a temperature log, a set point, or neither into the two quantities that brood
///           goes by: development, in days at the reference temperature, and hours too hot.
/// Units:    days from the midnight before the comb came; degrees Celsius; hours.
/// Range:    readings in order of time; a gap of more than three hours is a gap.
/// Accuracy: readings are joined by straight lines and taken by the hour. The slope of development
///           on temperature is an assumption, see docs/science/brood.md.
/// Errors:   none.
/// Source:   rows brood.threshold, brood.reference_temperature, brood.untended_range,
///           brood.untended_most of the taxa table.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/harvest.hpp"
#include "planner/brood/figures.hpp"

namespace nestround::brood {

/// A stretch of a day at one temperature.
struct WarmPiece {
    double hours = 0;
    double celsius = 0;
};

struct Warmth {
    std::vector<std::vector<WarmPiece>> days;  ///< of each day from the first
    double gap_hours = 0;                      ///< between readings, too long to be joined
    double cold_hours = 0;                     ///< below the range of the rule
    double hot_hours = 0;                      ///< above the most that brood stands
    double hottest = -273;
};

/// What is asked of warm_days().
struct WarmthInput {
    Instant midnight{};     ///< before the comb came, of local time
    Instant stands_from{};  ///< nothing ripens here before
    int days = 1;
    std::span<const HabitatReading> log;  ///< where there is one it goes before the set point
    std::optional<Celsius> set_point;
    Celsius otherwise{30};  ///< with neither
};
[[nodiscard]] Warmth warm_days(const WarmthInput& input, const BroodFigures& figures);

/// Days of development, at the reference temperature, in one day at `celsius`.
[[nodiscard]] double development_rate(const BroodFigures& figures, double threshold,
                                      double celsius);

/// Development and hot hours from the first day to the end of each; one place a day and one for the
/// beginning.
struct Ripening {
    std::vector<double> development;
    std::vector<double> hot_hours;

    /// At a moment in days from the first midnight; straight within a day.
    [[nodiscard]] double development_at(double day) const;
    [[nodiscard]] double hot_hours_at(double day) const;
};
[[nodiscard]] Ripening ripening(const Warmth& warmth, const BroodFigures& figures,
                                double threshold);

}  // namespace nestround::brood
