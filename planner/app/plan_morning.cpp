#include "planner/app/plan_morning.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <mutex>

#include "geocore/base/error.hpp"
#include "geocore/intake/time_zone.hpp"
#include "geocore/intake/traffic_file.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "geocore/place/geodesic.hpp"
#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/snapper.hpp"
#include "planner/access/learned.hpp"
#include "planner/app/carry_comb.hpp"
#include "planner/app/day_conditions.hpp"
#include "planner/app/drive.hpp"
#include "planner/app/plan_brood.hpp"
#include "planner/app/stops.hpp"
#include "planner/day/plan_day.hpp"

namespace nestround::app {

/// The roads as a truck meets them in certain hours, made ready to be asked.
struct ReadyRoads {
    std::string key;
    std::shared_ptr<const roads::RoadNetwork> of;
    roads::SuitedRoads suited;
    std::optional<roads::Snapper> snapper;
    std::unique_ptr<roads::TravelEngine> engine;
};

struct MorningMemory::Kept {
    std::mutex ranking;
    Day ranked_on{};
    bool without_weather = false;
    std::shared_ptr<const RankedMorning> ranked;
    ReadyRoads roads;
    std::vector<LonLat> places;  ///< that `travel` is between
    Stops stops;
    roads::TravelMatrix travel;
};

MorningMemory::MorningMemory() : kept_{std::make_unique<Kept>()} {}
MorningMemory::~MorningMemory() = default;

void MorningMemory::forget()
{
    const std::lock_guard lock{kept_->ranking};
    kept_->ranked.reset();
}

std::shared_ptr<const RankedMorning> MorningMemory::ranked(const book::Book& book,
                                                           const Preferences& preferences, Day on,
                                                           bool without_weather)
{
    const std::lock_guard lock{kept_->ranking};
    if (!kept_->ranked || kept_->ranked_on != on || kept_->without_weather != without_weather) {
        kept_->ranked.reset();
        kept_->ranked = std::make_shared<const RankedMorning>(
            rank_waiting(book, preferences, on, without_weather));
        kept_->ranked_on = on;
        kept_->without_weather = without_weather;
    }
    return kept_->ranked;
}

/// What is remembered, for plan_morning alone.
class MorningRoom {
public:
    static MorningMemory::Kept& of(MorningMemory& memory) { return *memory.kept_; }
};

namespace {

/// The reading of the day at the station nearest to the depot.
std::optional<std::string> weather_of_the_day(const book::Book& book, Day on, LonLat depot)
{
    std::optional<std::string> words;
    std::optional<Metres> nearest;
    for (const auto& station : book.stations()) {
        const auto days = book.weather(station.id, on, on);
        const Metres away = place::geodesic_distance(depot, station.place);
        if (!days.empty() && (!nearest || away < *nearest)) {
            nearest = away;
            const auto& day = days.front();
            words =
                fmt::format("Weather at {}: {:.0f} to {:.0f} °C ({:.0f} to {:.0f} °F).",
                            station.name.empty() ? station.code : station.name, day.minimum.value(),
                            day.maximum.value(), fahrenheit(day.minimum), fahrenheit(day.maximum));
        }
    }
    return words;
}

day::DayWishes day_wishes(const book::Book& book, const MorningWishes& wishes)
{
    day::DayWishes result;
    for (const auto& key : wishes.must) {
        result.must.push_back(book.find_call(key));
    }
    for (const auto& key : wishes.never) {
        result.never.push_back(book.find_call(key));
    }
    for (const auto& key : wishes.why) {
        result.explain.push_back(book.find_call(key));
    }
    for (const auto& key : wishes.why_not) {
        result.why_not.push_back(book.find_call(key));
    }
    for (const auto& pin : wishes.pins) {
        const auto equals = pin.find('=');
        const auto time =
            parse_clock(equals == std::string::npos ? std::string_view{}
                                                    : std::string_view{pin}.substr(equals + 1));
        if (!time) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("--pin wants CALL=HH:MM, as 3F7A=09:30, not '{}'", pin)};
        }
        result.pins.emplace_back(book.find_call(pin.substr(0, equals)), *time);
    }
    return result;
}

