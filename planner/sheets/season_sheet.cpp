#include "planner/sheets/season_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "planner/sheets/chart.hpp"
#include "planner/sheets/show.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

using season::SeasonFate;

/// "4 August".
[[nodiscard]] std::string short_day(Day day)
{
    const std::string whole = format_day_long(day);
    const auto from = whole.find(' ') + 1;
    return whole.substr(from, whole.rfind(' ') - from);
}

[[nodiscard]] Day day_of(const SeasonSheet& sheet, int day)
{
    return sheet.input.from + std::chrono::days{day};
}

[[nodiscard]] std::string taxon_name(const std::string& code)
{
    return code.empty() ? "not named yet" : code;
}

void show_grams(TextPage& page, const SeasonSheet& sheet)
{
    page.heading("Grams expected, by wasp", Ink::Strong);
    for (const auto& grams : sheet.plan.grams) {
        std::string words = about(grams.known);
        if (grams.expected.middle.value() >= 0.5) {
            words += fmt::format(" and {} from calls not made yet", about(grams.expected));
        }
        if (grams.wanted) {
            const double all = grams.known.middle.value() + grams.expected.middle.value();
            const double short_of = grams.wanted->value() - all;
            words += fmt::format(
                "; wanted {:.0f} g, {}", grams.wanted->value(),
                short_of > 0 ? fmt::format("{:.0f} g short", short_of) : std::string{"enough"});
        }
        page.block(fmt::format("  {:<14}", taxon_name(grams.taxon)), std::string(16, ' '),
                   Ink::Plain, words);
    }
    page.blank();
}

void show_days(TextPage& page, const SeasonSheet& sheet, const TextOptions& options)
{
    page.heading("Days", Ink::Strong);
    int last = -1;
    for (const auto& tour : sheet.plan.tours) {
        std::vector<std::string> names;
        std::size_t expected = 0;
        for (const auto& visit : tour.visits) {
            const auto& call = sheet.input.calls[visit.call];
            call.expected ? static_cast<void>(++expected)
                          : names.push_back(place_name(call.call.sheet));
        }
        std::string words;
        for (const auto& name : names) {
            words += (words.empty() ? "" : ", ") + name;
        }
        if (expected > 0) {
            words += fmt::format("{}room for {} call{} not made yet", words.empty() ? "" : ", ",
                                 expected, expected == 1 ? "" : "s");
        }
        page.block(
            fmt::format(" {:<13}{:<14}", tour.day == last ? "" : short_day(day_of(sheet, tour.day)),
                        fit(sheet.input.crews[tour.crew].name, 13)),
            std::string(28, ' '), Ink::Plain,
            fmt::format("{} ({})", words, distance(tour.driven, options.units)));
        last = tour.day;
    }
    page.blank();
}

void show_choices(TextPage& page, const SeasonSheet& sheet, SeasonFate fate,
                  const std::string& heading, std::size_t limit)
{
    std::size_t all = 0;
    for (const auto& choice : sheet.plan.choices) {
        all += choice.fate == fate ? 1 : 0;
    }
    if (all == 0) {
        return;
    }
    page.heading(heading, Ink::Strong);
    std::size_t shown = 0;
    for (const auto& choice : sheet.plan.choices) {
        if (choice.fate != fate || (limit != 0 && shown == limit)) {
            continue;
        }
        ++shown;
        const auto& call = sheet.input.calls[choice.call].call.sheet;
        page.spread(fmt::format(" {}  {}",
                                choice.day < 0 ? std::string{"      "}
                                               : format_day(day_of(sheet, choice.day)).substr(5),
                                place_name(call)),
                    choice.moved ? Ink::Strong : Ink::Plain,
                    fmt::format("{}call {}", choice.moved ? "moved, " : "", call_key(call.call.id)),
                    Ink::Faint);
        page.block("        ", "        ", Ink::Plain, clean(choice.words), Ink::Faint);
    }
    if (shown < all) {
        page.line(fmt::format(" {} more.", all - shown), Ink::Faint);
    }
    page.blank();
}

