#include "planner/app/standing_day.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "geocore/intake/places.hpp"

namespace nestround::app {

namespace {

using Json = nlohmann::json;

struct EarlierStop {
    CallId call;
    std::string label;
    LonLat place{};
    seconds begin{};
    seconds leave{};
};

struct EarlierCrew {
    std::string name;
    seconds depart{};
    LonLat sets_off_from{};
    std::vector<EarlierStop> stops;
    std::optional<seconds> pause;
};

struct EarlierPlan {
    std::string day;
    std::vector<EarlierCrew> crews;
};

LonLat place_of(const Json& json)
{
    return {Longitude{json.at("lon_deg").get<double>()},
            Latitude{json.at("lat_deg").get<double>()}};
}

seconds time_of(const Json& json, const char* key)
{
    return seconds{json.at(key).get<std::int64_t>()};
}

CallId call_of(const Json& json)
{
    const auto uuid = Uuid::parse(json.at("call_id").get<std::string>());
    if (!uuid) {
        throw Failure{ErrorCode::InvalidInput, "a call_id is no key"};
    }
    return CallId{*uuid};
}

EarlierCrew crew_of(const Json& json)
{
    EarlierCrew crew;
    crew.name = json.at("name").get<std::string>();
    crew.depart = time_of(json, "depart_s");
    crew.sets_off_from = place_of(json.contains("sets_off_from") && !json["sets_off_from"].is_null()
                                      ? json["sets_off_from"]
                                      : json.at("depot"));
    for (const auto& stop : json.at("stops")) {
        const auto& call = stop.at("call");
        crew.stops.push_back({call_of(call), call.at("label").get<std::string>(),
                              place_of(call.at("place")), time_of(stop, "begin_s"),
                              time_of(stop, "leave_s")});
    }
    if (const auto& pause = json.at("pause"); !pause.is_null()) {
        crew.pause = time_of(pause, "begin_s");
    }
    return crew;
}

std::string text_of(const std::string& path)
{
    std::ifstream file{path, std::ios::binary};
    if (!file) {
        throw Failure{
            ErrorCode::NotFound,
            "there is no such file; write the morning's plan with: nestround morning BOOK "
            "--json FILE",
            path};
    }
    return {std::istreambuf_iterator<char>{file}, {}};
}

EarlierPlan read_plan(const StandingWishes& wishes)
{
    const std::string& path = wishes.plan;
    try {
        const Json json = Json::parse(wishes.plan_text.empty() ? text_of(path) : wishes.plan_text);
        if (json.at("form") != "nestround-morning") {
            throw Failure{ErrorCode::InvalidInput, "this is no plan of a morning", path};
        }
        EarlierPlan plan;
        plan.day = json.at("day").get<std::string>();
        for (const auto& crew : json.at("crews")) {
            plan.crews.push_back(crew_of(crew));
        }
        return plan;
    } catch (const Json::exception&) {
        throw Failure{ErrorCode::InvalidInput,
                      "this is no whole plan of a morning; write it anew with: nestround morning "
                      "BOOK --json FILE",
                      path};
    }
}

/// The place given for a crew on the command line.
std::map<std::string, LonLat> places_given(const StandingWishes& wishes,
                                           const std::vector<Crew>& crews)
{
    std::map<std::string, LonLat> result;
    for (const auto& text : wishes.at) {
        const auto equals = text.find('=');
        std::string crew = equals == std::string::npos ? "" : text.substr(0, equals);
        if (equals == std::string::npos) {
            if (crews.size() != 1) {
                throw Failure{ErrorCode::BadUsage,
                              "several crews are out: give --at CREW=LAT,LON for each"};
            }
            crew = crews.front().name;
        } else if (std::none_of(crews.begin(), crews.end(),
                                [&](const Crew& each) { return each.name == crew; })) {
            throw Failure{ErrorCode::NotFound,
                          fmt::format("--at names no crew of this day: '{}'", crew)};
        }
        const auto place =
            intake::parse_place(equals == std::string::npos ? text : text.substr(equals + 1));
        if (!place) {
            auto error = place.error();
            error.where = "--at";
            throw Failure{std::move(error)};
        }
        result[crew] = *place;
    }
    return result;
}

class Standings {
public:
    Standings(const StandingWishes& wishes, const std::vector<CallId>& done, ClockTime now,
              const day::DaySettings& settings, StandingDay& into)
        : wishes_{wishes}, done_{done}, now_{now}, settings_{settings}, into_{into}
    {
    }