/// What live comb allows, as the settings ask for it: into the day's settings, and in words.
RideLimit limit_rides(const book::Book& book, day::DayInput& input)
{
    const auto settings = cargo_settings(book.settings());
    if (!settings.on) {
        const bool by_hand = input.settings.comb_ride_limit.has_value();
        return {std::nullopt,
                by_hand ? "" : "the heat of live comb on the ride (limits.cargo is off)", by_hand};
    }
    seconds begins = input.crews.front().shift_begins.since_midnight();
    seconds ends = input.crews.front().shift_ends.since_midnight();
    for (const auto& crew : input.crews) {
        begins = std::min(begins, crew.shift_begins.since_midnight());
        ends = std::max(ends, crew.shift_ends.since_midnight());
    }
    auto limit = ride_limit(settings, input.conditions, begins, ends);
    if (limit.limit) {
        auto& held = input.settings.comb_ride_limit;
        held = held ? std::min(*held, *limit.limit) : *limit.limit;
    }
    return limit;
}

/// Keeps what one day can weigh; `calls` is best first.
void keep_best(std::vector<rank::RankedCall>& calls, const day::DayWishes& wishes)
{
    if (calls.size() <= kMostCalls) {
        return;
    }
    const auto is_wanted = [&](const rank::RankedCall& call) {
        const CallId id = call.sheet.call.id;
        return call.sheet.call.must_take ||
               std::find(wishes.explain.begin(), wishes.explain.end(), id) !=
                   wishes.explain.end() ||
               std::find(wishes.why_not.begin(), wishes.why_not.end(), id) !=
                   wishes.why_not.end() ||
               std::find(wishes.must.begin(), wishes.must.end(), id) != wishes.must.end() ||
               std::any_of(wishes.pins.begin(), wishes.pins.end(),
                           [&](const auto& pin) { return pin.first == id; });
    };
    std::stable_partition(calls.begin() + kMostCalls, calls.end(), is_wanted);
    const auto end = std::find_if_not(calls.begin() + kMostCalls, calls.end(), is_wanted);
    calls.erase(end, calls.end());
}

/// The road lines of every leg, for maps and navigation.
void draw_legs(day::DayPlan& plan, const roads::TravelEngine& engine, const roads::Snapper& snapper)
{
    const auto line = [&](LonLat from, LonLat to) -> std::vector<LonLat> {
        const auto a = snapper.snap(from);
        const auto b = snapper.snap(to);
        if (!a || !b) {
            return {};
        }
        auto route = engine.route(*a, *b);
        return route ? std::move(route->line) : std::vector<LonLat>{};
    };
    for (auto& crew : plan.crews) {
        LonLat at = crew.sets_off_from.value_or(crew.crew.depot);
        for (auto& stop : crew.stops) {
            const LonLat next = stop.call.sheet.site.place;
            stop.drive_line = line(at, next);
            at = next;
        }
        if (crew.drive_home > seconds{0}) {
            crew.drive_home_line = line(at, crew.crew.depot);
        }
    }
}

/// The roads as the crews' truck meets them in the hours that they work.
roads::SuitedRoads roads_of_the_day(std::shared_ptr<const roads::RoadNetwork> network,
                                    const Preferences& preferences, const day::DayInput& input)
{
    roads::Drive drive;
    drive.truck = preferences.drive.truck;
    drive.turns = preferences.drive.turns;
    ClockTime begins = input.crews.front().shift_begins;
    ClockTime ends = input.crews.front().shift_ends;
    for (const auto& crew : input.crews) {
        begins = std::min(begins, crew.shift_begins);
        ends = std::max(ends, crew.shift_ends);
    }
    drive.hours = driving_hours(input.day, begins, ends);
    return roads_for(std::move(network), drive);
}