void show_more_crews(TextPage& page, const SeasonSheet& sheet)
{
    const auto& worth = sheet.plan.crew_day_worth;
    const auto best = std::max_element(worth.begin(), worth.end());
    if (best == worth.end() || !(*best > 0)) {
        page.line("One more crew would bring nothing more on any day.", Ink::Faint);
        return;
    }
    page.line(
        fmt::format("One more crew would be worth most on {}: about {:.0f} points, driving "
                    "paid.",
                    short_day(day_of(sheet, static_cast<int>(best - worth.begin()))), *best));
}

}  // namespace

std::string season_text(const SeasonSheet& sheet, const TextOptions& options, std::size_t limit)
{
    TextPage page{options.width, options.colour};
    page.spread(fmt::format("{} to {}", short_day(sheet.input.from),
                            format_day_long(day_of(sheet, sheet.input.days - 1))),
                Ink::Strong,
                fmt::format("{} crew{}", sheet.input.crews.size(),
                            sheet.input.crews.size() == 1 ? "" : "s"),
                Ink::Strong);
    std::size_t known = 0;
    std::size_t taken = 0;
    for (const auto& choice : sheet.plan.choices) {
        ++known;
        taken += choice.day >= 0 ? 1 : 0;
    }
    page.line(
        fmt::format("{} of {} waiting calls taken, {} expected ones ({:.1f} calls a day); worth "
                    "{:.0f} points, driving costs {:.0f}",
                    taken, known, sheet.plan.expected_visits, sheet.calls_a_day, sheet.plan.worth,
                    sheet.plan.driving_cost));
    page.blank();
    show_grams(page, sheet);
    show_days(page, sheet, options);
    show_choices(page, sheet, SeasonFate::Later, "Held or put off, and why", limit);
    show_choices(page, sheet, SeasonFate::NotTaken, "Not taken, and why", limit);
    show_more_crews(page, sheet);
    for (const auto& note : sheet.notes) {
        page.block(" ! ", "   ", Ink::Warn, clean(note));
    }
    page.line("Expected calls are drawn from those made; a separate check found no broken rule.",
              Ink::Faint);
    return page.take();
}

