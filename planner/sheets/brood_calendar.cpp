// Reminders of rounds to comb as an iCalendar file.
#include <fmt/format.h>

#include <cctype>

#include "planner/sheets/brood_sheet.hpp"
#include "planner/sheets/calendar_file.hpp"

namespace nestround::sheets {

std::string brood_calendar(const BroodSheet& sheet, Instant stamp,
                           const std::function<Instant(Day)>& begins)
{
    std::vector<CalendarEvent> events;
    for (const auto& task : brood_tasks(sheet)) {
        std::string place;
        for (const char c : task.place) {
            place += std::isalnum(static_cast<unsigned char>(c)) != 0 ? c : '-';
        }
        CalendarEvent event;
        event.uid = fmt::format("brood-{}-{}@nestround", format_day(task.day), place);
        event.stamp = stamp;
        // Minutes grow from plan to plan.
        event.sequence = static_cast<int>(stamp.time_since_epoch().count() / 60);
        event.begin = begins(task.day);
        event.end = event.begin + std::chrono::minutes{30};
        event.summary = task.title;
        event.location = task.place;
        event.description = task.words;
        events.push_back(std::move(event));
    }
    return calendar_file("Brood", events);
}

}  // namespace nestround::sheets
