// The rows of calls, crews and stations, and the statements made from all rows.
#include "geocore/book/rows.hpp"

#include <algorithm>

namespace nestround::book {

namespace {

std::string hours_text(const std::vector<ClockSpan>& spans)
{
    std::string out;
    for (const auto& span : spans) {
        out += (out.empty() ? "" : ",") + format_clock_span(span);
    }
    return out;
}

std::optional<int> count_of(const std::optional<std::chrono::minutes>& length)
{
    return length ? std::optional{static_cast<int>(length->count())} : std::nullopt;
}

std::optional<std::chrono::minutes> maybe_minutes(Query& query)
{
    const auto count = query.maybe_integer();
    return count ? std::optional{std::chrono::minutes{*count}} : std::nullopt;
}

std::vector<ClockSpan> read_hours(Query& query)
{
    std::vector<ClockSpan> out;
    const std::string_view text = query.view();
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(',', at), text.size());
        const auto span = parse_clock_span(text.substr(at, end - at));
        if (!span) {
            query.damaged(text, "is no list of hours");
        }
        out.push_back(*span);
        at = end + 1;
    }
    return out;
}

}  // namespace

void Row<Site>::bind(Query& query, const Site& row)
{
    query.bind(row.place)
        .bind(row.place_uncertainty)
        .bind(Words{row.label})
        .bind(Words{row.address})
        .bind(Words{row.note});
}

Site Row<Site>::read(Query& query)
{
    Site row;
    row.id = query.key<SiteId>();
    row.place = query.place();
    row.place_uncertainty = query.maybe<MetreTag>();
    row.label = query.text();
    row.address = query.text();
    row.note = query.text();
    return row;
}

void Row<Client>::bind(Query& query, const Client& row)
{
    query.bind(Words{row.name}).bind(Words{row.phone}).bind(Words{row.email}).bind(Words{row.note});
}

Client Row<Client>::read(Query& query)
{
    Client row;
    row.id = query.key<ClientId>();
    row.name = query.text();
    row.phone = query.text();
    row.email = query.text();
    row.note = query.text();
    return row;
}

void Row<Nest>::bind(Query& query, const Nest& row)
{
    query.bind(row.site)
        .bind(row.season)
        .bind(Words{row.taxon})
        .bind(text(row.kind))
        .bind(row.height)
        .bind(row.width)
        .bind(row.length)
        .bind(row.first_seen)
        .bind(Words{row.entrance})
        .bind(row.insecticide)
        .bind(Words{row.note})
        .bind(row.ground.set_back)
        .bind(row.ground.step)
        .bind(row.ground.slope_degrees)
        .bind(text(row.ground.structure))
        .bind(text(row.ground.power_lines))
        .bind(row.ground.power_line_distance);
}

Nest Row<Nest>::read(Query& query)
{
    Nest row;
    row.id = query.key<NestId>();
    row.site = query.key<SiteId>();
    row.season = static_cast<int>(query.integer());
    row.taxon = query.text();
    row.kind = query.word(nest_kind);
    row.height = query.maybe<MetreTag>();
    row.width = query.maybe<MetreTag>();
    row.length = query.maybe<MetreTag>();
    row.first_seen = query.maybe_day();
    row.entrance = query.text();
    row.insecticide = query.flag();
    row.note = query.text();
    row.ground.set_back = query.maybe<MetreTag>();
    row.ground.step = query.maybe<MetreTag>();
    row.ground.slope_degrees = query.maybe_real();
    row.ground.structure = query.word(structure);
    row.ground.power_lines = query.word(power_lines);
    row.ground.power_line_distance = query.maybe<MetreTag>();
    return row;
}

void Row<Call>::bind(Query& query, const Call& row)
{
    query.bind(row.nest)
        .bind(row.client)
        .bind(row.received)
        .bind(text(row.state))
        .bind(row.closed)
        .bind(Words{hours_text(row.allowed)})
        .bind(row.not_before)
        .bind(row.not_after)
        .bind(text(row.ladder))
        .bind(row.near_door)
        .bind(row.allergic)
        .bind(row.must_take)
        .bind(Words{row.source_key})
        .bind(Words{row.note})
        .bind(count_of(row.second.after))
        .bind(count_of(row.second.length))
        .bind(row.second.due);
}

