#include "geocore/roads/osm_tags.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <initializer_list>
#include <string>

#include "geocore/roads/speed_table.hpp"
#include "geocore/roads/vehicle_limits.hpp"

namespace nestround::roads {
namespace {

using Access = Opening;

// Most specific first, as the key's documentation orders them.
constexpr std::array<std::string_view, 5> kAccessKeys{"goods", "motorcar", "motor_vehicle",
                                                      "vehicle", "access"};

template <std::size_t N>
bool is_one_of(std::string_view value, const std::array<std::string_view, N>& words)
{
    return std::find(words.begin(), words.end(), value) != words.end();
}

Access access_of_word(std::string_view word)
{
    constexpr std::array<std::string_view, 8> kOpen{
        "yes", "permissive", "designated", "official", "public", "discouraged", "allowed", "true"};
    constexpr std::array<std::string_view, 3> kEndsOnly{"destination", "delivery", "customers"};
    constexpr std::array<std::string_view, 4> kByLeave{"private", "permit", "residents",
                                                       "employees"};
    constexpr std::array<std::string_view, 4> kUntold{"", "unknown", "variable", "limited"};
    if (is_one_of(word, kOpen)) {
        return Access::Open;
    }
    if (is_one_of(word, kEndsOnly)) {
        return Access::EndsOnly;
    }
    if (is_one_of(word, kByLeave)) {
        return Access::ByLeave;
    }
    return is_one_of(word, kUntold) ? Access::Untold : Access::Closed;
}

/// The most generous entry of a list such as "agricultural;destination".
Access access_of_value(std::string_view value)
{
    auto best = Access::Untold;
    while (true) {
        const auto end = value.find(';');
        auto word = value.substr(0, end);
        while (!word.empty() && word.front() == ' ') {
            word.remove_prefix(1);
        }
        const auto access = access_of_word(word);
        if (best == Access::Untold || (access != Access::Untold && access < best)) {
            best = access;
        }
        if (end == std::string_view::npos) {
            return best;
        }
        value.remove_prefix(end + 1);
    }
}

template <std::size_t N>
Access access_of(Tags tags, std::string_view suffix, const std::array<std::string_view, N>& keys)
{
    for (const auto key : keys) {
        if (!suffix.empty()) {
            const auto one_way = access_of_value(tag(tags, std::string{key}.append(suffix)));
            if (one_way != Access::Untold) {
                return one_way;
            }
        }
        const auto both = access_of_value(tag(tags, key));
        if (both != Access::Untold) {
            return both;
        }
    }
    return Access::Untold;
}

Access access_of(Tags tags, std::string_view suffix)
{
    return access_of(tags, suffix, kAccessKeys);
}

/// What hgv adds to what holds for a light truck.
std::uint8_t heavy_access(Tags tags, std::string_view suffix)
{
    constexpr std::array<std::string_view, 1> kHeavy{"hgv"};
    switch (access_of(tags, suffix, kHeavy)) {
        case Access::EndsOnly:
        case Access::ByLeave:
            return kHeavyAtEnds;
        case Access::Closed:
            return kHeavyClosed;
        case Access::Untold:
        case Access::Open:
            break;
    }
    return kHeavyAsLight;
}

RoadLimits limits_of(Tags tags)
{
    const auto lowest = [&](std::initializer_list<std::string_view> keys, auto parse) {
        std::uint32_t least = 0;
        for (const auto key : keys) {
            if (const auto value = parse(tag(tags, key)); value && (least == 0 || *value < least)) {
                least = *value;
            }
        }
        return least;
    };
    RoadLimits limits;
    limits.height_mm = lowest({"maxheight", "maxheight:physical"}, parse_length_limit);
    limits.width_mm = lowest({"maxwidth", "maxwidth:physical"}, parse_length_limit);
    limits.weight_kg = lowest({"maxweight", "maxgcweight", "maxweightrating"}, parse_weight_limit);
    limits.axle_kg = lowest({"maxaxleload"}, parse_weight_limit);
    limits.heavy_forward = heavy_access(tags, ":forward");
    limits.heavy_backward = heavy_access(tags, ":backward");
    return limits;
}

/// When the road is closed, restricted or one-way by hour, season or weight, as it is written: one
/// line for access, one for the direction.
std::string condition_of(Tags tags)
{
    const auto first_of = [&](std::initializer_list<std::string_view> keys) {
        for (const auto key : keys) {
            if (const auto value = tag(tags, key); !value.empty()) {
                return value;
            }
        }
        return std::string_view{};
    };
    std::string all{
        first_of({"goods:conditional", "motorcar:conditional", "motor_vehicle:conditional",
                  "vehicle:conditional", "access:conditional"})};
    const auto one_way = first_of({"oneway:goods:conditional", "oneway:motorcar:conditional",
                                   "oneway:motor_vehicle:conditional", "oneway:conditional"});
    if (!one_way.empty()) {
        all.append(all.empty() ? "" : "\n").append(kOnewayByHour).append(one_way);
    }
    return all;
}

enum class Direction { Both, Forward, Backward, Changing };

Direction direction_of(Tags tags, RoadClass road_class)
{
    for (const std::string_view key :
         {"oneway:goods", "oneway:motorcar", "oneway:motor_vehicle", "oneway:vehicle", "oneway"}) {
        const auto value = tag(tags, key);
        if (value == "yes" || value == "1" || value == "true") {
            return Direction::Forward;
        }
        if (value == "-1" || value == "reverse") {
            return Direction::Backward;
        }
        if (value == "no" || value == "0" || value == "false" || value == "alternating") {
            return Direction::Both;
        }
        if (value == "reversible") {
            return Direction::Changing;
        }
    }
    const auto junction = tag(tags, "junction");
    const bool implied =
        junction == "roundabout" || junction == "circular" || road_class == RoadClass::Motorway;
    return implied ? Direction::Forward : Direction::Both;
}

struct Limit {
    std::optional<double> kmh;
    bool bad = false;
};

Limit limit_of(Tags tags, std::string_view suffix)
{
    Limit limit;
    for (const auto& key : {std::string{"maxspeed"}.append(suffix), std::string{"maxspeed"},
                            std::string{"maxspeed:type"}, std::string{"source:maxspeed"},
                            std::string{"zone:maxspeed"}}) {
        const auto value = tag(tags, key);
        if (value.empty()) {
            continue;
        }
        const auto speed = parse_speed_limit(value);
        limit.bad = limit.bad || !speed;
        if (speed && *speed) {
            limit.kmh = *speed;
            return limit;
        }
    }
    return limit;
}

double driven_speed(Tags tags, RoadClass road_class, std::optional<double> limit, bool by_leave)
{
    const auto& row = class_speed(road_class);
    double speed = limit ? std::min(*limit * kShareOfLimit, row.top_kmh) : row.usual_kmh;
    for (const std::string_view key : {"surface", "smoothness", "tracktype"}) {
        if (const auto bound = surface_speed(tag(tags, key))) {
            speed = std::min(speed, *bound);
        }
    }
    if (by_leave) {
        speed = std::min(speed, kPrivateSpeed);
    }
    return std::clamp(speed, 1.0, kTopSpeed);
}

bool is_unpaved(Tags tags, RoadClass road_class)
{
    constexpr std::array<std::string_view, 13> kUnpaved{
        "unpaved", "compacted", "fine_gravel", "gravel", "pebblestone", "dirt", "earth",
        "ground",  "grass",     "sand",        "mud",    "grass_paver", "wood"};
    const auto surface = tag(tags, "surface");
    if (!surface.empty()) {
        return is_one_of(surface, kUnpaved);
    }
    const auto grade = tag(tags, "tracktype");
    return road_class == RoadClass::Track && grade != "grade1";
}

std::string name_of(Tags tags)
{
    const auto name = tag(tags, "name");
    return std::string{name.empty() ? tag(tags, "ref") : name};
}

WayReading read_ferry(Tags tags)
{
    const auto access = access_of(tags, "");
    const bool told = access == Access::Open || access == Access::EndsOnly;
    const bool names_others = !(tag(tags, "foot").empty() && tag(tags, "bicycle").empty() &&
                                tag(tags, "passenger").empty());
    if (!told && (access != Access::Untold || names_others)) {
        return {std::nullopt, "ferry without leave for vehicles", {}};
    }
    const auto duration = parse_duration(tag(tags, "duration"));
    if (!duration) {
        return {std::nullopt, "ferry without a duration", {}};
    }
    RoadAttributes road;
    road.road_class = RoadClass::Ferry;
    const auto direction = direction_of(tags, road.road_class);
    road.forward_open = direction != Direction::Backward;
    road.backward_open = direction != Direction::Forward;
    road.forward_kmh = road.backward_kmh = class_speed(RoadClass::Ferry).usual_kmh;
    road.duration = duration;
    road.name = name_of(tags);
    return {
        std::move(road), {}, told ? "" : "ferry taken to carry vehicles, though it does not say"};
}

std::optional<int> whole_number(std::string_view text)
{
    int number = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), number);
    const bool good =
        problem == std::errc{} && end == text.data() + text.size() && number >= 0 && number < 10000;
    return good ? std::optional{number} : std::nullopt;
}

