/// \file calendar.hpp
/// \brief Days, moments and clock times, read and written in ISO 8601.
///
/// Purpose:  the only date and time text the program reads or writes. Time zones are the rim's
///           affair (intake/time_zone.hpp): pure code sees days, UTC moments and clock times.
/// Units:    Day counts days, Instant whole seconds of UTC, ClockTime whole seconds since local
///           midnight (0 to 48 h, so that a shift may end after midnight).
/// Range:    years 1 to 9999; dates that do not exist are refused.
/// Accuracy: exact.
/// Errors:   parse functions give InvalidInput, naming the text and the form expected.
/// Source:   ISO 8601-1:2019 forms, proleptic Gregorian calendar as in std::chrono.
#pragma once

#include <chrono>
#include <string>
#include <string_view>

#include "geocore/base/error.hpp"

namespace nestround {

using Day = std::chrono::sys_days;
using Instant = std::chrono::sys_seconds;
using std::chrono::seconds;

/// A time of day on the wall clock of the place; 26:00 is two in the next morning.
class ClockTime {
public:
    constexpr ClockTime() = default;
    explicit constexpr ClockTime(seconds since_midnight) : value_{since_midnight} {}
    static constexpr ClockTime at(int hour, int minute)
    {
        return ClockTime{std::chrono::hours{hour} + std::chrono::minutes{minute}};
    }

    [[nodiscard]] constexpr seconds since_midnight() const { return value_; }

    friend constexpr auto operator<=>(ClockTime, ClockTime) = default;
    friend constexpr seconds operator-(ClockTime a, ClockTime b) { return a.value_ - b.value_; }
    friend constexpr ClockTime operator+(ClockTime t, seconds d) { return ClockTime{t.value_ + d}; }

private:
    seconds value_{0};
};

/// A span of clock time; closes >= opens.
struct ClockSpan {
    ClockTime opens;
    ClockTime closes;

    friend constexpr bool operator==(const ClockSpan&, const ClockSpan&) = default;
};

/// "2026-08-04".
[[nodiscard]] Result<Day> parse_day(std::string_view text);
[[nodiscard]] std::string format_day(Day day);
/// "Tuesday 4 August 2026".
[[nodiscard]] std::string format_day_long(Day day);
[[nodiscard]] int year_of(Day day);
/// 1 on 1 January.
[[nodiscard]] int day_of_year(Day day);

/// "2026-08-04T06:30:00Z", with optional fraction (dropped) and offset such as +02:00; an offset or
/// Z is required. A day alone is its first moment in UTC.
[[nodiscard]] Result<Instant> parse_instant(std::string_view text);
/// "2026-08-04T06:30:00.000Z": the GeoPackage form, three decimals.
[[nodiscard]] std::string format_instant(Instant instant);

/// "07:30" or "7:30", to "48:00".
[[nodiscard]] Result<ClockTime> parse_clock(std::string_view text);
/// "07:30"; seconds are rounded to the nearest minute.
[[nodiscard]] std::string format_clock(ClockTime time);
/// "08:00-12:00".
[[nodiscard]] Result<ClockSpan> parse_clock_span(std::string_view text);
[[nodiscard]] std::string format_clock_span(const ClockSpan& span);

}  // namespace nestround
