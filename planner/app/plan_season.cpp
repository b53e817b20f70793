#include "planner/app/plan_season.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <fstream>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/snapper.hpp"
#include "planner/access/learned.hpp"
#include "planner/app/orders.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/stops.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/day/day_problem.hpp"
#include "planner/season/arrivals.hpp"

namespace nestround::app {

namespace {

constexpr std::array<std::string_view, 7> kWeekdays{"sunday",   "monday", "tuesday", "wednesday",
                                                    "thursday", "friday", "saturday"};

std::vector<bool> days_off(const SeasonWishes& wishes, int days)
{
    std::vector<bool> off(static_cast<std::size_t>(days), false);
    for (const auto& word : wishes.days_off) {
        const auto weekday = std::find(kWeekdays.begin(), kWeekdays.end(), word);
        if (weekday != kWeekdays.end()) {
            const std::chrono::weekday wanted{static_cast<unsigned>(weekday - kWeekdays.begin())};
            for (int d = 0; d < days; ++d) {
                if (std::chrono::weekday{wishes.from + std::chrono::days{d}} == wanted) {
                    off[static_cast<std::size_t>(d)] = true;
                }
            }
            continue;
        }
        const auto day = parse_day(word);
        if (!day) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("--off wants weekdays, as sunday, or dates, not '{}'", word)};
        }
        const long d = (*day - wishes.from).count();
        if (d >= 0 && d < days) {
            off[static_cast<std::size_t>(d)] = true;
        }
    }
    return off;
}

/// What is missing of the book's open orders, and what the command line asks for, by taxon.
std::map<std::string, season::SeasonOrder> orders_of(const book::Book& book,
                                                     const Preferences& preferences,
                                                     const SeasonWishes& wishes)
{
    std::map<std::string, season::SeasonOrder> orders;
    for (const auto& stand : order_book(book, wishes.from).stands) {
        if (!stand.order.due || *stand.order.due >= wishes.from) {
            // What left or lies ready need not be caught any more.
            auto& order = orders[stand.order.taxon];
            order.wanted += stand.missing();
            order.surplus_worth = preferences.orders.surplus_worth;
        }
    }
    for (const auto& text : wishes.orders) {
        const auto equals = text.find('=');
        double grams = 0;
        const char* begin = text.data() + (equals == std::string::npos ? text.size() : equals + 1);
        const auto read = std::from_chars(begin, text.data() + text.size(), grams);
        if (equals == std::string::npos || read.ec != std::errc{} ||
            read.ptr != text.data() + text.size() || !(grams >= 0)) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("--order wants TAXON=GRAMS, as DMAC=400, not '{}'", text)};
        }
        orders[text.substr(0, equals)].wanted = Grams{grams};
    }
    return orders;
}

std::map<CallId, season::StandingVisit> standing_of(const std::string& path)
{
    std::map<CallId, season::StandingVisit> standing;
    if (path.empty()) {
        return standing;
    }
    std::ifstream file{path, std::ios::binary};
    if (!file) {
        throw Failure{ErrorCode::NotFound, "there is no such file", path};
    }
    try {
        const auto json = nlohmann::json::parse(file);
        if (json.at("form") != "nestround-season") {
            throw Failure{ErrorCode::InvalidInput, "this is no plan of a season", path};
        }
        for (const auto& call : json.at("calls")) {
            const auto id = Uuid::parse(call.at("call_id").get<std::string>());
            if (id && !call.at("day").is_null()) {
                standing[CallId{*id}] = {value_or_throw(parse_day(call["day"].get<std::string>())),
                                         call.at("crew").get<std::string>()};
            }
        }
    } catch (const nlohmann::json::exception&) {
        throw Failure{ErrorCode::InvalidInput,
                      "this is no whole plan of a season; write it anew with: nestround season "
                      "BOOK --json FILE",
                      path};
    }
    return standing;
}

/// Of the way from a depot and back, what a call adds to the road of a day that is counted by
/// itself: the rest is shared with the other stops of a tour (assumption).
constexpr double kOwnShareOfWay = 0.5;

/// The depot from which the way to a place and back is shortest, and its length in seconds.
std::pair<std::size_t, double> shortest_way(const season::SeasonInput& input, std::size_t at)
{
    const auto way = [&](std::size_t depot) {
        return std::uint64_t{input.travel.duration_s[depot * input.travel.columns + at]} +
               input.travel.duration_s[at * input.travel.columns + depot];
    };
    std::size_t nearest = 0;
    for (std::size_t k = 1; k < input.crews.size(); ++k) {
        nearest = way(k) < way(nearest) ? k : nearest;
    }
    return {nearest, static_cast<double>(way(nearest))};
}

