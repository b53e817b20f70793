#include "planner/app/morning_papers.hpp"

#include <fmt/format.h>

#include <utility>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/cut_roads.hpp"
#include "planner/sheets/calendar_file.hpp"
#include "planner/sheets/client_text.hpp"
#include "planner/sheets/practice.hpp"
#include "planner/sheets/sheet_html.hpp"
#include "planner/sheets/sheet_pdf.hpp"
#include "planner/sheets/text_page.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::app {

namespace {

bool is_html(const std::string& path) { return path.ends_with(".html") || path.ends_with(".htm"); }

std::chrono::minutes window_of(const PaperWishes& wishes)
{
    return wishes.window.count() > 0 ? wishes.window
                                     : std::chrono::minutes{static_cast<int>(
                                           sheets::practice("window", "minutes").middle())};
}

sheets::DaySheetOptions sheet_options(const book::Book& book, const day::DayPlan& plan,
                                      sheets::UnitStyle units, const PaperWishes& wishes)
{
    sheets::DaySheetOptions options;
    options.units = units;
    options.with_addresses = wishes.with_addresses;
    if (!wishes.with_clients) {
        return options;
    }
    for (const auto& crew : plan.crews) {
        for (const auto& stop : crew.stops) {
            const Call& call = stop.call.sheet.call;
            const auto client = call.client ? book.client(*call.client) : std::nullopt;
            if (client) {
                options.clients[call.id] = {client->name, client->phone};
            }
        }
    }
    return options;
}

std::string calendar(const day::DayPlan& plan, const sheets::DaySheetOptions& options,
                     std::chrono::minutes width)
{
    const auto moment = [&](ClockTime at) {
        return value_or_throw(intake::to_utc(plan.day, at, plan.time_zone));
    };
    const ClockTime from = plan.from.value_or(ClockTime{});
    std::vector<sheets::CalendarEvent> events;
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        const auto& crew = plan.crews[c];
        for (std::size_t k = 0; k < crew.stops.size(); ++k) {
            const auto& stop = crew.stops[k];
            const CallSheet& sheet = stop.call.sheet;
            const ClockSpan window = sheets::arrival_window(stop, width);
            const std::string mark = sheets::crew_letter(c) + std::to_string(k + 1);
            sheets::CalendarEvent event;
            event.uid = fmt::format("{}-{}@nestround", sheet.call.id.text(), format_day(plan.day));
            // By the plan, not by the clock: the same plan gives the same file, and one made later
            // in the day overrules it.
            event.stamp = moment(from);
            event.sequence = static_cast<int>(from.since_midnight().count() / 60);
            event.begin = moment(window.opens);
            event.end = moment(window.closes);
            event.summary = fmt::format("{} arrival: {}", mark, sheets::place_name(sheet));
            if (options.with_addresses) {
                event.location = sheet.site.address;
            }
            event.description =
                fmt::format("{}: work {} to {} as planned; call {}.", sheets::clean(crew.crew.name),
                            sheets::clock(stop.begin), sheets::clock(stop.leave),
                            sheets::call_key(sheet.call.id));
            if (const auto client = options.clients.find(sheet.call.id);
                client != options.clients.end()) {
                event.description +=
                    fmt::format("\n{} {}", client->second.name, client->second.phone);
            }
            event.description += "\nTimes are estimates.";
            events.push_back(std::move(event));
        }
    }
    return sheets::calendar_file("Nests of " + format_day(plan.day), events);
}

}  // namespace

void check_papers(const PaperWishes& wishes)
{
    if (!wishes.sheet.empty() && !wishes.sheet.ends_with(".pdf") && !is_html(wishes.sheet)) {
        throw Failure{ErrorCode::BadUsage, "--sheet wants a name ending in .pdf or .html",
                      wishes.sheet};
    }
    if (!wishes.calendar.empty() && !wishes.calendar.ends_with(".ics")) {
        throw Failure{ErrorCode::BadUsage, "--calendar wants a name ending in .ics",
                      wishes.calendar};
    }
    if (!sheets::paper(wishes.paper)) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--paper wants a4 or letter, not '{}'", wishes.paper)};
    }
    if (wishes.with_clients && wishes.sheet.empty() && wishes.calendar.empty() &&
        wishes.texts.empty()) {
        throw Failure{ErrorCode::BadUsage,
                      "--with-clients puts names into --sheet, --calendar or --texts: name one"};
    }
}

void write_papers(const book::Book& book, const day::DayPlan& plan,
                  const roads::RoadNetwork& network, sheets::UnitStyle units,
                  const PaperWishes& wishes)
{
    check_papers(wishes);
    const auto options = sheet_options(book, plan, units, wishes);
    std::vector<std::pair<std::string, std::string>> files;
    if (!wishes.sheet.empty()) {
        const auto sheet = sheets::day_sheet(plan, options);
        const auto cut = cut_roads(network, sheets::sheet_map_window(plan));
        files.emplace_back(wishes.sheet,
                           is_html(wishes.sheet)
                               ? sheets::sheet_html(sheet, plan, cut)
                               : sheets::sheet_pdf(sheet, plan, cut, *sheets::paper(wishes.paper)));
    }
    if (!wishes.calendar.empty()) {
        files.emplace_back(wishes.calendar, calendar(plan, options, window_of(wishes)));
    }
    if (!wishes.texts.empty()) {
        files.emplace_back(wishes.texts, sheets::client_texts(plan, window_of(wishes), options));
    }
    for (const auto& [path, bytes] : files) {
        sheets::write_file(path, bytes);
    }
}

}  // namespace nestround::app
