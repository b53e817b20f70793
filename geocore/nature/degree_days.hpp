/// \file degree_days.hpp
/// \brief Heat above a threshold, from a day's lowest and highest temperature.
///
/// Purpose:  the usual reckonings: the mean, the mean of clipped extremes, one or two triangles,
/// one
///           or two sine curves, each with a lower and an upper threshold and a cutoff.
/// Units:    Celsius and Celsius degree-days; a Fahrenheit degree-day is 5/9 of one.
/// Range:    any finite temperatures; extremes given the wrong way round are swapped. The upper
///           threshold must not be below the lower (see checked()).
/// Accuracy: closed forms, exact to rounding. A day's curve is a model: two readings know no more.
/// Cost:     tens of nanoseconds a day.
/// Errors:   checked() gives InvalidInput; degree_days itself none.
/// Source:   Baskerville and Emin 1969 (sine), Allen 1976 (double sine), Zalom and others 1983 (the
///           cutoffs), McMaster and Wilhelm 1997 (the two means); equations and checks in
///           docs/science/heat.md.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::nature {

/// The shape that is drawn through a day's two readings.
enum class DegreeDayMethod {
    Average,         ///< the mean of the two, for the whole day
    ClippedAverage,  ///< the mean of the two after each was brought within the thresholds
    SingleTriangle,
    DoubleTriangle,  ///< the second half of the day falls to the next day's minimum
    SingleSine,
    DoubleSine,
};
/// What heat above the upper threshold does.
enum class Cutoff {
    Horizontal,    ///< adds no more than the threshold itself
    Intermediate,  ///< takes away as much as it passes the threshold by
    Vertical,      ///< stops development for as long as it lasts
};

/// "average", "clipped-average", "single-triangle", ...; "horizontal", ...
[[nodiscard]] std::string_view text(DegreeDayMethod method);
[[nodiscard]] std::string_view text(Cutoff cutoff);
[[nodiscard]] std::optional<DegreeDayMethod> degree_day_method(std::string_view text);
[[nodiscard]] std::optional<Cutoff> cutoff(std::string_view text);

struct DegreeDayRule {
    DegreeDayMethod method = DegreeDayMethod::SingleSine;
    Celsius lower{10};
    std::optional<Celsius> upper;  ///< none: no heat is too much
    Cutoff cutoff = Cutoff::Horizontal;
};

/// The rule, or why it cannot be one.
[[nodiscard]] Result<DegreeDayRule> checked(const DegreeDayRule& rule);

/// A day's two readings.
struct DayRange {
    Celsius minimum{};
    Celsius maximum{};
};

/// Degree-days of one day. The double methods draw the second half of the day down to
/// `next_minimum`; without one they take the day's own.
[[nodiscard]] DegreeDays degree_days(const DegreeDayRule& rule, DayRange day,
                                     std::optional<Celsius> next_minimum = {});

/// Of each of several days that follow one another; the last one has no next minimum.
[[nodiscard]] std::vector<DegreeDays> degree_days(const DegreeDayRule& rule,
                                                  std::span<const DayRange> days);

/// The share of a day that is warmer than `threshold`, by the single sine.
[[nodiscard]] double share_above(DayRange day, Celsius threshold);

}  // namespace nestround::nature