/// Loads, forecasts, finds ways: everything that both use cases plan with.
class SeasonRoom {
public:
    SeasonRoom(const book::Book& book, std::shared_ptr<const roads::RoadNetwork> network,
               const Preferences& preferences, const SeasonWishes& wishes)
        : preferences_{preferences},
          rank_{rank_by_orders(book, preferences, wishes.from, Beyond::Ignored)},
          wishes_{wishes},
          taxa_{taxa_in_use(book, preferences)},
          forecaster_{*taxa_, learned_settings(book, preferences, *taxa_, wishes.from)},
          network_{suited(std::move(network), preferences)}
    {
        const long days = (wishes.to - wishes.from).count() + 1;
        if (days < 1 || days > 120) {
            throw Failure{
                ErrorCode::BadUsage,
                fmt::format("--from and --to span {} days; 1 to 120 can be planned", days)};
        }
        access_ = access::learned_from(book.all_visits(), preferences.access);
        input.from = wishes.from;
        input.days = static_cast<int>(days);
        input.is_off = days_off(wishes, input.days);
        input.crews = chosen_crews(book, wishes.crews);
        for (int i = 0; i < wishes.more_crews; ++i) {
            Crew more = input.crews.front();
            more.name = fmt::format("one more crew {}", i + 1);
            input.crews.push_back(std::move(more));
        }
        input.settings.day = preferences.day;
        input.settings.change_costs = preferences.change_costs;
        input.settings.orders = orders_of(book, preferences, wishes);
        input.standing = standing_of(wishes.standing);
        input.seed = wishes.seed.value_or(preferences.seed);
        input.iterations = wishes.iterations;
        input.keep_going = wishes.keep_going;
    }

    /// The roads of this truck, at no certain hour: days of a season differ.
    static std::shared_ptr<const roads::RoadNetwork> suited(
        std::shared_ptr<const roads::RoadNetwork> network, const Preferences& preferences)
    {
        roads::Drive drive;
        drive.truck = preferences.drive.truck;
        drive.turns = preferences.drive.turns;
        return roads_for(std::move(network), drive).network;
    }

    /// The calls, and a matrix with a place for each that a road leads to.
    void load(std::vector<CallSheet> sheets)
    {
        auto ranked = rank::rank_calls(sheets, forecaster_, wishes_.from, rank_);
        const roads::Snapper snapper{network_};
        auto stops = find_stops(snapper, input.crews, ranked);
        std::size_t place = input.crews.size();
        Stops kept;
        kept.at.assign(stops.at.begin(),
                       stops.at.begin() + static_cast<std::ptrdiff_t>(input.crews.size()));
        for (std::size_t c = 0; c < ranked.size(); ++c) {
            if (!stops.no_road[c].empty()) {
                notes.push_back(
                    fmt::format("{}: {}", ranked[c].sheet.site.label, stops.no_road[c]));
                continue;
            }
            kept.at.push_back(stops.at[input.crews.size() + c]);
            season::SeasonCall call;
            call.place = place++;
            call.days = days_of(ranked[c].sheet, input.from, input.days);
            call.known_from =
                std::max(0, static_cast<int>((ranked[c].sheet.call.received - input.from).count()));
            input.access.push_back(ways_to(ranked[c].sheet));
            call.call = std::move(ranked[c]);
            input.calls.push_back(std::move(call));
        }
        roads::EngineOptions engine_options;
        engine_options.workers = intake::worker_threads();
        input.travel = travel_between(*roads::make_engine(network_, engine_options), kept);
    }

    /// For those that ask for one: called once the expected calls, of which nobody knows whether
    /// they will, are made.
    void count_second_visits(std::size_t calls)
    {
        for (std::size_t c = 0; c < calls; ++c) {
            auto& call = input.calls[c];
            const auto& asked = call.call.sheet.call;
            if (!asked.second.due && asked.second.after) {
                season::count_second_visit(
                    call, day::second_service(asked, input.settings.day),
                    seconds{std::llround(kOwnShareOfWay * shortest_way(input, call.place).second)},
                    input.settings, preferences_.hold);
            }
        }
    }

    [[nodiscard]] std::vector<season::HoldDay> days_of(const CallSheet& sheet, Day from, int days)
    {
        return season::hold_curve(
                   sheet,
                   [&](Day on) { return forecaster_.outlook(sheet.nest, sheet.site.place, on); },
                   from, days, rank_, preferences_.hold)
            .days;
    }

    [[nodiscard]] std::vector<access::AccessPlan> ways_to(const CallSheet& sheet) const
    {
        std::vector<access::AccessPlan> ways;
        for (const auto& crew : input.crews) {
            ways.push_back(access::reach(sheet.nest, sheet.call, crew.gear, access_));
        }
        return ways;
    }

    season::SeasonInput input;
    std::vector<std::string> notes;

private:
    const Preferences& preferences_;
    rank::RankSettings rank_;  ///< the season itself says what lies beyond the orders
    const SeasonWishes& wishes_;
    access::AccessSettings access_;
    Taxa taxa_;
    yield::Forecaster forecaster_;
    std::shared_ptr<const roads::RoadNetwork> network_;
};

constexpr int kMostDraws = 1000;