Call Row<Call>::read(Query& query)
{
    Call row;
    row.id = query.key<CallId>();
    row.nest = query.key<NestId>();
    row.client = query.maybe_key<ClientId>();
    row.received = query.day();
    row.state = query.word(call_state);
    row.closed = query.maybe_day();
    row.allowed = read_hours(query);
    row.not_before = query.maybe_day();
    row.not_after = query.maybe_day();
    row.ladder = query.word(ladder_permission);
    row.near_door = query.flag();
    row.allergic = query.flag();
    row.must_take = query.flag();
    row.source_key = query.text();
    row.note = query.text();
    row.second.after = maybe_minutes(query);
    row.second.length = maybe_minutes(query);
    row.second.due = query.maybe_instant();
    return row;
}

void Row<Crew>::bind(Query& query, const Crew& row)
{
    query.bind(row.depot)
        .bind(row.name)
        .bind(row.shift_begins)
        .bind(row.shift_ends)
        .bind(row.people)
        .bind(row.active)
        .bind(Words{row.note});
}

Crew Row<Crew>::read(Query& query)
{
    Crew row;
    row.id = query.key<CrewId>();
    row.depot = query.place();
    row.name = query.text();
    row.shift_begins = query.clock();
    row.shift_ends = query.clock();
    row.people = static_cast<int>(query.integer());
    row.active = query.flag();
    row.note = query.text();
    return row;
}

void Row<Gear>::bind(Query& query, const Gear& row)
{
    query.bind(row.crew)
        .bind(text(row.kind))
        .bind(Words{row.label})
        .bind(row.length)
        .bind(row.load_rating)
        .bind(row.mass)
        .bind(row.count)
        .bind(Words{row.note})
        .bind(text(row.ladder_type));
}

Gear Row<Gear>::read(Query& query)
{
    Gear row;
    row.id = query.key<GearId>();
    row.crew = query.maybe_key<CrewId>();
    row.kind = query.word(gear_kind);
    row.label = query.text();
    row.length = query.maybe<MetreTag>();
    row.load_rating = query.maybe<GramTag>();
    row.mass = query.maybe<GramTag>();
    row.count = static_cast<int>(query.integer());
    row.note = query.text();
    row.ladder_type = query.word(ladder_type);
    return row;
}

void Row<WeatherStation>::bind(Query& query, const WeatherStation& row)
{
    query.bind(row.place).bind(row.code).bind(Words{row.name}).bind(row.height);
}

WeatherStation Row<WeatherStation>::read(Query& query)
{
    WeatherStation row;
    row.id = query.key<StationId>();
    row.place = query.place();
    row.code = query.text();
    row.name = query.text();
    row.height = query.maybe<MetreTag>();
    return row;
}

std::string qualified(std::string_view alias, std::string_view columns)
{
    std::string out;
    for (std::size_t at = 0; at < columns.size();) {
        const std::size_t end = std::min(columns.find(", ", at), columns.size());
        out += out.empty() ? "" : ", ";
        out += alias;
        out += '.';
        out += columns.substr(at, end - at);
        at = end + 2;
    }
    return out;
}

std::string insert_statement(std::string_view table, std::string_view columns)
{
    std::string places = "?, ?, ?, ?";
    for (const char c : columns) {
        places += c == ',' ? ", ?" : "";
    }
    return "INSERT INTO " + std::string{table} + " (id, created_at, changed_at, " +
           std::string{columns} + ") VALUES (" + places + ")";
}

std::string update_statement(std::string_view table, std::string_view columns)
{
    std::string sql = "UPDATE " + std::string{table} + " SET changed_at = ?";
    for (std::size_t at = 0; at < columns.size();) {
        const std::size_t end = std::min(columns.find(", ", at), columns.size());
        sql += ", " + std::string{columns.substr(at, end - at)} + " = ?";
        at = end + 2;
    }
    return sql + " WHERE id = ?";
}

WeatherHour read_hour(Query& query, StationId station)
{
    WeatherHour hour;
    hour.station = station;
    hour.at = query.instant();
    if (const auto value = query.maybe_real()) {
        hour.temperature = Celsius{*value};
    }
    hour.humidity = query.maybe<FractionTag>();
    hour.wind = query.maybe<MetrePerSecondTag>();
    hour.gust = query.maybe<MetrePerSecondTag>();
    if (const auto value = query.maybe_integer()) {
        hour.thunder = *value != 0;
    }
    return hour;
}

}  // namespace nestround::book
