#include "planner/sheets/brood_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "planner/sheets/show.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

[[nodiscard]] Day day_of(const BroodSheet& sheet, int day)
{
    return sheet.plan.on + std::chrono::days{day};
}

/// "Tue 4 August".
[[nodiscard]] std::string short_day(Day day)
{
    const std::string whole = format_day_long(day);
    const auto from = whole.find(' ');
    return whole.substr(0, 3) + whole.substr(from, whole.rfind(' ') - from);
}

[[nodiscard]] std::string adults(const Spread<double>& spread, const char* unit)
{
    return spread.high < 0.5 ? fmt::format("no {}", unit) : about(spread, unit);
}

[[nodiscard]] std::string warmth_words(const Habitat& habitat)
{
    return habitat.set_point
               ? fmt::format("held at {:.1f} C ({:.0f} F)", habitat.set_point->value(),
                             fahrenheit(*habitat.set_point))
               : std::string{"no set point"};
}

void show_comb(TextPage& page, const BroodSheet& sheet, const brood::StandingComb& comb,
               const brood::CombOutlook& outlook)
{
    const auto& e = outlook.emergence;
    page.spread(
        fmt::format("   comb {}  {}", comb.key, clean(comb.name)), Ink::Plain,
        fmt::format("{}, since {}", comb.taxon_name, short_day(day_of(sheet, comb.first_day))),
        Ink::Faint);
    const auto& b = comb.input.brood;
    std::string cells = fmt::format(
        "{:.0f} sealed worker cells, {:.0f} sealed large, {:.0f} larvae, "
        "{:.0f} eggs",
        b.sealed_small, b.sealed_large, b.larvae, b.eggs);
    if (b.doubt > 0) {
        cells += fmt::format("; give or take {:.0f} %", 100 * b.doubt);
    }
    page.block("      cells   ", "              ", Ink::Faint, cells);
    std::string gives = fmt::format("{}, {}; nearly all by {}", adults(e.workers, "workers"),
                                    adults(e.reproductives, "queens and males"),
                                    short_day(day_of(sheet, outlook.last_day)));
    if (e.from_larvae >= 0.5) {
        gives +=
            fmt::format("; of these {:.0f} from larvae that spin without nurses", e.from_larvae);
    }
    page.block("      gives   ", "              ", Ink::Faint, gives);
    double workers = 0;
    double reproductives = 0;
    for (const auto& taken : comb.input.taken) {
        workers += taken.workers.value_or(0);
        reproductives += taken.reproductives.value_or(0);
    }
    if (!comb.input.taken.empty()) {
        page.block(
            "      came    ", "              ", Ink::Faint,
            fmt::format("{:.0f} workers, {:.0f} queens and males in {} collection{}; still to "
                        "come {}, {}",
                        workers, reproductives, comb.input.taken.size(),
                        comb.input.taken.size() == 1 ? "" : "s", adults(e.workers_left, "workers"),
                        adults(e.reproductives_left, "queens and males")));
    }
    if (e.killed_by_heat >= 0.01) {
        page.block("      heat    ", "              ", Ink::Warn,
                   fmt::format("has killed about {:.0f} % of its brood", 100 * e.killed_by_heat));
    }
    if (e.softened) {
        page.block("      !       ", "              ", Ink::Warn,
                   "what was collected is far from what the count and the warmth say: count the "
                   "sealed cells again, and look at the log");
    }
    for (const auto& note : comb.notes) {
        page.block("      !       ", "              ", Ink::Warn, clean(note));
    }
}

void show_habitats(TextPage& page, const BroodSheet& sheet)
{
    for (std::size_t h = 0; h < sheet.plan.habitats.size(); ++h) {
        const auto& standing = sheet.input.habitats[h];
        const auto& outlook = sheet.plan.habitats[h];
        std::string room =
            fmt::format("{} comb{}", standing.combs.size(), standing.combs.size() == 1 ? "" : "s");
        if (standing.habitat.combs) {
            room = fmt::format("{} of {} combs", standing.combs.size(), *standing.habitat.combs);
        }
        page.heading(clean(standing.habitat.name), Ink::Strong);
        page.line(fmt::format(" {}, {}, {}", clean(standing.habitat.place), room,
                              warmth_words(standing.habitat)),
                  Ink::Faint);
        for (std::size_t c = 0; c < standing.combs.size(); ++c) {
            show_comb(page, sheet, standing.combs[c], outlook.combs[c]);
        }
        if (!standing.combs.empty()) {
            const auto& g = outlook.grams_left;
            page.line(fmt::format(
                " waiting now about {:.0f}; still to come {} of workers", outlook.waiting,
                about(Spread<Grams>{Grams{g.low}, Grams{g.middle}, Grams{g.high}})));
        }
        page.blank();
    }
}

