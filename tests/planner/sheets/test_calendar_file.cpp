#include "planner/sheets/calendar_file.hpp"

#include <fmt/format.h>

#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;
using Catch::Contains;

namespace {

CalendarEvent event_of(const std::string& words)
{
    CalendarEvent event;
    event.uid = "one@nestround";
    event.stamp = value_or_throw(parse_instant("2026-08-04T04:00:00Z"));
    event.sequence = 3;
    event.begin = value_or_throw(parse_instant("2026-08-04T11:15:00Z"));
    event.end = value_or_throw(parse_instant("2026-08-04T12:15:00Z"));
    event.summary = words;
    event.location = words;
    event.description = words + "\nsecond line";
    return event;
}

}  // namespace

TEST_CASE("CalendarFile, EveryLineEndsInCrlfAndIsAtMost75Octets")
{
    std::string words;
    for (int k = 0; k < 30; ++k) {
        words += "длинный адрес, 蜂の巣; ";
    }
    const auto file = calendar_file("Nests", {event_of(words)});
    std::size_t from = 0;
    std::size_t lines = 0;
    while (from < file.size()) {
        const auto end = file.find("\r\n", from);
        REQUIRE(end != std::string::npos);
        CHECK(end - from <= 75);
        CHECK(file.substr(from, end - from).find('\n') == std::string::npos);
        // A fold never cuts a character.
        CHECK((static_cast<unsigned char>(file[from]) & 0xC0U) != 0x80U);
        from = end + 2;
        ++lines;
    }
    CHECK(lines > 20);
}

TEST_CASE("CalendarFile, AnotherLibraryReadsTheSameWords")
{
    const testing::ScratchFolder folder;
    const std::string words =
        "mill, gable; a\\b 'q' \"d\" Дом у реки 蜂の巣 and a long tail that has to be folded twice";
    write_file(folder.file("a.ics"), calendar_file("Nests of a day", {event_of(words)}));
    write_file(folder.file("words.txt"), words);
    write_file(folder.file("look.py"), R"(import sys
from icalendar import Calendar
cal = Calendar.from_ical(open(sys.argv[1], 'rb').read())
words = open(sys.argv[2], encoding='utf-8').read()
assert str(cal['VERSION']) == '2.0' and 'PRODID' in cal
events = cal.walk('VEVENT')
assert len(events) == 1, events
e = events[0]
assert str(e['SUMMARY']) == words, str(e['SUMMARY'])
assert str(e['LOCATION']) == words
assert str(e['DESCRIPTION']) == words + '\nsecond line', repr(str(e['DESCRIPTION']))
assert str(e['UID']) == 'one@nestround' and int(e['SEQUENCE']) == 3
for key, said in (('DTSTART', '2026-08-04T11:15:00+00:00'), ('DTEND', '2026-08-04T12:15:00+00:00'),
                  ('DTSTAMP', '2026-08-04T04:00:00+00:00')):
    assert e[key].dt.isoformat() == said, e[key].dt
print('read')
)");
    const auto said =
        testing::run_shell(fmt::format("/usr/bin/python3 {} {} {}", folder.file("look.py"),
                                       folder.file("a.ics"), folder.file("words.txt")));
    CAPTURE(said.words);
    CHECK(said.code == 0);
    CHECK(said.words == "read\n");
}

TEST_CASE("CalendarFile, NoEventsIsACalendarStill")
{
    const auto file = calendar_file("Nests", {});
    CHECK(file.rfind("BEGIN:VCALENDAR\r\n", 0) == 0);
    CHECK_THAT(file, Contains("END:VCALENDAR\r\n") && !Contains("VEVENT"));
}