std::optional<seconds> parse_iso_duration(std::string_view text)
{
    seconds sum{0};
    while (!text.empty()) {
        const auto at = text.find_first_of("HMS");
        if (at == std::string_view::npos) {
            return std::nullopt;
        }
        const auto number = whole_number(text.substr(0, at));
        if (!number) {
            return std::nullopt;
        }
        const int unit = text[at] == 'H' ? 3600 : text[at] == 'M' ? 60 : 1;
        sum += seconds{*number * unit};
        text.remove_prefix(at + 1);
    }
    return sum > seconds{0} ? std::optional{sum} : std::nullopt;
}

}  // namespace

std::string_view tag(Tags tags, std::string_view key)
{
    for (const auto& entry : tags) {
        if (entry.key == key) {
            return entry.value;
        }
    }
    return {};
}

Opening opening_of(std::string_view value) { return access_of_value(value); }

bool is_way_of_interest(Tags tags)
{
    return !tag(tags, "highway").empty() || tag(tags, "route") == "ferry";
}

WayReading read_way(Tags tags)
{
    const auto highway = tag(tags, "highway");
    if (highway.empty()) {
        return read_ferry(tags);
    }
    constexpr std::array<std::string_view, 9> kNotThere{"construction", "proposed", "planned",
                                                        "abandoned",    "razed",    "demolished",
                                                        "disused",      "removed",  "dismantled"};
    if (is_one_of(highway, kNotThere)) {
        return {std::nullopt, "not built yet or no longer there", {}};
    }
    const auto kind = road_class(highway);
    if (!kind || *kind == RoadClass::Ferry) {
        return {std::nullopt, "not made for trucks (path, steps, cycleway, ...)", {}};
    }
    if (tag(tags, "area") == "yes") {
        return {std::nullopt, "area, not a line", {}};
    }
    if (tag(tags, "ice_road") == "yes" || tag(tags, "winter_road") == "yes" ||
        tag(tags, "seasonal") == "winter") {
        return {std::nullopt, "only there in winter", {}};
    }
    if (tag(tags, "service") == "emergency_access") {
        return {std::nullopt, "for emergency services only", {}};
    }
    const auto ahead = access_of(tags, ":forward");
    const auto back = access_of(tags, ":backward");
    const auto direction = direction_of(tags, *kind);
    if (direction == Direction::Changing) {
        return {std::nullopt, "direction changes by the hour", {}};
    }

    RoadAttributes road;
    road.road_class = *kind;
    road.forward_open = ahead != Access::Closed && direction != Direction::Backward;
    road.backward_open = back != Access::Closed && direction != Direction::Forward;
    if (!road.forward_open && !road.backward_open) {
        return {std::nullopt,
                condition_of(tags).empty() ? "closed to motor vehicles"
                                           : "closed to motor vehicles, though not at all hours",
                {}};
    }
    road.limits = limits_of(tags);
    road.condition = condition_of(tags);
    const auto only_ends = [](Access a) { return a == Access::EndsOnly || a == Access::ByLeave; };
    road.ends_only = (road.forward_open && only_ends(ahead)) ||
                     (road.backward_open && only_ends(back)) || tag(tags, "service") == "driveway";
    road.by_leave = (road.forward_open && ahead == Access::ByLeave) ||
                    (road.backward_open && back == Access::ByLeave);
    const auto limit_ahead = limit_of(tags, ":forward");
    const auto limit_back = limit_of(tags, ":backward");
    road.forward_kmh = driven_speed(tags, *kind, limit_ahead.kmh, road.by_leave);
    road.backward_kmh = driven_speed(tags, *kind, limit_back.kmh, road.by_leave);
    const auto junction = tag(tags, "junction");
    road.roundabout = junction == "roundabout" || junction == "circular";
    road.unpaved = is_unpaved(tags, *kind);
    road.name = name_of(tags);
    const bool bad = limit_ahead.bad || limit_back.bad;
    std::string_view remark;
    if (bad) {
        remark = "speed limit not above zero, passed over";
    } else if (!tag(tags, "maxspeed:conditional").empty()) {
        remark = "speed by hour not read, the usual one holds";
    } else if (!road.condition.empty()) {
        remark = "closed, restricted or one-way at some hours: as usual unless hours are told";
    } else if (tag(tags, "seasonal") == "yes") {
        remark = "passable in some seasons only, taken as open";
    }
    return {std::move(road), {}, remark};
}