/// Made ready once for each truck and span of hours.
ReadyRoads& ready_roads(ReadyRoads& kept, const std::shared_ptr<const roads::RoadNetwork>& network,
                        const Preferences& preferences, const day::DayInput& input)
{
    ClockTime begins = input.crews.front().shift_begins;
    ClockTime ends = input.crews.front().shift_ends;
    for (const auto& crew : input.crews) {
        begins = std::min(begins, crew.shift_begins);
        ends = std::max(ends, crew.shift_ends);
    }
    const auto& truck = preferences.drive.truck;
    const auto& turns = preferences.drive.turns;
    // Bars by weekday and date make roads of one day differ from those of another.
    const auto key =
        fmt::format("{} {}-{} {} {} {} {} {} {} {}", format_day(input.day), format_clock(begins),
                    format_clock(ends), truck.height_m.value_or(0), truck.width_m.value_or(0),
                    truck.weight_t.value_or(0), truck.axle_t.value_or(0), turns.left_ms,
                    turns.right_ms, turns.u_turn_ms);
    if (kept.engine == nullptr || kept.key != key || kept.of != network) {
        kept.engine.reset();
        kept.snapper.reset();
        kept.suited = roads_of_the_day(network, preferences, input);
        kept.of = network;
        kept.key = key;
        kept.snapper.emplace(kept.suited.network);
        roads::EngineOptions options;
        options.workers = intake::worker_threads();
        kept.engine = roads::make_engine(kept.suited.network, options);
    }
    return kept;
}

std::vector<tour::TrafficSlot> traffic_of_the_day(
    const book::Book& book, const std::shared_ptr<const roads::RoadNetwork>& network,
    const Preferences& preferences, const day::DayInput& input, const Stops& stops)
{
    if (preferences.drive.traffic.empty()) {
        return {};
    }
    // A relative path is beside the book, and an absolute one stays as it is.
    const auto table = book.path().parent_path() / preferences.drive.traffic;
    std::vector<roads::RoadStop> depots;
    std::vector<roads::RoadStop> all;
    for (std::size_t i = 0; i < stops.at.size(); ++i) {
        if (stops.at[i]) {
            (i < input.crews.size() ? depots : all).push_back(*stops.at[i]);
        }
    }
    return traffic_slots(network, intake::read_traffic(table), input.day, preferences.drive.turns,
                         depots, all);
}

}  // namespace

day::DayPlan plan_morning(const book::Book& book, std::shared_ptr<const roads::RoadNetwork> network,
                          const Preferences& preferences, const MorningWishes& wishes)
{
    MorningMemory memory;
    return plan_morning(book, std::move(network), preferences, wishes, memory);
}

