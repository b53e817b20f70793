#include "geocore/intake/crews.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/grid.hpp"

namespace nestround::intake {

namespace {

constexpr int kMostPeople = 20;
constexpr double kLongestGear = 30;      // m
constexpr double kHeaviestGear = 500e3;  // g
constexpr int kMostPieces = 1000;

void note_unused(const Columns& columns, std::vector<std::string>& notes)
{
    if (const auto unused = columns.unused(); !unused.empty()) {
        notes.push_back("columns that nothing reads: " + joined(unused));
    }
}

void read_shift(RowReader& row, Crew& crew)
{
    const std::string written = row.text("shift");
    const auto span = parse_clock_span(written);
    if (!span) {
        row.refuse("shift", fmt::format("'{}' is not a span of hours", shown(written)),
                   "write 07:00-16:00");
        return;
    }
    crew.shift_begins = span->opens;
    crew.shift_ends = span->closes;
}

void read_depot(RowReader& row, Crew& crew)
{
    const auto lon = row.number("lon", -180, 180, "degrees");
    const auto lat = row.number("lat", -90, 90, "degrees");
    if (!lon || !lat) {
        row.refuse(lon ? "lat" : "lon", "is empty", "give the place where the day begins");
        return;
    }
    crew.depot = {Longitude{*lon}, Latitude{*lat}};
}

Gear gear_of(RowReader& row)
{
    Gear gear;
    const std::string kind = folded(row.text("kind"));
    if (const auto known = gear_kind(kind)) {
        gear.kind = *known;
    } else {
        row.refuse("kind", fmt::format("'{}' is no kind of gear", shown(kind)),
                   "write pole, ladder, vacuum, cold_box, comb_box, suit or other");
    }
    gear.label = row.text("label");
    if (const auto length = row.measure("length", 0.01, kLongestGear, "m")) {
        gear.length = Metres{*length};
    }
    if (const auto rating = row.measure("load_rating", 1, kHeaviestGear, "g")) {
        gear.load_rating = Grams{*rating};
    }
    if (const auto mass = row.measure("mass", 1, kHeaviestGear, "g")) {
        gear.mass = Grams{*mass};
    }
    gear.count = row.count("count", 0, kMostPieces).value_or(1);
    gear.note = row.text("note");
    if (const std::string type = folded(row.text("ladder_type")); !type.empty()) {
        const auto known = ladder_type(type);
        if (!known) {
            row.refuse("ladder_type", fmt::format("'{}' is no type of ladder", shown(type)),
                       "write single, extension, step or unknown");
        }
        gear.ladder_type = known.value_or(LadderType::Unknown);
    }
    return gear;
}

}  // namespace

CrewBatch read_crews(const std::filesystem::path& file)
{
    Grid grid = read_text_grid(file);
    const Columns columns{grid,
                          {{"crew", "lon", "lat", "shift", "people", "note"},
                           {},
                           {},
                           {{"longitude", "lon"}, {"latitude", "lat"}}}};
    columns.require({"crew", "lon", "lat", "shift"});
    CrewBatch out;
    out.notes = grid.notes;
    out.refused = grid.refused;
    note_unused(columns, out.notes);
    std::set<std::string> names;
    for (const auto& grid_row : grid.rows) {
        RowReader row{columns, grid_row};
        Crew crew;
        crew.name = row.text("crew");
        if (crew.name.empty()) {
            row.refuse("crew", "is empty", "give the crew a name");
        }
        read_depot(row, crew);
        read_shift(row, crew);
        crew.people = row.count("people", 1, kMostPeople).value_or(1);
        crew.note = row.text("note");
        if (!row.fault() && !names.insert(crew.name).second) {
            row.refuse("crew", fmt::format("there is a crew '{}' already", shown(crew.name)),
                       "give each crew a name of its own");
        }
        if (row.fault()) {
            out.refused.push_back(*row.fault());
        } else {
            out.crews.push_back(std::move(crew));
        }
    }
    return out;
}

GearBatch read_gear(const std::filesystem::path& file)
{
    Grid grid = read_text_grid(file);
    const Columns columns{grid,
                          {{"crew", "kind", "label", "count", "note", "ladder_type"},
                           {"length"},
                           {"load_rating", "mass"},
                           {}}};
    columns.require({"kind"});
    GearBatch out;
    out.notes = grid.notes;
    out.refused = grid.refused;
    note_unused(columns, out.notes);
    for (const auto& grid_row : grid.rows) {
        RowReader row{columns, grid_row};
        GearRow gear{grid_row.number, row.text("crew"), gear_of(row)};
        if (row.fault()) {
            out.refused.push_back(*row.fault());
        } else {
            out.rows.push_back(std::move(gear));
        }
    }
    return out;
}

std::vector<GearRow> load_trucks(std::vector<Crew>& crews, const GearBatch& gear)
{
    std::vector<GearRow> left;
    for (const auto& row : gear.rows) {
        const auto crew = std::find_if(crews.begin(), crews.end(),
                                       [&](const Crew& c) { return c.name == row.crew; });
        if (crew == crews.end()) {
            left.push_back(row);
        } else {
            crew->gear.push_back(row.gear);
        }
    }
    return left;
}

}  // namespace nestround::intake
