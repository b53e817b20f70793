/// \file noise.hpp
/// \brief Noise dose of a day by two published criteria.
///
/// Purpose:  what the vacuum's minutes add up to. Its level is the crew's own measurement at the
///           ear: no default is published, and without one the dose is unknown, never zero.
/// Units:    A-weighted decibels; seconds; dose in per cent of a day's.
/// Range:    levels from the criterion's threshold up count; 0 to 140 dB.
/// Accuracy: exact formulas; the level is as good as its measurement.
/// Errors:   InvalidInput for levels or times that cannot be.
/// Source:   29 CFR 1910.95 appendix A (90 dB, exchange 5 dB); NIOSH 98-126 (85 dB, exchange 3 dB,
///           ceiling 115 dB); derating of protectors: 1910.95 appendix B, OSHA technical manual
///           appendix E, NIOSH 98-126; see the rows `noise` of planner/access/access.csv.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "geocore/base/calendar.hpp"
#include "geocore/base/error.hpp"

namespace nestround::access {

/// Osha: the law's limit in the USA; Niosh: the recommendation, stricter.
enum class NoiseCriterion { Osha, Niosh };

struct NoiseSpell {
    std::optional<double> level;  ///< dB(A) at the ear; empty: not measured
    seconds time{};
};

/// The time in which a level alone uses up the day's dose.
[[nodiscard]] double allowed_hours(double level, NoiseCriterion criterion);

struct NoiseDose {
    std::optional<double> percent;  ///< empty: unknown, some level was not measured
    std::optional<double> average;  ///< level over eight hours
    bool over_ceiling = false;      ///< a level above the criterion's ceiling
    std::string words;
};

/// Levels below `threshold` do not count (80 for the action level, 90 for the limit; none here: 0).
[[nodiscard]] Result<NoiseDose> noise_dose(std::span<const NoiseSpell> spells,
                                           NoiseCriterion criterion, double threshold = 0);

/// How a rating printed on a protector is taken off: as a whole, by half, or by kind.
enum class Derating { Whole, Half, MuffNiosh, FormedPlugNiosh, OtherPlugNiosh };
/// Level at the ear behind a protector of that noise reduction rating.
[[nodiscard]] double behind_protector(double level, double rating, Derating derating);

}  // namespace nestround::access
