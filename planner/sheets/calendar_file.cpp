#include "planner/sheets/calendar_file.hpp"

#include <fmt/format.h>

#include "planner/sheets/show.hpp"

namespace nestround::sheets {

namespace {

/// A TEXT value; each line is made fit to be shown first.
std::string escaped(const std::string& text)
{
    std::string out;
    std::size_t from = 0;
    while (true) {
        const std::size_t end = text.find('\n', from);
        for (const char c : clean(text.substr(from, end - from))) {
            if (c == '\\' || c == ';' || c == ',') {
                out += '\\';
            }
            out += c;
        }
        if (end == std::string::npos) {
            return out;
        }
        out += "\\n";
        from = end + 1;
    }
}

/// A content line, folded between characters so that no line is over 75 octets.
std::string folded(const std::string& line)
{
    constexpr std::size_t kMost = 75;
    std::string out;
    std::size_t used = 0;
    for (std::size_t k = 0; k < line.size();) {
        std::size_t length = 1;
        while (k + length < line.size() &&
               (static_cast<unsigned char>(line[k + length]) & 0xC0U) == 0x80U) {
            ++length;
        }
        if (used + length > kMost) {
            out += "\r\n ";
            used = 1;
        }
        out.append(line, k, length);
        used += length;
        k += length;
    }
    return out + "\r\n";
}

/// "20260804T070000Z".
std::string utc(Instant instant)
{
    std::string out;
    for (const char c : format_instant(instant).substr(0, 19)) {
        if (c != '-' && c != ':') {
            out += c;
        }
    }
    return out + "Z";
}

}  // namespace

std::string calendar_file(const std::string& name, const std::vector<CalendarEvent>& events)
{
    std::string out =
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Nestround//Morning//EN\r\n"
        "CALSCALE:GREGORIAN\r\nMETHOD:PUBLISH\r\n";
    out += folded("NAME:" + escaped(name));
    for (const CalendarEvent& event : events) {
        out += "BEGIN:VEVENT\r\n";
        out += folded("UID:" + escaped(event.uid));
        out += folded("DTSTAMP:" + utc(event.stamp));
        out += folded(fmt::format("SEQUENCE:{}", event.sequence));
        out += folded("DTSTART:" + utc(event.begin));
        out += folded("DTEND:" + utc(event.end));
        out += folded("SUMMARY:" + escaped(event.summary));
        if (!event.location.empty()) {
            out += folded("LOCATION:" + escaped(event.location));
        }
        out += folded("DESCRIPTION:" + escaped(event.description));
        out += "END:VEVENT\r\n";
    }
    return out + "END:VCALENDAR\r\n";
}

}  // namespace nestround::sheets