void show_days(TextPage& page, const BroodSheet& sheet)
{
    page.heading("Emergence by day, all habitats", Ink::Strong);
    page.line_as_is(fmt::format("  {:<16}{:>22}{:>18}{:>18}", "", "workers", "queens", "males"));
    int shown = 0;
    constexpr int kMost = 21;
    for (int d = 0; d < sheet.plan.days && shown < kMost; ++d) {
        Spread<double> workers;
        Spread<double> queens;
        Spread<double> males;
        for (const auto& habitat : sheet.plan.habitats) {
            const auto& day = habitat.days[static_cast<std::size_t>(d)];
            for (auto [sum, one] : {std::pair{&workers, &day.workers},
                                    {&queens, &day.queens},
                                    {&males, &day.males}}) {
                sum->low += one->low;
                sum->middle += one->middle;
                sum->high += one->high;
            }
        }
        if (workers.high + queens.high + males.high < 0.5) {
            continue;
        }
        ++shown;
        const auto cell = [](const Spread<double>& s) {
            return s.high < 0.5 ? std::string{"-"}
                                : fmt::format("{:.0f} ({:.0f}-{:.0f})", s.middle, s.low, s.high);
        };
        page.line_as_is(fmt::format("  {:<16}{:>22}{:>18}{:>18}", short_day(day_of(sheet, d)),
                                    cell(workers), cell(queens), cell(males)));
    }
    if (shown == 0) {
        page.line(" Nothing more is expected.", Ink::Faint);
    }
    page.blank();
}

}  // namespace

std::vector<BroodTask> brood_tasks(const BroodSheet& sheet)
{
    std::vector<BroodTask> tasks;
    for (const auto& round : sheet.plan.rounds.rounds) {
        BroodTask task;
        task.day = day_of(sheet, round.day);
        task.place = clean(sheet.plan.places[round.place].name);
        std::string names;
        std::string over;
        double adults = 0;
        for (const auto& share : round.shares) {
            const std::string name = clean(sheet.input.habitats[share.habitat].habitat.name);
            names += (names.empty() ? "" : ", ") + name;
            if (share.last) {
                over += (over.empty() ? "" : ", ") + name;
            }
            adults += share.adults;
        }
        if (!round.collects) {
            task.title = "feed honey and water: " + names;
            task.words = "fill the honey; fill the jar so that only the wick is open to them";
        } else {
            task.title = fmt::format("collect about {:.0f}: {}", adults, names);
            task.words =
                "collect, freeze, write down workers and queens and males apart; feed "
                "honey and water";
            if (!over.empty()) {
                task.title += "; end and clean: " + over;
                task.words += fmt::format("; take the comb out and clean: {}", over);
            }
        }
        tasks.push_back(std::move(task));
    }
    return tasks;
}

std::string brood_text(const BroodSheet& sheet, const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    const auto& room = sheet.plan.room;
    std::string held =
        fmt::format("{} comb{} standing", room.combs_standing, room.combs_standing == 1 ? "" : "s");
    if (const auto left = room.combs_left()) {
        held += fmt::format(", room for {} more", *left);
    }
    page.spread(fmt::format("Brood on {}", format_day_long(sheet.plan.on)), Ink::Strong, held,
                Ink::Strong);
    page.blank();
    if (sheet.plan.habitats.empty()) {
        page.line(
            "No habitat and no comb in the book. Begin with: nestround habitat add, then "
            "nestround comb add");
        return page.take();
    }
    show_habitats(page, sheet);
    show_days(page, sheet);
    page.heading("Rounds", Ink::Strong);
    for (const auto& task : brood_tasks(sheet)) {
        page.block(fmt::format(" {:<18}", short_day(task.day)), std::string(19, ' '), Ink::Strong,
                   fmt::format("{}: {}", task.place, task.title));
    }
    const auto& rounds = sheet.plan.rounds;
    if (rounds.rounds.empty()) {
        page.line(" None.", Ink::Faint);
    } else {
        page.line(fmt::format(" Worth {:.0f} points, labour and trips {:.0f}; about {:.0f} adults "
                              "lost while they wait or at the end.",
                              rounds.worth, rounds.cost, rounds.lost_adults),
                  Ink::Faint);
    }
    page.blank();
    for (const auto& note : sheet.plan.notes) {
        page.block(" ! ", "   ", Ink::Warn, clean(note));
    }
    for (const auto& note : sheet.notes) {
        page.block(" ! ", "   ", Ink::Warn, clean(note));
    }
    page.line(
        "Bounds are 10 and 90 %. Sealed days are published; how they hang on warmth, and how "
        "many adults are saved, is assumption or practice: nestround taxa show.",
        Ink::Faint);
    return page.take();
}

