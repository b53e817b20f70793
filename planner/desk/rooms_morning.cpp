// The morning: what waits, and the plan of the day.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>

#include "planner/app/day_conditions.hpp"
#include "planner/app/plan_morning.hpp"
#include "planner/desk/call_json.hpp"
#include "planner/desk/rooms.hpp"
#include "planner/sheets/morning_geojson.hpp"
#include "planner/sheets/morning_json.hpp"

namespace nestround::desk {
namespace {

Answer morning(Desk& desk, const Request& request)
{
    const Day on = day_asked(desk, request);
    const bool with_clients = is_asked(request, "clients");
    const auto ranked = desk.memory().ranked(desk, on);
    const auto plan = desk.memory().plan_of(on);
    Json body{{"on", format_day(on)}, {"waiting", Json::array()}};
    desk.read([&](const book::Book& book) {
        for (const auto& call : ranked->calls) {
            Json one = ranked_json(call);
            if (with_clients) {
                add_client(one, book, call.sheet);
            }
            body["waiting"].push_back(std::move(one));
        }
    });
    body["cautions"] = ranked->notes;
    body["plan"] = plan;
    auto answer = json(body);
    answer.headers["Cache-Control"] = "no-store";
    return answer;
}

/// Minutes since midnight that follow on each other: drive, wait, work, break.
Json pieces_of(const day::CrewDay& crew)
{
    Json pieces = Json::array();
    const auto add = [&](const char* kind, seconds from, seconds to, const day::PlannedStop* stop) {
        if (to <= from) {
            return;
        }
        Json piece{{"kind", kind},
                   {"from", format_clock(ClockTime{from})},
                   {"to", format_clock(ClockTime{to})},
                   {"from_s", from.count()},
                   {"to_s", to.count()}};
        if (stop != nullptr) {
            piece["call"] = stop->call.sheet.call.id.text();
            if (std::string_view{kind} == "work" && !stop->call.sheet.call.allowed.empty()) {
                piece["window"] = Json::array();
                for (const auto& span : stop->call.sheet.call.allowed) {
                    piece["window"].push_back(format_clock_span(span));
                }
            }
        }
        pieces.push_back(std::move(piece));
    };
    seconds now = crew.depart.since_midnight();
    const auto rest = [&](std::size_t after) {
        if (crew.pause && crew.pause->after_stops == after) {
            const seconds begins = crew.pause->begin.since_midnight();
            add("wait", now, begins, nullptr);
            add("break", begins, begins + crew.pause->length, nullptr);
            now = std::max(now, begins + crew.pause->length);
        }
    };
    for (std::size_t at = 0; at < crew.stops.size(); ++at) {
        const auto& stop = crew.stops[at];
        rest(at);
        const seconds arrives = stop.arrive.since_midnight();
        const seconds sets_off = std::max(now, arrives - stop.drive);
        add("wait", now, sets_off, nullptr);
        add("drive", sets_off, arrives, &stop);
        add("wait", arrives, stop.begin.since_midnight(), &stop);
        add("work", stop.begin.since_midnight(), stop.leave.since_midnight(), &stop);
        now = stop.leave.since_midnight();
    }
    rest(crew.stops.size());
    const seconds home = crew.home.since_midnight();
    const seconds sets_off = std::max(now, home - crew.drive_home);
    add("wait", now, sets_off, nullptr);
    add("drive", sets_off, home, nullptr);
    return pieces;
}

struct Seat {
    std::string crew;
    std::string label;
    std::string begin;
};

/// Where each call is in a plan as JSON.
std::map<std::string, Seat> seats_of(const Json& plan)
{
    std::map<std::string, Seat> seats;
    if (!plan.is_object()) {
        return seats;
    }
    for (const auto& crew : plan.at("crews")) {
        for (const auto& stop : crew.at("stops")) {
            const auto& call = stop.at("call");
            seats[call.at("call_id").get<std::string>()] = {crew.at("name").get<std::string>(),
                                                            call.at("label").get<std::string>(),
                                                            stop.at("begin").get<std::string>()};
        }
    }
    return seats;
}

/// What a plan does otherwise than the one that stood.
Json changed_between(const Json& before, const Json& after)
{
    Json changed{{"in", Json::array()}, {"out", Json::array()}, {"moved", Json::array()}};
    if (!before.is_object()) {
        return changed;
    }
    const auto was = seats_of(before);
    const auto is = seats_of(after);
    for (const auto& [call, seat] : is) {
        const auto old = was.find(call);
        Json one{
            {"call", call}, {"site_name", seat.label}, {"crew", seat.crew}, {"now", seat.begin}};
        if (old == was.end()) {
            changed["in"].push_back(std::move(one));
        } else if (old->second.crew != seat.crew || old->second.begin != seat.begin) {
            one["was"] = old->second.begin;
            one["was_crew"] = old->second.crew;
            changed["moved"].push_back(std::move(one));
        }
    }
    for (const auto& [call, seat] : was) {
        if (!is.contains(call)) {
            changed["out"].push_back(Json{{"call", call},
                                          {"site_name", seat.label},
                                          {"was", seat.begin},
                                          {"was_crew", seat.crew}});
        }
    }
    return changed;
}

Json plan_json(const day::DayPlan& plan, const std::optional<day::Daylight>& light)
{
    Json body = Json::parse(sheets::morning_json(plan));
    body["on"] = body["day"];
    body["daylight"] =
        light ? Json{{"from_s", light->from.count()}, {"to_s", light->to.count()}} : Json(nullptr);
    body["strips"] = Json::array();
    for (const auto& crew : plan.crews) {
        Json strip{{"crew", crew.crew.name}, {"pieces", pieces_of(crew)}};
        strip["daylight"] = body["daylight"];
        strip["shift"] = {{"from_s", crew.crew.shift_begins.since_midnight().count()},
                          {"to_s", crew.crew.shift_ends.since_midnight().count()}};
        strip["loads"] = Json::array();
        for (const auto& words : crew.uses) {
            strip["loads"].push_back(Json{{"words", words}});
        }
        body["strips"].push_back(std::move(strip));
    }
    body["tours"] = Json::parse(sheets::morning_geojson(plan));
    return body;
}

app::StandingWishes standing_of(Desk& desk, Day on, const Json* replan)
{
    app::StandingWishes standing;
    if (replan == nullptr) {
        return standing;
    }
    if (!replan->is_object()) {
        throw Fields::wrong("replan", "is an object with now, at, done and plan");
    }
    Fields fields{*replan};
    standing.now = fields.text("now", 5);
    standing.at = fields.texts("at");
    standing.done = fields.texts("done");
    const auto* given = fields.member("plan");
    const Json plan = given == nullptr ? desk.memory().plan_of(on) : *given;
    fields.no_others();
    if (!plan.is_object()) {
        throw Refusal{409, "no_plan", "no plan stands for that day: make one first", "replan"};
    }
    standing.plan_text = plan.dump();
    return standing;
}

/// The caller holds the writer of the book to nothing: a plan only reads.
Json make_plan(Desk& desk, const app::MorningWishes& wishes)
{
    const auto preferences = desk.preferences();
    return desk.read([&](const book::Book& book) {
        const auto plan = app::plan_morning(book, desk.network(), *preferences, wishes,
                                            desk.memory().for_plan(desk));
        std::optional<day::Daylight> light;
        if (book.settings().contains("region.time_zone") && !plan.crews.empty()) {
            light = app::daylight(plan.crews.front().crew.depot, wishes.on, preferences->time_zone,
                                  preferences->limits.light);
        }
        return plan_json(plan, light);
    });
}

/// Calls that are named must be there: found out at once, not in the work.
std::vector<std::string> calls_of(Desk& desk, Fields& fields, const char* name)
{
    auto keys = fields.texts(name);
    desk.read([&](const book::Book& book) {
        for (auto& key : keys) {
            try {
                key = call_named(book, key).text();
            } catch (Refusal& refusal) {
                refusal.field = name;
                throw;
            }
        }
    });
    return keys;
}

std::vector<std::string> pins_of(Desk& desk, Fields& fields)
{
    std::vector<std::string> pins;
    const auto* list = fields.member("pins");
    if (list == nullptr) {
        return pins;
    }
    if (!list->is_array()) {
        throw Fields::wrong("pins", "is a list of {call, at}");
    }
    for (const auto& one : *list) {
        if (!one.is_object()) {
            throw Fields::wrong("pins", "is a list of {call, at}");
        }
        Fields pin{one};
        const auto at = pin.text("at", 5);
        const auto call = pin.text("call", 80);
        if (!parse_clock(at)) {
            throw Fields::wrong("pins", "wants an hour as 09:30");
        }
        desk.read([&](const book::Book& book) {
            pins.push_back(call_named(book, call).text() + "=" + at);
        });
    }
    return pins;
}

Answer plan(Desk& desk, const Request& request)
{
    if (!desk.network()) {
        throw Refusal{
            409,
            "no_roads",
            "a day is planned along roads: start the desk with --roads FILE, or build them "
            "with nestround roads build",
            {}};
    }
    const Json body = body_object(request);
    Fields fields{body};
    app::MorningWishes wishes;
    wishes.on = day_typed(desk, fields.text("on", 20), "on");
    wishes.must = calls_of(desk, fields, "must");
    wishes.never = calls_of(desk, fields, "never");
    wishes.why = calls_of(desk, fields, "why");
    wishes.why_not = calls_of(desk, fields, "why_not");
    wishes.pins = pins_of(desk, fields);
    wishes.crews = fields.texts("crews");
    wishes.allow_missing_must = fields.yes("allow_missing_must").value_or(false);
    wishes.without_weather = fields.yes("without_weather").value_or(false);
    const auto at_most = fields.number("seconds", 0.05, 600);
    wishes.standing = standing_of(desk, wishes.on, fields.member("replan"));
    fields.no_others();
    if (desk.read([](const book::Book& book) { return book.crews().empty(); })) {
        throw Refusal{409, "no_crews", "the book has no crew: nestround crew import", {}};
    }

    const auto name =
        desk.works().start([&desk, wishes, at_most](const Progress& progress) mutable {
            progress.report(0, "forecasting");
            const auto begun = std::chrono::steady_clock::now();
            double told = 0;
            wishes.keep_going = [&](double share) {
                if (share >= told + 0.05 || progress.cancelled()) {
                    told = share;
                    progress.report(share, "choosing and ordering");
                }
                const std::chrono::duration<double> taken =
                    std::chrono::steady_clock::now() - begun;
                return !at_most || taken.count() < *at_most;
            };
            Json result = make_plan(desk, wishes);
            result["changed"] = changed_between(desk.memory().plan_of(wishes.on), result);
            desk.memory().keep_plan(wishes.on, result);
            desk.events().publish("changed", Json{{"revision", desk.revision()},
                                                  {"kind", "plan"},
                                                  {"id", format_day(wishes.on)},
                                                  {"by", ""}}
                                                 .dump());
            return result;
        });
    auto answer = json(Json{{"work", name}}, 202);
    answer.headers["Location"] = "/api/works/" + name;
    return answer;
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/morning", morning},
    Route{Method::Post, "/api/morning/plan", plan},
};

}  // namespace

std::span<const Route> morning_routes() { return kRoutes; }

}  // namespace nestround::desk