day::DayPlan plan_morning(const book::Book& book, std::shared_ptr<const roads::RoadNetwork> network,
                          const Preferences& preferences, const MorningWishes& wishes,
                          MorningMemory& memory)
{
    auto& kept = MorningRoom::of(memory);
    day::DayInput input;
    input.day = wishes.on;
    input.region = preferences.region;
    input.time_zone = preferences.time_zone;
    input.crews = chosen_crews(book, wishes.crews);
    input.settings = preferences.day;
    input.limits = preferences.limits;
    // Without the zone of the crew's clocks, the sun and the hours of readings would be shifted.
    const bool has_zone = book.settings().contains("region.time_zone");
    if (has_zone) {
        input.conditions = day_conditions(book, wishes.on, input.crews.front().depot,
                                          preferences.time_zone, preferences.limits.light);
    }
    const auto rides = limit_rides(book, input);
    input.settings.allow_missing_must = wishes.allow_missing_must;
    input.wishes = day_wishes(book, wishes);
    input.seed = wishes.seed.value_or(preferences.seed);
    input.iterations = wishes.iterations.value_or(preferences.iterations);
    input.keep_going = wishes.keep_going;

    std::vector<std::string> standing_notes;
    if (wishes.standing.any()) {
        auto standing = standing_day(book, wishes.standing, wishes.on, input.crews, input.settings);
        standing.standing.change_costs = preferences.change_costs;
        input.standing = std::move(standing.standing);
        input.settings.allow_missing_must = true;  // a promise that cannot be kept is told
        standing_notes = std::move(standing.notes);
    }

    RankedMorning ranked = *memory.ranked(book, preferences, wishes.on, wishes.without_weather);
    keep_best(ranked.calls, input.wishes);
    input.calls = std::move(ranked.calls);
    // A crew's own times take over from the table as visits come in.
    const auto ways = access::learned_from(book.all_visits(), preferences.access);
    for (const auto& call : input.calls) {
        auto& row = input.access.emplace_back();
        for (const auto& crew : input.crews) {
            row.push_back(access::reach(call.sheet.nest, call.sheet.call, crew.gear, ways));
        }
    }

    const bool same_roads = kept.roads.engine != nullptr && kept.roads.of == network;
    const auto key_before = kept.roads.key;
    auto& ready = ready_roads(kept.roads, network, preferences, input);
    const auto& suited = ready.suited;
    const auto& snapper = *ready.snapper;
    const auto& engine = ready.engine;
    network = suited.network;
    std::vector<LonLat> places;
    for (const auto& crew : input.crews) {
        places.push_back(crew.depot);
    }
    for (const auto& call : input.calls) {
        places.push_back(call.sheet.site.place);
    }
    // Where crews are in the middle of a day differs from plan to plan.
    const bool same_stops = !input.standing && same_roads && key_before == ready.key &&
                            kept.places == places && !places.empty();
    auto stops = same_stops ? kept.stops : find_stops(snapper, input.crews, input.calls);
    if (input.standing) {
        for (std::size_t k = 0; k < input.crews.size(); ++k) {
            stops.at.push_back(value_or_throw(snapper.snap(
                input.standing->crews[k].at, "where crew " + input.crews[k].name + " is")));
        }
    }
    input.no_road = stops.no_road;
    for (const auto& call : input.calls) {
        std::optional<seconds> since;
        if (const auto& due = call.sheet.call.second.due) {
            const auto local = value_or_throw(intake::to_local(*due, preferences.time_zone));
            since = (local.day - input.day) + local.clock.since_midnight();
        }
        input.second_due.push_back(since);
    }
    input.travel = same_stops ? kept.travel : travel_between(*engine, stops);
    if (!input.standing && !same_stops) {
        kept.places = std::move(places);
        kept.stops = stops;
        kept.travel = input.travel;
    }
    input.traffic = traffic_of_the_day(book, network, preferences, input, stops);

    const auto room = room_on(book, preferences, wishes.on).combs_left();
    if (room && preferences.brood.hold_when_full) {
        input.settings.comb_room = *room;
    }
    auto plan = value_or_throw(day::plan_day(input));
    draw_legs(plan, *engine, snapper);
    plan.road_attribution = network->attribution();
    if (const auto words = weather_of_the_day(book, wishes.on, input.crews.front().depot)) {
        plan.cautions.insert(plan.cautions.begin(), *words);
    }
    if (!rides.known) {
        plan.not_in_plan.insert(plan.not_in_plan.end() - 1, rides.words);
    } else if (!rides.words.empty()) {
        plan.cautions.push_back(rides.words);
    }
    if (!has_zone) {
        plan.cautions.emplace_back(
            "the book has no time zone, so daylight and weather by the hour are left out: "
            "nestround "
            "settings set BOOK region.time_zone America/New_York");
    }
    if (room) {
        std::size_t nests = 0;
        for (const auto& crew : plan.crews) {
            nests += crew.stops.size();
        }
        if (nests > static_cast<std::size_t>(*room)) {
            plan.cautions.push_back(fmt::format(
                "the room at home holds the comb of {} more, and this plan brings that of {}: see "
                "nestround brood plan, or set brood.hold_when_full on",
                *room, nests));
        }
    }
    // Silence would be read as consent.
    plan.cautions.push_back(fmt::format("NOT in this plan: {}; see: nestround exposure --help",
                                        fmt::join(plan.not_in_plan, "; ")));
    plan.cautions.push_back("The plan is " + plan.held_to);
    for (const auto& words : suited.words()) {
        plan.cautions.push_back("roads: " + words);
    }
    plan.cautions.insert(plan.cautions.end(), stops.notes.begin(), stops.notes.end());
    plan.cautions.insert(plan.cautions.end(), standing_notes.begin(), standing_notes.end());
    plan.cautions.insert(plan.cautions.end(), ranked.notes.begin(), ranked.notes.end());
    return plan;
}

}  // namespace nestround::app