std::string brood_json(const BroodSheet& sheet)
{
    using Json = nlohmann::ordered_json;
    const auto three = [](const Spread<double>& s) {
        return Json{{"p10", s.low}, {"p50", s.middle}, {"p90", s.high}};
    };
    Json out;
    out["form"] = "nestround-brood";
    out["form_version"] = 1;
    out["on"] = format_day(sheet.plan.on);
    out["days"] = sheet.plan.days;
    const auto& room = sheet.plan.room;
    out["room"] = {{"combs_standing", room.combs_standing},
                   {"combs", room.combs ? Json(*room.combs) : Json(nullptr)},
                   {"cells_standing", room.cells_standing},
                   {"cells", room.cells ? Json(*room.cells) : Json(nullptr)},
                   {"full", room.is_full()}};
    out["habitats"] = Json::array();
    for (std::size_t h = 0; h < sheet.plan.habitats.size(); ++h) {
        const auto& standing = sheet.input.habitats[h];
        const auto& outlook = sheet.plan.habitats[h];
        Json each{{"name", clean(standing.habitat.name)},
                  {"place", clean(standing.habitat.place)},
                  {"waiting", outlook.waiting},
                  {"last_day", format_day(day_of(sheet, outlook.last_day))},
                  {"workers_left", three(outlook.workers_left)},
                  {"reproductives_left", three(outlook.reproductives_left)},
                  {"grams_left", three(outlook.grams_left)}};
        each["days"] = Json::array();
        for (std::size_t d = 0; d < outlook.days.size(); ++d) {
            const auto& day = outlook.days[d];
            if (day.workers.high + day.queens.high + day.males.high <= 0) {
                continue;
            }
            each["days"].push_back({{"day", format_day(day_of(sheet, static_cast<int>(d)))},
                                    {"workers", three(day.workers)},
                                    {"queens", three(day.queens)},
                                    {"males", three(day.males)}});
        }
        each["combs"] = Json::array();
        for (std::size_t c = 0; c < standing.combs.size(); ++c) {
            const auto& comb = standing.combs[c];
            const auto& e = outlook.combs[c].emergence;
            Json one{{"comb_key", comb.key},
                     {"label", clean(comb.name)},
                     {"taxon", comb.taxon.empty() ? Json(nullptr) : Json(comb.taxon)},
                     {"stands_from", format_day(day_of(sheet, comb.first_day))},
                     {"workers", three(e.workers)},
                     {"reproductives", three(e.reproductives)},
                     {"workers_left", three(e.workers_left)},
                     {"from_larvae", e.from_larvae},
                     {"killed_by_heat", e.killed_by_heat},
                     {"far_from_count", e.softened}};
            one["collections"] = Json::array();
            for (const auto& taken : comb.input.taken) {
                one["collections"].push_back(
                    {{"days_after", taken.day},
                     {"workers", taken.workers ? Json(*taken.workers) : Json(nullptr)},
                     {"reproductives",
                      taken.reproductives ? Json(*taken.reproductives) : Json(nullptr)}});
            }
            one["notes"] = comb.notes;
            each["combs"].push_back(std::move(one));
        }
        out["habitats"].push_back(std::move(each));
    }
    out["rounds"] = Json::array();
    for (const auto& round : sheet.plan.rounds.rounds) {
        Json each{{"day", format_day(day_of(sheet, round.day))},
                  {"place", clean(sheet.plan.places[round.place].name)},
                  {"collects", round.collects},
                  {"last", round.last},
                  {"cost", round.cost}};
        each["habitats"] = Json::array();
        for (const auto& share : round.shares) {
            each["habitats"].push_back(
                {{"name", clean(sheet.input.habitats[share.habitat].habitat.name)},
                 {"adults", share.adults},
                 {"worth", share.worth},
                 {"ends", share.last}});
        }
        out["rounds"].push_back(std::move(each));
    }
    out["worth"] = sheet.plan.rounds.worth;
    out["cost"] = sheet.plan.rounds.cost;
    out["notes"] = sheet.plan.notes;
    for (const auto& note : sheet.notes) {
        out["notes"].push_back(clean(note));
    }
    return out.dump(2) + "\n";
}

}  // namespace nestround::sheets
