#include "planner/sheets/day_sheet.hpp"

#include <fmt/format.h>

#include "geocore/base/figure.hpp"
#include "geocore/base/text_file.hpp"
#include "planner/access/reach.hpp"
#include "planner/access/set_up.hpp"
#include "planner/sheets/access_scene.hpp"
#include "planner/sheets/day_sheet_steps.hpp"
#include "planner/sheets/practice.hpp"
#include "planner/sheets/stop_words.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::embedded {
std::span<const TextFile> practice();
}  // namespace nestround::embedded

namespace nestround::sheets {

namespace {

const std::vector<Figure>& figures()
{
    static const auto read = [] {
        const auto files = embedded::practice();
        const auto sources = value_or_throw(parse_sources(files[0].text, files[0].name));
        return value_or_throw(parse_figures(files[1].text, sources, files[1].name));
    }();
    return read;
}

std::string leg(seconds drive, Metres length, UnitStyle units)
{
    return drive.count() <= 0 ? std::string{"no drive"}
                              : duration(drive) + ", " + distance(length, units);
}

void add(std::vector<SheetFact>& facts, std::string name, std::string words)
{
    if (!words.empty()) {
        facts.push_back({std::move(name), std::move(words)});
    }
}

std::string hours(const day::PlannedStop& stop)
{
    std::string words = hours_words(stop.call.sheet.call);
    if (stop.begin > stop.arrive) {
        words += fmt::format("{}wait {}, work begins {}", words.empty() ? "" : "; ",
                             duration(stop.begin - stop.arrive), clock(stop.begin));
    }
    return words;
}

std::string power_words(const GroundBefore& ground, UnitStyle units)
{
    switch (ground.power_lines) {
        case PowerLines::Near:
            return ground.power_line_distance
                       ? fmt::format("POWER LINE {} from the nest; keep {} clear, more above 50 kV",
                                     measure(*ground.power_line_distance, units),
                                     measure(access::power_line_clearance(0), units))
                       : std::string{"POWER LINE near, distance not measured"};
        case PowerLines::NoneSeen:
            return "no power line was seen: look again before raising anything";
        case PowerLines::Unknown:
            break;
    }
    return "power lines: nobody has looked yet";
}

std::vector<SheetFact> facts_of(const day::PlannedStop& stop, const SharedWords& shared,
                                const DaySheetOptions& options)
{
    const CallSheet& sheet = stop.call.sheet;
    std::vector<SheetFact> facts;
    if (options.with_addresses) {
        add(facts, "where", clean(sheet.site.address));
    }
    if (const auto client = options.clients.find(sheet.call.id); client != options.clients.end()) {
        add(facts, "client", joined({client->second.name, client->second.phone}, ", "));
    }
    add(facts, "drive", leg(stop.drive, stop.drive_length, options.units));
    add(facts, "hours", hours(stop));
    std::string nest = nest_words(sheet.nest, options.units);
    if (!sheet.nest.height) {
        nest += "; ASK OR MEASURE THE HEIGHT";
    }
    add(facts, "nest", nest);
    add(facts, "entrance", clean(sheet.nest.entrance));
    add(facts, "colony", colony_words(stop.call.outlook));
    add(facts, "gives", yield_words(stop.call.outlook));
    add(facts, "lines", power_words(sheet.nest.ground, options.units));
    if (stop.access.ways.empty()) {  // else steps and drawing say it
        add(facts, "reach", clean(stop.access.words));
    }
    add(facts, "carry", joined(carried(stop, shared), ", "));
    return facts;
}

/// The steps hold these in the place where they matter: see practice.csv.
bool is_said_by_steps(const day::PlannedStop& stop, const std::string& caution)
{
    if (stop.access.ways.empty()) {
        return false;
    }
    const access::WayOfWork& way = stop.access.ways.front();
    if (way.ladder && caution.starts_with("nothing hangs loose on the climber")) {
        return true;
    }
    if (way.ladder && way.people > 1 && caution == "a second person stays at the foot") {
        return true;
    }
    return way.pole && way.pole->heavy && stop.call.sheet.nest.height &&
           caution.starts_with("a pole out to") && caution.find("blind") != std::string::npos;
}

StopSheet stop_sheet(const day::PlannedStop& stop, const std::string& mark, const std::string& crew,
                     const SharedWords& shared, const DaySheetOptions& options)
{
    StopSheet sheet;
    const CallSheet& call = stop.call.sheet;
    sheet.mark = mark;
    sheet.place = place_name(call);
    sheet.key = call_key(call.call.id);
    sheet.arrive = clock(stop.arrive);
    sheet.leave = clock(stop.leave);
    sheet.promised = call.call.must_take;
    sheet.facts = facts_of(stop, shared, options);
    sheet.steps = steps_of(stop, options.units);
    sheet.clean_up = {practice_words("clean", "scrub")};
    sheet.tell_client = {practice_words("client", comb_stays(stop) ? "comb_stays" : "stragglers"),
                         practice_words("client", "keep_away")};
    for (const std::string& word : minded(stop, shared)) {
        if (!is_said_by_steps(stop, word)) {
            sheet.mind.push_back(clean(word));
        }
    }
    sheet.drawing = {stop.access, call.nest, sheet.place, crew};
    return sheet;
}

SheetRow plain_row(ClockTime at, std::string words, std::string more = {})
{
    return {"", clock(at), "", std::move(words), std::move(more)};
}

CrewSheet crew_sheet(const day::CrewDay& crew, const std::string& letter, const SharedWords& shared,
                     const DaySheetOptions& options)
{
    CrewSheet sheet;
    sheet.letter = letter;
    sheet.name = clean(crew.crew.name);
    if (crew.stops.empty()) {
        sheet.summary = crew.drive_home > seconds{0}
                            ? fmt::format("Nothing more that fits this crew's day: home at {}.",
                                          clock(crew.home))
                            : std::string{"Stays at the depot: nothing waits that fits its day."};
        return sheet;
    }
    sheet.summary =
        fmt::format("{} to {}; {} driven in {}; {}; brings {}", clock(crew.depart),
                    clock(crew.home), distance(crew.driven, options.units), duration(crew.driving),
                    crew.crew.people == 1 ? std::string{"1 person"}
                                          : fmt::format("{} people", std::max(0, crew.crew.people)),
                    about(crew.grams));
    sheet.rows.push_back(
        plain_row(crew.depart, crew.sets_off_from ? "set off from here" : "leave the depot"));
    for (std::size_t k = 0; k <= crew.stops.size(); ++k) {
        if (crew.pause && crew.pause->after_stops == k) {
            sheet.rows.push_back(
                plain_row(crew.pause->begin, "midday break, " + duration(crew.pause->length)));
        }
        if (k == crew.stops.size()) {
            break;
        }
        const day::PlannedStop& stop = crew.stops[k];
        const std::string mark = letter + std::to_string(k + 1);
        sheet.stops.push_back(stop_sheet(stop, mark, sheet.name, shared, options));
        const StopSheet& made = sheet.stops.back();
        sheet.rows.push_back(
            {mark, made.arrive, made.leave, made.place,
             fmt::format("call {}{}; {}; {} there; {} to it", made.key,
                         made.promised ? ", promised" : "",
                         stop.call.outlook.venom ? about(stop.call.outlook.grams)
                                                 : std::string{"nothing for laboratories"},
                         duration(stop.leave - stop.begin),
                         leg(stop.drive, stop.drive_length, options.units))});
    }
    sheet.rows.push_back(
        plain_row(crew.home, "home", leg(crew.drive_home, crew.drive_home_length, options.units)));
    for (const std::string& item : crew.load) {
        sheet.load.push_back(clean(item));
    }
    return sheet;
}

}  // namespace

const Figure& practice(std::string_view subject, std::string_view parameter)
{
    for (const auto& row : figures()) {
        if (row.subject == subject && row.parameter == parameter) {
            return row;
        }
    }
    throw Failure{ErrorCode::Internal,
                  fmt::format("the table of practice has no '{}' for '{}'", parameter, subject)};
}

std::string practice_words(std::string_view subject, std::string_view parameter)
{
    return practice(subject, parameter).words;
}

bool comb_stays(const day::PlannedStop& stop)
{
    // From that height up a pole alone leaves the comb: see planner/access/reach.hpp.
    static const access::AccessSettings settings;
    const auto& height = stop.call.sheet.nest.height;
    return stop.access.method == WorkMethod::GroundPole && height &&
           *height >= settings.two_stage_from;
}

const std::vector<SheetBox>& boxes_to_fill()
{
    static const std::vector<SheetBox> boxes{{"arrived", "time"},      {"from the ground", "min"},
                                             {"on the ladder", "min"}, {"containers", "number"},
                                             {"caught", "g"},          {"comb", "pieces"},
                                             {"cleaned", "tick"},      {"left", "time"}};
    return boxes;
}

std::string_view sheet_caution()
{
    return "This sheet supports decisions and calls nothing safe. Local codes, the makers' "
           "instructions and licensed practice come first. Look again where you stand; leave it "
           "when in doubt.";
}

DaySheet day_sheet(const day::DayPlan& plan, const DaySheetOptions& options)
{
    DaySheet sheet;
    sheet.title = plan.from
                      ? fmt::format("{}, from {}", format_day_long(plan.day), clock(*plan.from))
                      : format_day_long(plan.day);
    sheet.region = clean(plan.region);
    sheet.instant = format_day(plan.day) + "T00:00:00Z";
    sheet.units = options.units;
    const SharedWords shared = shared_by_all(plan);
    for (std::size_t k = 0; k < plan.crews.size(); ++k) {
        sheet.crews.push_back(crew_sheet(plan.crews[k], crew_letter(k), shared, options));
    }
    if (!plan.checked) {
        sheet.mind.emplace_back(
            "This plan was NOT verified a second time: check times and hours by hand.");
    }
    for (const std::string& caution : plan.cautions) {
        sheet.mind.push_back(clean(caution));
    }
    if (!shared.gear.empty()) {
        sheet.mind.push_back("Usual kit, carried to every nest: " + joined(shared.gear, ", ") +
                             ".");
    }
    if (!shared.cautions.empty()) {
        sheet.mind.push_back("At every nest: " + joined(shared.cautions, "; ") + ".");
    }
    sheet.attribution = clean(plan.road_attribution);
    return sheet;
}

}  // namespace nestround::sheets