std::string season_json(const SeasonSheet& sheet)
{
    using Json = nlohmann::ordered_json;
    Json out;
    out["form"] = "nestround-season";
    out["form_version"] = 1;
    out["from"] = format_day(sheet.input.from);
    out["to"] = format_day(day_of(sheet, sheet.input.days - 1));
    out["seed"] = sheet.input.seed;
    out["checked"] = sheet.plan.checked;
    out["worth"] = sheet.plan.worth;
    out["driving_cost"] = sheet.plan.driving_cost;
    out["calls_a_day"] = sheet.calls_a_day;
    out["expected_visits"] = sheet.plan.expected_visits;
    out["tours"] = Json::array();
    for (const auto& tour : sheet.plan.tours) {
        Json each;
        each["day"] = format_day(day_of(sheet, tour.day));
        each["crew"] = clean(sheet.input.crews[tour.crew].name);
        each["depart"] = format_clock(tour.depart);
        each["home"] = format_clock(tour.home);
        each["driving_s"] = tour.driving.count();
        each["road_m"] = tour.driven.value();
        each["visits"] = Json::array();
        for (const auto& visit : tour.visits) {
            const auto& call = sheet.input.calls[visit.call];
            each["visits"].push_back(
                {{"call_id", call.expected ? Json(nullptr) : Json(call.call.sheet.call.id.text())},
                 {"label", call.expected ? Json(nullptr) : Json(clean(call.call.sheet.site.label))},
                 {"begin", format_clock(visit.begin)},
                 {"leave", format_clock(visit.leave)}});
        }
        out["tours"].push_back(std::move(each));
    }
    out["calls"] = Json::array();
    for (const auto& choice : sheet.plan.choices) {
        const auto& call = sheet.input.calls[choice.call].call.sheet;
        out["calls"].push_back(
            {{"call_id", call.call.id.text()},
             {"call_key", call_key(call.call.id)},
             {"label", clean(call.site.label)},
             {"day", choice.day < 0 ? Json(nullptr) : Json(format_day(day_of(sheet, choice.day)))},
             {"crew",
              choice.day < 0 ? Json(nullptr) : Json(clean(sheet.input.crews[choice.crew].name))},
             {"worth", choice.worth},
             {"moved", choice.moved},
             {"words", clean(choice.words)}});
    }
    out["grams"] = Json::array();
    for (const auto& grams : sheet.plan.grams) {
        Json each;
        each["taxon"] = grams.taxon.empty() ? Json(nullptr) : Json(clean(grams.taxon));
        each["waiting_p10"] = grams.known.low.value();
        each["waiting_p50"] = grams.known.middle.value();
        each["waiting_p90"] = grams.known.high.value();
        each["expected_p10"] = grams.expected.low.value();
        each["expected_p50"] = grams.expected.middle.value();
        each["expected_p90"] = grams.expected.high.value();
        each["wanted"] = grams.wanted ? Json(grams.wanted->value()) : Json(nullptr);
        out["grams"].push_back(std::move(each));
    }
    out["one_more_crew"] = Json::array();
    for (std::size_t d = 0; d < sheet.plan.crew_day_worth.size(); ++d) {
        out["one_more_crew"].push_back({{"day", format_day(day_of(sheet, static_cast<int>(d)))},
                                        {"points", sheet.plan.crew_day_worth[d]}});
    }
    out["notes"] = Json::array();
    for (const auto& note : sheet.notes) {
        out["notes"].push_back(clean(note));
    }
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string season_picture(const SeasonSheet& sheet, MapFormat format)
{
    // One chart of grams by day and crew, one of the worth of one more crew.
    const int days = sheet.input.days;
    Chart grams;
    grams.title = "Grams expected a day";
    grams.note = "from calls that wait (full) and calls not made yet (light)";
    grams.y_name = "g";
    std::vector<double> known(static_cast<std::size_t>(days), 0);
    std::vector<double> expected(static_cast<std::size_t>(days), 0);
    for (const auto& tour : sheet.plan.tours) {
        for (const auto& visit : tour.visits) {
            const auto& call = sheet.input.calls[visit.call];
            (call.expected ? expected : known)[static_cast<std::size_t>(tour.day)] +=
                call.days[static_cast<std::size_t>(tour.day)].grams.middle.value();
        }
    }
    double most = 1;
    for (int d = 0; d < days; ++d) {
        const auto at = static_cast<std::size_t>(d);
        most = std::max(most, known[at] + expected[at]);
        const auto bar = [&](double low, double high, Colour colour) {
            if (high > low) {
                grams.bands.push_back({{d + 0.1, d + 0.9}, {low, low}, {high, high}, colour});
            }
        };
        bar(0, known[at], {kChartBlue.rgb, 0.9});
        bar(known[at], known[at] + expected[at], {kChartBlue.rgb, 0.35});
    }
    grams.x_high = days;
    grams.y_high = axis_end(most);
    grams.x_ticks = day_ticks(sheet.input.from, days - 1);
    grams.y_ticks = round_ticks(0, grams.y_high, 5);

    Chart crew;
    crew.title = "What one more crew would add";
    crew.note = "points, driving paid, if it worked on that day beside the others";
    crew.y_name = "points";
    double top = 1;
    for (int d = 0; d < days; ++d) {
        const double worth = sheet.plan.crew_day_worth[static_cast<std::size_t>(d)];
        top = std::max(top, worth);
        if (worth > 0) {
            crew.bands.push_back(
                {{d + 0.1, d + 0.9}, {0, 0}, {worth, worth}, {kChartAmber.rgb, 0.8}});
        }
    }
    crew.x_high = days;
    crew.y_high = axis_end(top);
    crew.x_ticks = grams.x_ticks;
    crew.y_ticks = round_ticks(0, crew.y_high, 4);
    return draw_charts(fmt::format("{} to {}", short_day(sheet.input.from),
                                   format_day_long(day_of(sheet, days - 1))),
                       {grams, crew}, 1, format, 240, 62,
                       "Medians of forecasts; the plan is a proposal, renewed every morning.");
}

std::string rehearsal_text(const std::vector<season::Rehearsal>& rules, Day from, Day to,
                           const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    const std::size_t draws = rules.empty() ? 1 : rules.front().worth_by_draw.size();
    page.spread("A season rehearsed", Ink::Strong,
                fmt::format("{} to {}", short_day(from), short_day(to)), Ink::Strong);
    page.line(
        "Calls come in as the book has them. What each nest truly gives and which are lost while "
        "they wait is drawn " +
            (draws == 1 ? std::string{"once"} : fmt::format("{} times", draws)) +
            ", the same for all rules" + (draws == 1 ? "." : "; the figures are means."),
        Ink::Faint);
    page.blank();
    page.line_as_is(fmt::format("  {:<24}{:>7}{:>7}{:>9}{:>6}{:>6}{:>8}{:>6}{:>6}", "rule",
                                "points", "grams", "ordered", "taken", "lost", "waited", "hours",
                                options.units == UnitStyle::Us ? "miles" : "km"));
    for (const auto& rule : rules) {
        const double length =
            rule.driven.value() / (options.units == UnitStyle::Us ? 1609.344 : 1000.0);
        page.line_as_is(
            fmt::format("  {:<24}{:>7.0f}{:>7.0f}{:>9.0f}{:>6.0f}{:>6.0f}{:>8.0f}{:>6.0f}{:>6.0f}",
                        season::text(rule.rule), rule.worth, rule.grams.value(),
                        rule.ordered.value(), rule.taken, rule.lost, rule.people_days,
                        static_cast<double>(rule.driving.count()) / 3600, length));
    }
    page.blank();
    page.line(
        "Points: the catch and people helped, less days that people lived beside a nest, living "
        "nests lost, and driving. Plain figures: grams caught, those of them that open orders "
        "wanted, nests taken "
        "and lost to someone else, days that people lived beside a nest, and hours and length "
        "driven. The simple rules do not mind driving; 'driving free' is the planner told the "
        "same, so that it leaves no nest for being far away.",
        Ink::Faint);
    return page.take();
}

std::string rehearsal_picture(const std::vector<season::Rehearsal>& rules, Day from,
                              MapFormat format)
{
    Chart chart;
    chart.title = "Points won so far";
    chart.note =
        "the catch and people helped, less days lived beside a nest, living nests lost, and "
        "driving";
    chart.y_name = "points";
    double most = 1;
    double least = 0;
    const std::size_t draws = rules.empty() ? 1 : rules.front().worth_by_draw.size();
    const std::array<Pen, 5> pens{Pen{kChartBlue, 0.8, {}}, Pen{kChartBlue, 0.4, {0.4, 0.8}},
                                  Pen{kChartAmber, 0.5, {1.6, 0.8}},
                                  Pen{kChartGreen, 0.5, {0.6, 0.6}},
                                  Pen{kChartRed, 0.5, {2.4, 0.8}}};
    const std::array<const char*, 5> names{"planner", "drive free", "first come", "nearest",
                                           "greatest"};
    std::size_t days = 1;
    for (const auto& rule : rules) {
        ChartLine line;
        for (std::size_t d = 0; d < rule.worth_by_day.size(); ++d) {
            line.x.push_back(static_cast<double>(d));
            line.y.push_back(rule.worth_by_day[d]);
            most = std::max(most, rule.worth_by_day[d]);
            least = std::min(least, rule.worth_by_day[d]);
        }
        days = std::max(days, rule.worth_by_day.size());
        const auto at = static_cast<std::size_t>(rule.rule);
        line.pen = pens[at];
        line.name = names[at];
        chart.lines.push_back(std::move(line));
    }
    chart.x_high = static_cast<double>(std::max<std::size_t>(2, days) - 1);
    chart.y_low = least < 0 ? -axis_end(-least) : 0;
    chart.y_high = axis_end(most);
    chart.x_ticks = day_ticks(from, static_cast<int>(days) - 1);
    chart.y_ticks = round_ticks(chart.y_low, chart.y_high, 6);
    return draw_charts("A season rehearsed", {chart}, 1, format, 220, 100,
                       (draws == 1 ? std::string{"One draw of chance"}
                                   : fmt::format("Means of {} draws of chance", draws)) +
                           ", the same for all rules; invented calls where the book is the "
                           "demonstration's.");
}

}  // namespace nestround::sheets
