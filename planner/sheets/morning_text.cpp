#include "planner/sheets/morning_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "planner/sheets/stop_words.hpp"
#include "planner/sheets/text_page.hpp"
#include "planner/sheets/time_strip.hpp"

namespace nestround::sheets {

namespace {

constexpr std::string_view kRail = "        \u2502   ";
constexpr std::string_view kRoad = "        \u2506   ";
constexpr int kKeyWidth = 7;

std::string counted(std::size_t count, std::string_view one, std::string_view many)
{
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string leg_words(seconds drive, Metres length, UnitStyle units)
{
    return drive.count() <= 0 ? std::string{"no drive: same place"}
                              : duration(drive) + ", " + distance(length, units);
}

/// A line of a stop: what it is about, then the words.
void field(TextPage& page, std::string_view key, const std::string& words, Ink ink = Ink::Plain)
{
    if (words.empty()) {
        return;
    }
    page.block(std::string{kRail} + fit(key, kKeyWidth),
               std::string{kRail} + std::string(kKeyWidth, ' '), Ink::Faint, words, ink);
}

std::string reach_words(const day::PlannedStop& stop)
{
    std::string words = clean(stop.access.words);
    words += fmt::format("{}allow {}, leave {}", words.empty() ? "" : "; ",
                         duration(stop.leave - stop.begin), clock(stop.leave));
    return words;
}

void show_stop(TextPage& page, const day::PlannedStop& stop, const std::string& mark, Ink ink,
               const SharedWords& shared, const TextOptions& options)
{
    const CallSheet& sheet = stop.call.sheet;
    page.block(std::string{kRoad}, std::string{kRoad}, Ink::Faint,
               leg_words(stop.drive, stop.drive_length, options.units), Ink::Faint);
    page.spread(
        fmt::format(" {:<5}  {:<3} {}", clock(stop.arrive), mark, place_name(sheet)), ink,
        fmt::format("{}call {}", sheet.call.must_take ? "promised, " : "", call_key(sheet.call.id)),
        Ink::Faint);
    if (options.with_addresses) {
        field(page, "where", clean(sheet.site.address));
    }
    std::string hours = hours_words(sheet.call);
    if (stop.begin > stop.arrive) {
        hours += fmt::format("{}wait {}, work begins {}", hours.empty() ? "" : "; ",
                             duration(stop.begin - stop.arrive), clock(stop.begin));
    }
    field(page, "hours", hours);
    std::string nest = nest_words(sheet.nest, options.units);
    if (const std::string entrance = clean(sheet.nest.entrance); !entrance.empty()) {
        nest += "; entrance: " + entrance;
    }
    field(page, "nest", nest);
    field(page, "colony", colony_words(stop.call.outlook));
    field(page, "brood", brood_words(stop.call.outlook));
    field(page, "gives", yield_words(stop.call.outlook), Ink::Strong);
    field(page, "reach", reach_words(stop));
    for (const std::string& bound : stop.bound_by) {
        field(page, "limit", clean(bound), Ink::Warn);
    }
    field(page, "carry", joined(carried(stop, shared), ", "));
    field(page, "why", joined(stop.call.reasons, "; "));
    field(page, "mind", joined(minded(stop, shared), "; "), Ink::Warn);
}

void show_pause(TextPage& page, const day::PlannedBreak& pause)
{
    page.line_as_is(fmt::format(" {:<5}  \u2591\u2591  midday break, {}", clock(pause.begin),
                                duration(pause.length)));
}

/// Items with a box to tick, in as many columns as fit.
void show_load(TextPage& page, const std::vector<std::string>& load)
{
    if (load.empty()) {
        return;
    }
    page.line_as_is(" Load");
    constexpr int kIndent = 2;
    int widest = 0;
    std::vector<std::string> items;
    for (const std::string& item : load) {
        items.push_back("[ ] " + clean(item));
        widest = std::max(widest, columns(items.back()));
    }
    const int room = page.width() - kIndent;
    const int across = std::max(1, (room + 3) / (widest + 3));
    if (across == 1) {
        for (const std::string& item : items) {
            page.block("  ", "      ", Ink::Plain, item);
        }
        return;
    }
    const std::size_t rows = (items.size() + across - 1) / static_cast<std::size_t>(across);
    for (std::size_t row = 0; row < rows; ++row) {
        std::string text(kIndent, ' ');
        for (std::size_t at = row; at < items.size(); at += rows) {
            text += fit(items[at], at + rows < items.size() ? widest + 3 : widest);
        }
        page.line_as_is(text);
    }
}

void show_crew(TextPage& page, const day::CrewDay& crew, std::size_t index,
               const SharedWords& shared, const TextOptions& options)
{
    const Ink ink = crew_ink(index);
    const std::string letter = crew_letter(index);
    page.heading(fmt::format("{}  {}", letter, clean(crew.crew.name)), ink);
    if (crew.stops.empty()) {
        page.line_as_is(
            crew.drive_home > seconds{0}
                ? fmt::format(" Nothing more that fits this crew's day: home at {}, {}.",
                              clock(crew.home),
                              leg_words(crew.drive_home, crew.drive_home_length, options.units))
                : std::string{" Stays at the depot: nothing waits that fits this crew's day."});
        page.blank();
        return;
    }
    page.block(
        " ", " ", Ink::Plain,
        fmt::format("{}; {} to {}; {} driven in {}; brings {}",
                    counted(crew.crew.people < 0 ? 0 : crew.crew.people, "person", "people"),
                    clock(crew.depart), clock(crew.home), distance(crew.driven, options.units),
                    duration(crew.driving), about(crew.grams)));
    page.blank();
    // In the middle of a day the break may come where the crew stands, before it sets off.
    const bool rests_first =
        crew.pause && crew.pause->after_stops == 0 && crew.pause->begin < crew.depart;
    if (rests_first) {
        show_pause(page, *crew.pause);
    }
    page.line_as_is(
        page.in(ink, fmt::format(" {:<5}  \u25cf   {}", clock(crew.depart),
                                 crew.sets_off_from ? "set off from here" : "leave the depot")));
    for (std::size_t at = 0; at <= crew.stops.size(); ++at) {
        if (crew.pause && crew.pause->after_stops == at && !rests_first) {
            show_pause(page, *crew.pause);
        }
        if (at < crew.stops.size()) {
            show_stop(page, crew.stops[at], fmt::format("{}{}", letter, at + 1), ink, shared,
                      options);
        }
    }
    page.block(std::string{kRoad}, std::string{kRoad}, Ink::Faint,
               leg_words(crew.drive_home, crew.drive_home_length, options.units), Ink::Faint);
    page.line_as_is(page.in(ink, fmt::format(" {:<5}  \u25cf   home", clock(crew.home))));
    page.blank();
    show_load(page, crew.load);
    for (const std::string& use : crew.uses) {
        page.block(" ", "   ", Ink::Plain, clean(use));
    }
    page.blank();
}

/// What a client must be told, first; what stays as told is only counted.
void show_changes(TextPage& page, const day::DayPlan& plan)
{
    if (!plan.from) {
        return;
    }
    page.heading("What changes", Ink::Strong);
    std::size_t kept = 0;
    for (const day::PlanChange& change : plan.changes) {
        if (change.kind == day::PlanChangeKind::Kept) {
            ++kept;
            continue;
        }
        page.spread(" " + place_name(change.call.sheet),
                    change.kind == day::PlanChangeKind::Dropped ? Ink::Warn : Ink::Plain,
                    fmt::format("{}call {}", change.call.sheet.call.must_take ? "promised, " : "",
                                call_key(change.call.sheet.call.id)),
                    Ink::Faint);
        page.block("    ", "    ", Ink::Plain, clean(change.words));
    }
    page.line(fmt::format(" {} as told.", counted(kept, "stop stays", "stops stay")), Ink::Faint);
    page.blank();
}

void show_explained(TextPage& page, const day::DayPlan& plan)
{
    for (const day::Explained& explained : plan.explained) {
        page.heading("Why " + place_name(explained.call.sheet), Ink::Strong);
        for (const std::string& words : explained.words) {
            page.block(" - ", "   ", Ink::Plain, clean(words));
        }
        page.blank();
    }
}

void show_overview(TextPage& page, const day::DayPlan& plan, const TextOptions& options)
{
    page.spread(
        plan.from ? fmt::format("Rest of {} from {}", format_day_long(plan.day), clock(*plan.from))
                  : "Morning of " + format_day_long(plan.day),
        Ink::Strong, clean(plan.region), Ink::Strong);
    std::size_t stops = 0;
    seconds driving{};
    Metres driven{};
    for (const day::CrewDay& crew : plan.crews) {
        stops += crew.stops.size();
        driving += crew.driving;
        driven += crew.driven;
    }
    page.line(fmt::format(
        "{}, {}, {} left out; {}", counted(plan.crews.size(), "crew", "crews"),
        counted(stops, "nest", "nests"), counted(plan.left_out.size(), "call", "calls"),
        stops == 0
            ? std::string{"nobody drives"}
            : fmt::format("{} driven in {}", distance(driven, options.units), duration(driving))));
    if (!plan.checked) {
        page.line("This plan was NOT verified a second time: check times and hours by hand.",
                  Ink::Warn);
    }
    page.blank();
    int gutter = 0;
    for (std::size_t at = 0; at < plan.crews.size(); ++at) {
        gutter = std::max(gutter, columns(clean(plan.crews[at].crew.name)));
    }
    gutter = std::min(gutter, page.width() / 4);
    const StripScale scale = strip_scale(plan.crews, page.width() - gutter - 6);
    if (scale.hours == 0) {
        return;
    }
    const std::string margin(static_cast<std::size_t>(gutter + 5), ' ');
    page.line_as_is(page.in(Ink::Faint, margin + strip_hours(scale)));
    for (std::size_t at = 0; at < plan.crews.size(); ++at) {
        const day::CrewDay& crew = plan.crews[at];
        page.line_as_is(page.in(
            crew_ink(at), fmt::format(" {:<2} {} {}", crew_letter(at),
                                      fit(clean(crew.crew.name), gutter), strip_row(crew, scale))));
    }
    page.block(margin, margin, Ink::Plain,
               fmt::format("{} driving, {} at a nest, {} waiting, {} break", kStripDriving,
                           kStripWorking, kStripWaiting, kStripResting),
               Ink::Faint);
    page.blank();
}

void show_left_out(TextPage& page, const day::DayPlan& plan, std::size_t limit)
{
    if (plan.left_out.empty()) {
        return;
    }
    page.heading("Left out, best first", Ink::Strong);
    const std::size_t shown =
        limit == 0 ? plan.left_out.size() : std::min(limit, plan.left_out.size());
    for (std::size_t at = 0; at < shown; ++at) {
        const day::LeftOut& left = plan.left_out[at];
        const CallSheet& sheet = left.call.sheet;
        page.spread(
            fmt::format(" {:>5}  {}", number(left.call.score), place_name(sheet)), Ink::Plain,
            fmt::format("{}; call {}", about(left.call.outlook.grams), call_key(sheet.call.id)),
            Ink::Faint);
        page.block("        ", "        ", Ink::Plain, clean(left.reason), Ink::Faint);
    }
    if (shown < plan.left_out.size()) {
        page.line(fmt::format(" {} more are left out.", plan.left_out.size() - shown), Ink::Faint);
    }
    page.blank();
}

void show_cautions(TextPage& page, const day::DayPlan& plan, const SharedWords& shared)
{
    page.heading("Mind today", Ink::Warn);
    if (!shared.cautions.empty()) {
        page.block(" ! ", "   ", Ink::Warn, "At every nest: " + joined(shared.cautions, "; "));
    }
    for (const std::string& caution : plan.cautions) {
        page.block(" ! ", "   ", Ink::Warn, clean(caution));
    }
    page.block(" ! ", "   ", Ink::Warn,
               "Times and yields are estimates. The crew at the nest decides what is done, by what "
               "it sees there, by the maker's instructions and by local rules.");
    page.blank();
    // A loose bound says nothing of the plan; the JSON has it all the same.
    constexpr double kTelling = 10;
    if (plan.within_percent && *plan.within_percent <= kTelling) {
        page.line(*plan.within_percent <= 0
                      ? "By the planner's own worth no day is better than this one."
                      : fmt::format("Within {:.1f} % of the best possible day, by the planner's "
                                    "own worth.",
                                    std::max(0.1, *plan.within_percent)),
                  Ink::Faint);
    }
    page.line(fmt::format("{} Seed {}.{}{}",
                          plan.checked ? "A separate check found no broken rule." : "Not checked.",
                          plan.seed, plan.road_attribution.empty() ? "" : " Roads: ",
                          clean(plan.road_attribution)),
              Ink::Faint);
}

}  // namespace

std::string morning_text(const day::DayPlan& plan, const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    const SharedWords shared = shared_by_all(plan);
    show_overview(page, plan, options);
    show_changes(page, plan);
    show_explained(page, plan);
    if (!shared.gear.empty()) {
        page.block("Usual kit, carried to every nest: ", "  ", Ink::Plain,
                   joined(shared.gear, ", "));
        page.blank();
    }
    for (std::size_t at = 0; at < plan.crews.size(); ++at) {
        show_crew(page, plan.crews[at], at, shared, options);
    }
    show_left_out(page, plan, options.left_out_limit);
    show_cautions(page, plan, shared);
    return page.take();
}

}  // namespace nestround::sheets