    day::CrewStanding of(const Crew& crew, const EarlierCrew* earlier,
                         const std::map<std::string, LonLat>& places) const
    {
        day::CrewStanding standing;
        standing.at = crew.depot;
        standing.free_at = now_;
        if (earlier != nullptr) {
            standing.at = earlier->sets_off_from;
            standing.is_out = earlier->depart <= now_.since_midnight();
            for (const auto& stop : earlier->stops) {
                if (is_done(stop)) {
                    add_done(standing, stop);
                } else {
                    standing.planned.emplace_back(stop.call, ClockTime{stop.begin});
                }
            }
            standing.rested =
                earlier->pause && *earlier->pause + settings_.lunch_length <= now_.since_midnight();
        }
        if (const auto at = places.find(crew.name); at != places.end()) {
            standing.at = at->second;
            standing.is_out = true;
        }
        return standing;
    }

private:
    [[nodiscard]] bool is_done(const EarlierStop& stop) const
    {
        return wishes_.done.empty()
                   ? stop.begin <= now_.since_midnight()
                   : std::find(done_.begin(), done_.end(), stop.call) != done_.end();
    }

    void add_done(day::CrewStanding& standing, const EarlierStop& stop) const
    {
        into_.standing.done.push_back(stop.call);
        standing.done.push_back(stop.call);
        standing.is_out = true;
        standing.at = stop.place;
        const seconds now = now_.since_midnight();
        if (wishes_.done.empty()) {
            standing.free_at = std::max(standing.free_at, ClockTime{stop.leave});
            if (stop.leave <= now) {
                into_.done_by_the_clock.push_back(stop.label);
            } else {
                into_.notes.push_back(fmt::format("taken as in hand until {}: {}",
                                                  format_clock(ClockTime{stop.leave}), stop.label));
            }
        }
        if (settings_.comb_ride_limit) {
            const ClockTime home_by{std::min(stop.leave, std::max(now, stop.begin)) +
                                    *settings_.comb_ride_limit};
            standing.home_by = std::min(standing.home_by.value_or(home_by), home_by);
        }
    }

    const StandingWishes& wishes_;
    const std::vector<CallId>& done_;
    ClockTime now_;
    const day::DaySettings& settings_;
    StandingDay& into_;
};

}  // namespace

StandingDay standing_day(const book::Book& book, const StandingWishes& wishes, Day on,
                         const std::vector<Crew>& crews, const day::DaySettings& settings)
{
    const auto now = parse_clock(wishes.now);
    if (!now) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--replan wants --now HH:MM, not '{}'", wishes.now)};
    }
    const auto plan = read_plan(wishes);
    if (plan.day != format_day(on)) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("it is the plan of {}, not of {}", plan.day, format_day(on)),
                      wishes.plan};
    }
    StandingDay result;
    result.standing.now = *now;
    std::vector<CallId> done;
    for (const auto& key : wishes.done) {
        done.push_back(book.find_call(key));
    }
    const auto places = places_given(wishes, crews);
    const Standings standings{wishes, done, *now, settings, result};
    for (const auto& crew : crews) {
        const auto earlier = std::find_if(plan.crews.begin(), plan.crews.end(),
                                          [&](const auto& each) { return each.name == crew.name; });
        if (earlier == plan.crews.end()) {
            result.notes.push_back("not in the plan that stood: " + crew.name);
        }
        result.standing.crews.push_back(
            standings.of(crew, earlier == plan.crews.end() ? nullptr : &*earlier, places));
    }
    if (!result.done_by_the_clock.empty()) {
        result.notes.push_back(fmt::format("taken as done, since no --done was given: {}",
                                           fmt::join(result.done_by_the_clock, ", ")));
    }
    for (const auto call : done) {
        if (std::find(result.standing.done.begin(), result.standing.done.end(), call) ==
            result.standing.done.end()) {
            result.standing.done.push_back(call);  // done though it was not planned
        }
    }
    return result;
}

}  // namespace nestround::app
