/// \file calendar_file.hpp
/// \brief Events as an iCalendar file.
///
/// Purpose:  arrival windows in any calendar, without a network.
/// Units:    moments in UTC, so that no time zone has to be carried along.
/// Range:    any text; line breaks in it stay line breaks.
/// Accuracy: whole seconds.
/// Promise:  the same input gives the same bytes: UID and DTSTAMP come from the caller.
/// Errors:   none.
/// Source:   RFC 5545: 3.1 (lines of at most 75 octets, CRLF), 3.3.11 (escapes), 3.6.1 (events),
///           3.8.7.4 (SEQUENCE: a later plan of the same event overrules an earlier one);
///           RFC 7986, 5.1 (NAME).
#pragma once

#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"

namespace nestround::sheets {

struct CalendarEvent {
    std::string uid;
    Instant stamp{};
    int sequence = 0;
    Instant begin{};
    Instant end{};
    std::string summary;
    std::string location;  ///< may be empty
    std::string description;
};

[[nodiscard]] std::string calendar_file(const std::string& name,
                                        const std::vector<CalendarEvent>& events);

}  // namespace nestround::sheets
