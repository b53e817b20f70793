#include "geocore/intake/call_row.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geocore/nature/season.hpp"

namespace nestround::intake {

namespace {

// What a call may say; marked assumptions in docs/reference/call-columns.md.
constexpr double kLowest = -2;           // m; the bottom of a cellar shaft
constexpr double kHighest = 60;          // m
constexpr double kUnusualHeight = 20;    // m
constexpr double kSmallestNest = 0.005;  // m; a foundress's first cells
constexpr double kLargestNest = 5;       // m
constexpr double kUnusualNest = 1.5;     // m

std::string taxon_of(RowReader& row, const CallMapping& mapping)
{
    const std::string written = row.text("species");
    if (written.empty() || folded(written) == "unknown" || written == "?") {
        return {};
    }
    if (!mapping.taxon) {
        return written;
    }
    const auto code = mapping.taxon(written);
    if (!code) {
        row.refuse("species", fmt::format("'{}' is no species of the taxa table", shown(written)),
                   "write its code or scientific name, or unknown");
    }
    return code.value_or("");
}

NestKind kind_of(RowReader& row)
{
    const std::string word = folded(row.text("nest_kind"));
    if (word.empty()) {
        return NestKind::Unknown;
    }
    const auto kind = nest_kind(word);
    if (!kind) {
        row.refuse("nest_kind", fmt::format("'{}' is no kind of nest", shown(word)),
                   "write aerial, ground, void or unknown");
    }
    return kind.value_or(NestKind::Unknown);
}

LadderPermission ladder_of(RowReader& row)
{
    const std::string word = folded(row.text("ladder_permission"));
    if (word.empty()) {
        return LadderPermission::Unknown;
    }
    if (const auto said = ladder_permission(word)) {
        return *said;
    }
    if (const auto yes = yes_no(word)) {
        return *yes ? LadderPermission::Given : LadderPermission::Refused;
    }
    row.refuse("ladder_permission", fmt::format("'{}' is no answer", shown(word)),
               "write given, refused or unknown");
    return LadderPermission::Unknown;
}

void read_ground(RowReader& row, GroundBefore& ground)
{
    const auto metres = [&](const char* name, double low, double high) -> std::optional<Metres> {
        const auto value = row.measure(name, low, high, "m");
        return value ? std::optional{Metres{*value}} : std::nullopt;
    };
    ground.set_back = metres("set_back", 0, 20);
    ground.step = metres("step", -10, 10);
    ground.slope_degrees = row.number("slope_degrees", -60, 60, "degrees");
    ground.power_line_distance = metres("power_line", 0, 200);
    if (const std::string word = folded(row.text("structure")); !word.empty()) {
        const auto known = structure(word);
        if (!known) {
            row.refuse("structure", fmt::format("'{}' is no structure", shown(word)),
                       "write gable, soffit, wall, tree, ground, void, other or unknown");
        }
        ground.structure = known.value_or(Structure::Unknown);
    }
    if (const std::string word = folded(row.text("power_lines")); !word.empty()) {
        const auto known = power_lines(word);
        if (!known) {
            row.refuse("power_lines", fmt::format("'{}' is no answer", shown(word)),
                       "write near, none_seen or unknown");
        }
        ground.power_lines = known.value_or(PowerLines::Unknown);
    }
    if (ground.power_line_distance) {
        ground.power_lines = PowerLines::Near;
    }
}

std::vector<ClockSpan> hours_of(RowReader& row)
{
    const std::string written = row.text("allowed_hours");
    std::vector<ClockSpan> spans;
    for (std::size_t from = 0; from < written.size();) {
        const auto end = std::min(written.find_first_of(";,", from), written.size());
        const auto part = trimmed(std::string_view{written}.substr(from, end - from));
        from = end + 1;
        if (part.empty()) {
            continue;
        }
        const auto span = parse_clock_span(part);
        if (!span) {
            row.refuse("allowed_hours", fmt::format("'{}' is not a span of hours", shown(part)),
                       "write 08:00-12:00, several with ; between them");
            return {};
        }
        spans.push_back(*span);
    }
    std::sort(spans.begin(), spans.end(),
              [](const ClockSpan& a, const ClockSpan& b) { return a.opens < b.opens; });
    for (std::size_t i = 1; i < spans.size(); ++i) {
        if (spans[i].opens < spans[i - 1].closes) {
            row.refuse("allowed_hours",
                       fmt::format("{} and {} overlap", format_clock_span(spans[i - 1]),
                                   format_clock_span(spans[i])),
                       "write them as one span");
            return {};
        }
    }
    return spans;
}

std::optional<Client> client_of(const RowReader& row)
{
    Client client;
    client.name = row.text("client_name");
    client.phone = row.text("client_phone");
    if (client.name.empty() && client.phone.empty()) {
        return std::nullopt;
    }
    return client;
}

void read_place(RowReader& row, LonLat place, Site& site)
{
    if (!row.row().point && !row.row().point_fault.empty() && row.text("lon").empty()) {
        row.refuse("", row.row().point_fault, "give it one point");
    } else if (!is_on_earth(place)) {
        // A number that could not be read has been refused already, with its own reason.
        const bool swapped =
            is_on_earth({Longitude{place.lat.value()}, Latitude{place.lon.value()}});
        row.refuse("lon",
                   fmt::format("longitude {:.10g}, latitude {:.10g} is not on Earth",
                               place.lon.value(), place.lat.value()),
                   swapped ? "longitude and latitude seem to be swapped"
                           : "write degrees, or name the coordinate system");
    }
    site.place = place;
    site.label = row.text("place");
    site.address = row.text("address");
}

void read_nest(RowReader& row, const CallMapping& mapping, Nest& nest)
{
    const auto metres = [&](const char* name, double low, double high) -> std::optional<Metres> {
        const auto value = row.measure(name, low, high, "m");
        return value ? std::optional{Metres{*value}} : std::nullopt;
    };
    nest.taxon = taxon_of(row, mapping);
    nest.kind = kind_of(row);
    nest.height = metres("height", kLowest, kHighest);
    nest.width = metres("width", kSmallestNest, kLargestNest);
    nest.length = metres("length", kSmallestNest, kLargestNest);
    nest.first_seen = row.day("first_seen");
    nest.entrance = row.text("entrance");
    nest.insecticide = row.yes("insecticide");
    read_ground(row, nest.ground);
}

void read_call(RowReader& row, const CallMapping& mapping, Call& call)
{
    const auto received = row.day("received");
    if (received || mapping.received) {
        call.received = received ? *received : *mapping.received;
    } else {
        row.refuse("received", "says no day on which the call was received",
                   "write year-month-day, as 2026-08-04");
    }
    call.allowed = hours_of(row);
    call.not_before = row.day("not_before");
    call.not_after = row.day("not_after");
    if (call.not_before && call.not_after && *call.not_before > *call.not_after) {
        row.refuse("not_after",
                   fmt::format("{} is before not_before, {}", format_day(*call.not_after),
                               format_day(*call.not_before)),
                   "swap or correct them");
    }
    call.ladder = ladder_of(row);
    call.near_door = row.yes("near_door");
    call.allergic = row.yes("allergic");
    call.must_take = row.yes("must_take");
    call.note = row.text("note");
}

/// The same for the same call, whatever the file is called and whatever format it has.
std::string source_key(const RowReader& row, const CallSheet& sheet, std::optional<Day> received)
{
    if (const auto key = row.text("key"); !key.empty()) {
        return key;
    }
    // A received day that the caller filled in is today's, and would differ at the next import.
    const auto fifth_decimal = [](double degrees) { return std::llround(degrees * 1e5); };
    return digest(fmt::format("{} {} {} {}", fifth_decimal(sheet.site.place.lon.value()),
                              fifth_decimal(sheet.site.place.lat.value()),
                              received ? format_day(*received) : "", sheet.nest.taxon));
}

void flag(CallRow& out)
{
    const auto& nest = out.sheet.nest;
    const auto& call = out.sheet.call;
    if (nest.height && nest.height->value() > kUnusualHeight) {
        out.flags.push_back(
            fmt::format("{:.3g} m is unusually high; is the unit right?", nest.height->value()));
    }
    if (nest.kind == NestKind::Ground && nest.height && nest.height->value() > 1) {
        out.flags.push_back(
            fmt::format("a ground nest {:.3g} m above the ground", nest.height->value()));
    }
    for (const auto& size : {nest.width, nest.length}) {
        if (size && size->value() > kUnusualNest) {
            out.flags.push_back(
                fmt::format("a nest of {:.3g} m is unusually large; is the unit "
                            "right?",
                            size->value()));
        }
    }
    if (nest.first_seen && *nest.first_seen > call.received) {
        out.flags.push_back(fmt::format("first seen {}, after the call of {}",
                                        format_day(*nest.first_seen), format_day(call.received)));
    }
    if (call.not_after && *call.not_after < call.received) {
        out.flags.push_back(fmt::format("to be taken by {}, before the call of {}",
                                        format_day(*call.not_after), format_day(call.received)));
    }
}

}  // namespace

const Vocabulary& call_vocabulary()
{
    static const Vocabulary words{
        {"key",       "received",    "lon",          "lat",           "place",
         "address",   "species",     "nest_kind",    "first_seen",    "entrance",
         "near_door", "allergic",    "insecticide",  "allowed_hours", "ladder_permission",
         "must_take", "client_name", "client_phone", "not_after",     "not_before",
         "note",      "structure",   "power_lines",  "slope_degrees"},
        {"height", "width", "length", "set_back", "step", "power_line"},
        {},
        {{"longitude", "lon"}, {"latitude", "lat"}}};
    return words;
}

tl::expected<CallRow, RefusedRow> read_call_row(const Columns& columns, const GridRow& grid_row,
                                                LonLat place, const CallMapping& mapping)
{
    RowReader row{columns, grid_row};
    CallRow out;
    out.row = grid_row.number;
    read_place(row, place, out.sheet.site);
    read_nest(row, mapping, out.sheet.nest);
    read_call(row, mapping, out.sheet.call);
    out.client = client_of(row);
    const auto received = row.day("received");
    if (row.fault()) {
        return tl::unexpected{*row.fault()};
    }
    out.sheet.nest.season =
        nature::season_of(out.sheet.nest.first_seen.value_or(out.sheet.call.received), place.lat);
    out.sheet.call.source_key = source_key(row, out.sheet, received);
    flag(out);
    return out;
}

}  // namespace nestround::intake