bool is_private_gate(Tags tags)
{
    const auto barrier = tag(tags, "barrier");
    const auto access = access_of(tags, "");
    return !barrier.empty() && barrier != "no" && !closes_road(tags) &&
           (access == Access::EndsOnly || access == Access::ByLeave);
}

bool closes_road(Tags tags)
{
    const auto barrier = tag(tags, "barrier");
    if (barrier.empty() || barrier == "no") {
        return false;
    }
    switch (access_of(tags, "")) {
        case Access::Open:
        case Access::EndsOnly:
            return false;
        case Access::Closed:
            return true;
        case Access::ByLeave:
            // A private gate opens to who is called there; a private bollard does not.
            return tag(tags, "locked") == "yes" ||
                   !(barrier == "gate" || barrier == "lift_gate" || barrier == "swing_gate" ||
                     barrier == "sliding_gate" || barrier == "entrance");
        case Access::Untold:
            break;
    }
    if (tag(tags, "locked") == "yes") {
        return true;
    }
    constexpr std::array<std::string_view, 25> kClosing{"bollard",
                                                        "block",
                                                        "jersey_barrier",
                                                        "chain",
                                                        "cycle_barrier",
                                                        "kissing_gate",
                                                        "motorcycle_barrier",
                                                        "stile",
                                                        "turnstile",
                                                        "horse_stile",
                                                        "full-height_turnstile",
                                                        "log",
                                                        "debris",
                                                        "planter",
                                                        "barrier_board",
                                                        "spikes",
                                                        "tank_trap",
                                                        "bus_trap",
                                                        "sump_buster",
                                                        "rope",
                                                        "wicket_gate",
                                                        "wall",
                                                        "fence",
                                                        "hedge",
                                                        "kent_carriage_gap"};
    return is_one_of(barrier, kClosing);
}

