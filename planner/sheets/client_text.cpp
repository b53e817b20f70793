#include "planner/sheets/client_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

constexpr std::chrono::minutes kQuarter{15};
constexpr int kWidth = 78;

void say(std::string& out, const std::string& words)
{
    for (const std::string& line : wrap(words, kWidth)) {
        out += line + "\n";
    }
}

/// What only this client can tell or has told.
void ask(std::string& out, const day::PlannedStop& stop)
{
    const CallSheet& sheet = stop.call.sheet;
    if (sheet.call.allergic) {
        say(out,
            "You told us that someone there is allergic to stings: please keep them indoors with "
            "the windows shut, or away, while we are there.");
    } else {
        say(out, "Please tell us beforehand if anyone there is allergic to stings.");
    }
    const bool climbs = !stop.access.ways.empty() && stop.access.ways.front().ladder.has_value();
    if (climbs && sheet.call.ladder == LadderPermission::Unknown) {
        say(out, "May we lean a ladder against the house? Please tell us.");
    }
    if (!sheet.nest.height) {
        say(out, "How high is the nest above the place where one can stand? Please tell us.");
    }
}

void one_text(std::string& out, const day::DayPlan& plan, const day::PlannedStop& stop,
              const std::string& mark, std::chrono::minutes width, const DaySheetOptions& options)
{
    const CallSheet& sheet = stop.call.sheet;
    const ClockSpan window = arrival_window(stop, width);
    const auto client = options.clients.find(sheet.call.id);
    const bool named = client != options.clients.end() && !clean(client->second.name).empty();
    out += fmt::format("---- {}  {}  {}  (call {})\n", mark, format_clock_span(window),
                       place_name(sheet), call_key(sheet.call.id));
    if (client != options.clients.end()) {
        say(out,
            fmt::format("To: {}  {}", clean(client->second.name), clean(client->second.phone)));
    }
    if (const std::string address = clean(sheet.site.address);
        options.with_addresses && !address.empty()) {
        say(out, "At: " + address);
    }
    out += "\n";
    out += named ? fmt::format("Hello {},\n", clean(client->second.name)) : "Hello,\n";
    say(out, fmt::format("we plan to come on {} between {} and {} to take {}. It should take about "
                         "{}. The day may shift; we tell you if it does.",
                         format_day_long(plan.day), clock(window.opens), clock(window.closes),
                         comb_stays(stop) ? "the wasps from the nest" : "the wasp nest away",
                         duration(stop.leave - stop.begin)));
    say(out,
        "Until then please keep people and animals away from it, and shut the windows near it "
        "while we work.");
    ask(out, stop);
    say(out,
        "Afterwards: " + practice_words("client", comb_stays(stop) ? "comb_stays" : "stragglers") +
            " " + practice_words("client", "keep_away"));
    out += "\n";
}

}  // namespace

ClockSpan arrival_window(const day::PlannedStop& stop, std::chrono::minutes width)
{
    const ClockTime planned = std::max(stop.arrive, stop.begin);
    const seconds early = planned.since_midnight() - seconds{width} / 3;
    ClockSpan window;
    window.opens = ClockTime{early - early % seconds{kQuarter}};
    window.closes = window.opens + width;
    for (const ClockSpan& span : stop.call.sheet.call.allowed) {
        if (span.opens <= planned && planned <= span.closes) {
            window.opens = std::max(window.opens, span.opens);
            window.closes = std::max(planned, std::min(window.opens + width, span.closes));
            break;
        }
    }
    return window;
}

std::string client_texts(const day::DayPlan& plan, std::chrono::minutes width,
                         const DaySheetOptions& options)
{
    std::string out =
        fmt::format("{}: texts to read over and send by hand\n\n", format_day_long(plan.day));
    bool any = false;
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        const auto& stops = plan.crews[c].stops;
        for (std::size_t k = 0; k < stops.size(); ++k) {
            one_text(out, plan, stops[k], crew_letter(c) + std::to_string(k + 1), width, options);
            any = true;
        }
    }
    return any ? out : out + "Nobody is visited.\n";
}

}  // namespace nestround::sheets
