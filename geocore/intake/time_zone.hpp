/// \file time_zone.hpp
/// \brief Clock time of a place to UTC and back.
///
/// Purpose:  the only place where the system's time zone tables are read.
/// Units:    days, clock times of the place, seconds of UTC.
/// Range:    a clock time of 24:00 or more is on the next day.
/// Accuracy: exact by the tables. A clock time that the spring change leaves out is read as if the
///           clock had not been changed yet (02:30 becomes 03:30); one that the autumn change
///           repeats is its first time.
/// Errors:   InvalidInput for a zone that the tables lack; Failure when there are no tables.
/// Source:   IANA time zone database, as installed by the package tzdata.
#pragma once

#include <string>
#include <string_view>

#include "geocore/base/calendar.hpp"

namespace nestround::intake {

struct LocalTime {
    Day day{};
    ClockTime clock;

    friend bool operator==(const LocalTime&, const LocalTime&) = default;
};

/// "Europe/Zurich", "America/New_York", "UTC".
[[nodiscard]] bool is_time_zone(std::string_view zone);
/// The zone that this machine is set to; "UTC" when it does not say.
[[nodiscard]] std::string system_time_zone();

[[nodiscard]] Result<Instant> to_utc(Day day, ClockTime clock, std::string_view zone);
[[nodiscard]] Result<LocalTime> to_local(Instant instant, std::string_view zone);

}  // namespace nestround::intake