std::optional<TurnRestriction> read_turn(Tags tags, std::string_view& passed_over)
{
    constexpr std::array<std::string_view, 4> kLight{"goods", "motorcar", "motor_vehicle",
                                                     "vehicle"};
    constexpr std::array<std::string_view, 3> kHeavy{"hgv", "motor_vehicle", "vehicle"};
    TurnRestriction turn;
    std::string_view kind;
    const auto take = [&](std::string_view key, std::uint8_t spares) {
        const auto plain = tag(tags, key);
        const auto by_hour = tag(tags, std::string{key}.append(":conditional"));
        if (kind.empty() && !(plain.empty() && by_hour.empty())) {
            kind = plain;
            turn.spares = spares;
            if (plain.empty()) {
                turn.condition = by_hour;
                kind = by_hour.substr(0, by_hour.find_first_of(" @"));
            }
        }
    };
    take("restriction", 0);
    take("restriction:motor_vehicle", 0);
    take("restriction:hgv", kSparesLight);
    take("restriction:motorcar", kSparesHeavy);
    take("restriction:goods", kSparesHeavy);
    if (kind.empty()) {
        passed_over = "turn restriction for others (buses, bicycles, ...) or without a kind";
        return std::nullopt;
    }
    turn.only = kind.starts_with("only_");
    turn.u_turn = kind == "no_u_turn" || kind == "only_u_turn";
    if (!turn.only && !kind.starts_with("no_")) {
        passed_over = "turn restriction NOT applied: its kind cannot be read";
        return std::nullopt;
    }
    auto except = tag(tags, "except");
    while (!except.empty()) {
        const auto end = std::min(except.find(';'), except.size());
        auto word = except.substr(0, end);
        while (!word.empty() && word.front() == ' ') {
            word.remove_prefix(1);
        }
        turn.spares =
            static_cast<std::uint8_t>(turn.spares | (is_one_of(word, kLight) ? kSparesLight : 0) |
                                      (is_one_of(word, kHeavy) ? kSparesHeavy : 0));
        except.remove_prefix(std::min(end + 1, except.size()));
    }
    return turn;
}

std::optional<seconds> parse_duration(std::string_view text)
{
    if (text.starts_with("PT")) {
        return parse_iso_duration(text.substr(2));
    }
    std::array<int, 3> parts{};
    std::size_t count = 0;
    while (true) {
        const auto end = text.find(':');
        const auto number = whole_number(text.substr(0, end));
        if (!number || count == parts.size()) {
            return std::nullopt;
        }
        parts[count++] = *number;
        if (end == std::string_view::npos) {
            break;
        }
        text.remove_prefix(end + 1);
    }
    seconds sum{0};
    if (count == 1) {
        sum = std::chrono::minutes{parts[0]};
    } else {
        sum = std::chrono::hours{parts[0]} + std::chrono::minutes{parts[1]} + seconds{parts[2]};
    }
    return sum > seconds{0} ? std::optional{sum} : std::nullopt;
}

}  // namespace nestround::roads