/// A call like one that was made, made anew `day` days from the start of the season. Nobody knows
/// where it will be, so it takes room at the nearest depot and its road is counted as work: a nest
/// must not wait for the company of a call that will never come from just there.
season::SeasonCall call_like(const season::SeasonInput& input, std::size_t index, int day)
{
    season::SeasonCall call = input.calls[index];
    call.expected = true;
    call.like = index;
    call.known_from = day;
    const auto [depot, way_s] = shortest_way(input, call.place);
    call.place = depot;
    call.road = seconds{std::llround(kOwnShareOfWay * way_s)};
    call.call.sheet.call.id = CallId{};
    call.call.sheet.call.second = {};
    call.call.sheet.call.must_take = false;
    call.call.sheet.call.not_before.reset();
    call.call.sheet.call.not_after.reset();
    for (auto& each : call.days) {
        each.allowed = true;
    }
    return call;
}

}  // namespace

PlannedSeason plan_season(const book::Book& book, std::shared_ptr<const roads::RoadNetwork> network,
                          const Preferences& preferences, const SeasonWishes& wishes)
{
    SeasonRoom room{book, std::move(network), preferences, wishes};
    const auto history = book.calls(wishes.from);
    room.load(book.waiting_calls(wishes.from));

    PlannedSeason result;
    result.calls_a_day =
        wishes.calls_a_day.value_or(season::call_rate(history, wishes.from, room.input.days));
    // Expected calls come from where calls waiting now came from: their ways are known.
    std::vector<CallSheet> known;
    std::vector<std::size_t> index;
    const std::size_t waiting = room.input.calls.size();
    for (std::size_t c = 0; c < waiting; ++c) {
        // What waits for a second visit only is no nest any more: no call is like it.
        if (!room.input.calls[c].call.sheet.call.second.due) {
            known.push_back(room.input.calls[c].call.sheet);
            index.push_back(c);
        }
    }
    for (const auto& expected : season::expected_calls(known, wishes.from, room.input.days,
                                                       result.calls_a_day, room.input.seed)) {
        const std::size_t like = index[expected.like];
        room.input.access.push_back(room.input.access[like]);
        room.input.calls.push_back(call_like(room.input, like, expected.day));
    }
    room.count_second_visits(waiting);
    if (room.input.calls.size() == waiting && result.calls_a_day > 0) {
        room.notes.push_back(
            "too few calls wait to say what others will be like: none are expected");
    }
    result.plan = value_or_throw(season::plan_season(room.input));
    result.input = std::move(room.input);
    result.notes = std::move(room.notes);
    return result;
}

std::vector<season::Rehearsal> rehearse_season(const book::Book& book,
                                               std::shared_ptr<const roads::RoadNetwork> network,
                                               const Preferences& preferences,
                                               const SeasonWishes& wishes)
{
    SeasonRoom room{book, std::move(network), preferences, wishes};
    auto sheets = book.calls(wishes.to);
    // What was closed before the first day, as a past season's calls, is not lived through again.
    std::erase_if(sheets, [&](const CallSheet& sheet) {
        return sheet.call.closed && *sheet.call.closed < wishes.from;
    });
    for (auto& sheet : sheets) {
        sheet.call.state = CallState::Waiting;
        sheet.call.must_take = false;  // rules know no promises
        sheet.call.second = {};        // nor second visits: each nest is there whole, once
    }
    room.load(std::move(sheets));
    season::RehearsalInput rehearsal;
    rehearsal.season = std::move(room.input);
    rehearsal.hold = preferences.hold;
    const auto& all = rehearsal.season.calls;
    rehearsal.expected = [&](int day) {
        std::vector<CallSheet> known;
        std::vector<std::size_t> index;
        for (std::size_t c = 0; c < all.size(); ++c) {
            if (all[c].call.sheet.call.received <= wishes.from + std::chrono::days{day}) {
                known.push_back(all[c].call.sheet);
                index.push_back(c);
            }
        }
        const Day today = wishes.from + std::chrono::days{day};
        const double rate =
            wishes.calls_a_day.value_or(season::call_rate(known, today, rehearsal.look_ahead));
        std::vector<season::SeasonCall> calls;
        for (const auto& expected :
             season::expected_calls(known, today, rehearsal.look_ahead, rate,
                                    rehearsal.season.seed + static_cast<std::uint64_t>(day))) {
            calls.push_back(call_like(rehearsal.season, index[expected.like], day + expected.day));
        }
        return calls;
    };
    if (wishes.draws < 1 || wishes.draws > kMostDraws) {
        throw Failure{
            ErrorCode::BadUsage,
            fmt::format("--draws is {}; 1 to {} can be lived through", wishes.draws, kMostDraws)};
    }
    const std::uint64_t first = rehearsal.season.seed;
    std::vector<season::Rehearsal> results;
    for (const auto rule :
         {season::Rule::Planner, season::Rule::PlannerAtWill, season::Rule::FirstCome,
          season::Rule::Nearest, season::Rule::Greatest}) {
        std::vector<season::Rehearsal> draws;
        for (int draw = 0; draw < wishes.draws; ++draw) {
            rehearsal.season.seed = first + static_cast<std::uint64_t>(draw);
            draws.push_back(value_or_throw(season::rehearse(rehearsal, rule)));
        }
        results.push_back(season::mean_of(draws));
    }
    return results;
}

}  // namespace nestround::app
