#include "planner/desk/call_json.hpp"

#include <cmath>

#include "geocore/base/sha256.hpp"

namespace nestround::desk {

namespace {

template <class Value>
void take(std::optional<Value>& into, const std::optional<Value>& value, bool is_there)
{
    if (is_there) {
        into = value;
    }
}

std::optional<Metres> metres(Fields& fields, const char* name, double low, double high)
{
    const auto value = fields.number(name, low, high);
    return value ? std::optional{Metres{*value}} : std::nullopt;
}

double to_1e7(double degrees) { return std::round(degrees * 1e7) / 1e7; }

void read_site(Fields& fields, Site& site)
{
    if (fields.has("site_name")) {
        site.label = fields.text("site_name", 200);
    }
    const auto lon = fields.number("lon", -180, 180);
    const auto lat = fields.number("lat", -90, 90);
    if (lon.has_value() != lat.has_value()) {
        throw Fields::wrong(lon ? "lat" : "lon", "is missing: a place has both");
    }
    if (lon) {
        site.place = {Longitude{*lon}, Latitude{*lat}};
    }
    if (fields.has("uncertainty_m")) {
        const auto radius = metres(fields, "uncertainty_m", 0, 100'000);
        site.place_uncertainty = radius && radius->value() > 0 ? radius : std::nullopt;
    }
    if (fields.has("address")) {
        site.address = fields.text("address", 300);
    }
    if (fields.has("place_note")) {
        site.note = fields.text("place_note");
    }
}

void read_nest(Fields& fields, const nature::TaxaTable& taxa, Nest& nest)
{
    if (fields.has("species")) {
        const auto words = fields.text("species", 100);
        const auto* taxon = words.empty() ? nullptr : taxa.recognise(words);
        if (!words.empty() && taxon == nullptr) {
            throw Fields::wrong("species", "is no species of the table");
        }
        nest.taxon = taxon == nullptr ? std::string{} : taxon->code;
    }
    nest.kind = fields.word("nest_kind", nest_kind).value_or(nest.kind);
    bool there = fields.has("height_m");
    take(nest.height, metres(fields, "height_m", -2, 60), there);
    there = fields.has("width_m");
    take(nest.width, metres(fields, "width_m", 0, 5), there);
    there = fields.has("length_m");
    take(nest.length, metres(fields, "length_m", 0, 5), there);
    there = fields.has("set_back_m");
    take(nest.ground.set_back, metres(fields, "set_back_m", 0, 20), there);
    there = fields.has("step_m");
    take(nest.ground.step, metres(fields, "step_m", -10, 10), there);
    there = fields.has("slope_degrees");
    take(nest.ground.slope_degrees, fields.number("slope_degrees", -60, 60), there);
    there = fields.has("power_line_m");
    take(nest.ground.power_line_distance, metres(fields, "power_line_m", 0, 200), there);
    nest.ground.structure = fields.word("structure", structure).value_or(nest.ground.structure);
    nest.ground.power_lines =
        fields.word("power_lines", power_lines).value_or(nest.ground.power_lines);
    there = fields.has("first_seen");
    take(nest.first_seen, fields.day("first_seen"), there);
    if (fields.has("entrance")) {
        nest.entrance = fields.text("entrance", 300);
    }
    nest.insecticide = fields.yes("insecticide").value_or(nest.insecticide);
}

void read_request(Fields& fields, Call& call)
{
    call.received = fields.day("received").value_or(call.received);
    bool there = fields.has("not_before");
    take(call.not_before, fields.day("not_before"), there);
    there = fields.has("not_after");
    take(call.not_after, fields.day("not_after"), there);
    if (call.not_before && call.not_after && *call.not_before > *call.not_after) {
        throw Fields::wrong("not_after", "comes before the first day that suits");
    }
    if (fields.has("allowed")) {
        call.allowed.clear();
        for (const auto& words : fields.texts("allowed")) {
            const auto span = parse_clock_span(words);
            if (!span) {
                throw Fields::wrong("allowed", "holds hours as 08:00-12:00");
            }
            call.allowed.push_back(*span);
        }
    }
    const auto minutes = [&](const char* name, double low, double high) {
        const auto value = fields.number(name, low, high);
        return value ? std::optional{std::chrono::minutes{std::llround(*value)}} : std::nullopt;
    };
    there = fields.has("second_after_min");
    take(call.second.after, minutes("second_after_min", 0, 1440), there);
    there = fields.has("second_min");
    take(call.second.length, minutes("second_min", 1, 720), there);
    call.ladder = fields.word("ladder", ladder_permission).value_or(call.ladder);
    call.near_door = fields.yes("near_door").value_or(call.near_door);
    call.allergic = fields.yes("allergic").value_or(call.allergic);
    call.must_take = fields.yes("must_take").value_or(call.must_take);
    if (fields.has("note")) {
        call.note = fields.text("note");
    }
}

}  // namespace

Json call_json(const CallSheet& sheet)
{
    const auto& [call, nest, site] = sheet;
    Json out{{"call", call.id.text()},
             {"key", book::short_key(call.id.uuid())},
             {"nest", nest.id.text()},
             {"site_name", site.label},
             {"lon", to_1e7(site.place.lon.value())},
             {"lat", to_1e7(site.place.lat.value())},
             {"uncertainty_m", or_null(site.place_uncertainty)},
             {"received", format_day(call.received)},
             {"state", text(call.state)},
             {"closed", or_null(call.closed)},
             {"not_before", or_null(call.not_before)},
             {"not_after", or_null(call.not_after)}};
    const auto count = [](const std::optional<std::chrono::minutes>& length) {
        return length ? Json(length->count()) : Json(nullptr);
    };
    out["second_after_min"] = count(call.second.after);
    out["second_min"] = count(call.second.length);
    out["second_due"] = call.second.due ? Json(format_instant(*call.second.due)) : Json(nullptr);
    out["allowed"] = Json::array();
    for (const auto& span : call.allowed) {
        out["allowed"].push_back(format_clock_span(span));
    }
    out["ladder"] = text(call.ladder);
    out["near_door"] = call.near_door;
    out["allergic"] = call.allergic;
    out["must_take"] = call.must_take;
    out["note"] = call.note;
    out["species"] = nest.taxon;
    out["nest_kind"] = text(nest.kind);
    out["height_m"] = or_null(nest.height);
    out["width_m"] = or_null(nest.width);
    out["length_m"] = or_null(nest.length);
    out["first_seen"] = or_null(nest.first_seen);
    out["entrance"] = nest.entrance;
    out["insecticide"] = nest.insecticide;
    out["set_back_m"] = or_null(nest.ground.set_back);
    out["step_m"] = or_null(nest.ground.step);
    out["slope_degrees"] =
        nest.ground.slope_degrees ? Json(*nest.ground.slope_degrees) : Json(nullptr);
    out["structure"] = text(nest.ground.structure);
    out["power_lines"] = text(nest.ground.power_lines);
    out["power_line_m"] = or_null(nest.ground.power_line_distance);
    return out;
}

Json ranked_json(const rank::RankedCall& call)
{
    Json out = call_json(call.sheet);
    const auto& outlook = call.outlook;
    if (!outlook.taxon.empty()) {
        out["species"] = outlook.taxon;
    }
    out["species_name"] = outlook.taxon_name;
    out["stage"] = outlook.stage;
    out["score"] = call.score;
    out["why"] = call.reasons;
    out["must"] = call.sheet.call.must_take;
    out["grams"] = spread(outlook.grams);
    out["workers"] = spread(outlook.workers);
    out["forecast"] = {{"taxon", words_or_null(outlook.taxon)},
                       {"taxon_name", outlook.taxon_name},
                       {"stage", outlook.stage},
                       {"grams", spread(outlook.grams)},
                       {"workers", spread(outlook.workers)},
                       {"sealed_workers", spread(outlook.sealed_workers)},
                       {"queens", spread(outlook.gynes)},
                       {"males", spread(outlook.males)},
                       {"grams_in_7_days", outlook.in_7_days.value()},
                       {"grams_in_14_days", outlook.in_14_days.value()},
                       {"venom", outlook.venom},
                       {"notes", outlook.notes},
                       {"cautions", outlook.cautions}};
    return out;
}

void add_client(Json& into, const book::Book& book, const CallSheet& sheet)
{
    const auto client = sheet.call.client ? book.client(*sheet.call.client) : std::nullopt;
    into["client_name"] = client ? client->name : "";
    into["client_phone"] = client ? client->phone : "";
    into["address"] = sheet.site.address;
}

void read_call(Fields& fields, const nature::TaxaTable& taxa, CallSheet& sheet,
               std::optional<Client>& client)
{
    read_site(fields, sheet.site);
    read_nest(fields, taxa, sheet.nest);
    read_request(fields, sheet.call);
    if (fields.has("client_name") || fields.has("client_phone")) {
        const bool was = client.has_value();
        Client person = client.value_or(Client{});
        if (fields.has("client_name")) {
            person.name = fields.text("client_name", 200);
        }
        if (fields.has("client_phone")) {
            person.phone = fields.text("client_phone", 60);
        }
        if (was || !person.name.empty() || !person.phone.empty()) {
            client = person;
        }
    }
}

std::string tag_of(const book::CallStamp& stamp)
{
    return '"' + sha256(stamp.rows).substr(0, 24) + '"';
}

}  // namespace nestround::desk
