/// \file climate_normals.hpp
/// \brief What a day of the year is like: mean and spread of past years, and the sum of a stretch
/// of days that nobody has measured yet.
///
/// Purpose:  the tail of a sum past the last measured day, and the filling of gaps.
/// Units:    those of the values; the spread of a season's mean in Celsius.
/// Range:    29 February counts as 28 February; a day of the year that no value lies near has none.
/// Accuracy: a few years make wide normals: the spread grows by sqrt(1 + 1/years).
/// Cost:     making them some 100 us a year of days; a tail about a microsecond a day.
/// Errors:   none.
/// Source:   own; the variance of a sum of values that hang together from day to day is that of an
///           autoregressive series of order one.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/spread.hpp"

namespace nestround::nature {

struct DatedValue {
    Day day{};
    double value = 0;
};

/// A day of the year.
struct Normal {
    double mean = 0;
    double deviation = 0;   ///< standard deviation of single days about the mean
    double above_zero = 0;  ///< share of the values that are above 0
    int years = 0;          ///< that gave values
};

class DayNormals {
public:
    DayNormals() = default;
    /// `window`: days on each side that count too.
    [[nodiscard]] static DayNormals make(std::span<const DatedValue> values, int window);

    [[nodiscard]] std::optional<Normal> on(Day day) const;
    /// How much of a day's departure is left on the next, 0 to 1.
    [[nodiscard]] double persistence() const { return persistence_; }
    [[nodiscard]] bool empty() const { return empty_; }

private:
    static constexpr std::size_t kDays = 365;
    std::array<std::optional<Normal>, kDays> days_{};
    double persistence_ = 0;
    bool empty_ = true;
};

struct Tail {
    Day from{};
    Day to{};
    Spread<double> sum;
    int years = 0;  ///< fewest years that a day's normal rests on
};

/// The sum from `from` to `to`, both included; nothing when a day has no normal or from > to.
/// `season_departure`: how far the mean of a season departs from the normals, one standard
/// deviation, in units of the value a day.
[[nodiscard]] std::optional<Tail> tail_of(const DayNormals& normals, Day from, Day to,
                                          double season_departure);

}  // namespace nestround::nature
