// Where is it, which wasp is it, and how does its colony grow?
#include <fmt/format.h>

#include <array>
#include <charconv>

#include "geocore/nature/season.hpp"
#include "planner/app/find_place.hpp"
#include "planner/app/name_wasp.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/desk/room_support.hpp"
#include "planner/desk/rooms.hpp"
#include "planner/sheets/wasp_text.hpp"

namespace nestround::desk {
namespace {

double number_in(std::string_view text, const std::string& field)
{
    double value = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size()) {
        throw Fields::wrong(field, "is no number");
    }
    return value;
}

std::optional<LonLat> near_of(const Request& request)
{
    const auto words = request.asked("near").value_or("");
    if (words.empty()) {
        return std::nullopt;
    }
    const auto comma = words.find(',');
    if (comma == std::string::npos) {
        throw Fields::wrong("near", "is longitude,latitude");
    }
    const std::string_view view{words};
    const LonLat place{Longitude{number_in(view.substr(0, comma), "near")},
                       Latitude{number_in(view.substr(comma + 1), "near")}};
    if (!is_on_earth(place)) {
        throw Fields::wrong("near", "is no place on Earth");
    }
    return place;
}

Answer places(Desk& desk, const Request& request)
{
    const auto words = request.asked("q").value_or("");
    if (words.empty() || words.size() > 300) {
        throw Fields::wrong("q", "is what somebody says of a place, 300 characters at most");
    }
    app::PlaceSources sources;
    sources.near = near_of(request);
    if (!sources.near) {
        sources.near = desk.read([](const book::Book& book) { return home_of(book); });
    }
    sources.typing = true;
    const auto found = desk.places([&](const gazetteer::PlaceFile* file) {
        sources.places = file;
        return app::find_places(words, sources);
    });
    Json list = Json::array();
    // What cannot be a place yet may still become one: it is being typed.
    if (found) {
        for (const auto& one : *found) {
            list.push_back({{"shown", one.shown},
                            {"how", one.how},
                            {"lon", one.at.lon.value()},
                            {"lat", one.at.lat.value()},
                            {"uncertainty_m", or_null(one.uncertainty)},
                            {"remark", one.remark},
                            {"exact", one.exact},
                            {"away_m", or_null(one.away)}});
        }
    }
    return json({{"q", words},
                 {"places", std::move(list)},
                 {"remark", found ? "" : found.error().message}});
}

app::Taxa taxa_of(Desk& desk)
{
    const auto preferences = desk.preferences();
    return desk.read([&](const book::Book& book) { return app::taxa_in_use(book, *preferences); });
}

Answer traits(Desk& desk, const Request&)
{
    const auto taxa = taxa_of(desk);
    Json body = Json::parse(sheets::traits_json(nature::naming_traits(*taxa)));
    return json(body.is_array() ? Json{{"traits", std::move(body)}} : body);
}

std::vector<nature::Seen> seen_of(const Json& list, const nature::TaxaTable& taxa)
{
    if (!list.is_array() || list.size() > 100) {
        throw Fields::wrong("traits", "is a list of {trait, answer}");
    }
    std::vector<nature::Seen> seen;
    for (const auto& one : list) {
        if (!one.is_object()) {
            throw Fields::wrong("traits", "is a list of {trait, answer}");
        }
        Fields fields{one};
        app::TypedTrait typed;
        typed.trait = fields.text("trait", 80);
        typed.answer = fields.text("answer", 80);
        if (const auto length = fields.number("metres", 0, 100)) {
            typed.length = Metres{*length};
        }
        fields.no_others();
        seen.push_back(app::read_trait(taxa, typed));
    }
    return seen;
}

Answer wasp(Desk& desk, const Request& request)
{
    const Json body = body_object(request);
    Fields fields{body};
    const auto taxa = taxa_of(desk);
    const Day on = day_typed(desk, fields.text("on", 20), "on");
    std::vector<nature::Seen> seen;
    if (const auto* list = fields.member("traits")) {
        seen = seen_of(*list, *taxa);
    }
    Nest nest;
    nest.kind = fields.word("nest_kind", nest_kind).value_or(NestKind::Unknown);
    if (const auto height = fields.number("height_m", -2, 60)) {
        nest.height = Metres{*height};
    }
    if (const auto width = fields.number("width_m", 0, 5)) {
        nest.width = Metres{*width};
    }
    const auto lon = fields.number("lon", -180, 180);
    const auto lat = fields.number("lat", -90, 90);
    fields.no_others();
    std::optional<LonLat> place;
    if (lon && lat) {
        place = LonLat{Longitude{*lon}, Latitude{*lat}};
    } else {
        place = desk.read([](const book::Book& book) { return home_of(book); });
    }
    if (!place) {
        throw Fields::wrong("lon", "and lat are missing: the book has no place of its own yet");
    }
    for (auto& one : app::traits_of_nest(*taxa, nest, seen)) {
        seen.push_back(std::move(one));
    }
    const auto name = value_or_throw(nature::name_wasp(*taxa, seen, *place, on));
    sheets::WaspHead head;
    head.place = fmt::format("{:.5f}, {:.5f}", place->lat.value(), place->lon.value());
    head.on = on;
    Json out = Json::parse(sheets::wasp_json(name, head));
    for (auto& one : out["taxa"]) {
        const auto* taxon = taxa->find(one["code"].get<std::string>());
        one["common"] = taxon == nullptr ? "" : taxon->english;
    }
    out["ranked"] = out["taxa"];
    out["next"] = out["look_next"].empty() ? Json(nullptr) : out["look_next"][0]["trait"];
    return json(out);
}

/// A colony like others of its species, over the year.
Answer curve(Desk& desk, const Request& request)
{
    const auto preferences = desk.preferences();
    const Day on = day_asked(desk, request);
    const auto lat_words = request.asked("lat").value_or("");
    return desk.memory().kept(
        desk, "curve " + request.parameter("species") + " " + lat_words + " " + format_day(on),
        [&] {
            return desk.read([&](const book::Book& book) {
                const auto taxa = app::taxa_in_use(book, *preferences);
                const auto* taxon = taxa->recognise(request.parameter("species"));
                if (taxon == nullptr) {
                    throw Refusal{404, "no_such_species", "no species of the table has that name",
                                  "species"};
                }
                LonLat place = home_of(book).value_or(LonLat{Longitude{0}, Latitude{45}});
                if (!lat_words.empty()) {
                    place.lat = Latitude{number_in(lat_words, "lat")};
                    if (!is_on_earth(place)) {
                        throw Fields::wrong("lat", "lies between -90 and 90");
                    }
                }
                Nest nest;
                nest.taxon = taxon->code;
                nest.season = nature::season_of(on, place.lat);
                yield::Forecaster forecaster{*taxa,
                                             app::learned_settings(book, *preferences, *taxa, on)};
                using namespace std::chrono;
                const bool south = place.lat.value() < 0;
                const Day begins =
                    sys_days{year{nest.season - (south ? 1 : 0)} / (south ? 9 : 3) / 1};
                Json points = Json::array();
                for (int day = 0; day <= 290; day += 5) {
                    const Day then = begins + days{day};
                    const auto numbers = forecaster.numbers(nest, place, then);
                    points.push_back({{"on", format_day(then)},
                                      {"workers", spread(numbers.workers)},
                                      {"queens", spread(numbers.gynes)},
                                      {"males", spread(numbers.males)},
                                      {"grams", spread(numbers.grams)}});
                }
                return Json({{"species", taxon->code},
                             {"species_name", taxon->name},
                             {"common", taxon->english},
                             {"lat", place.lat.value()},
                             {"season", nest.season},
                             {"points", std::move(points)}});
            });
        });
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/places", places},
    Route{Method::Get, "/api/traits", traits},
    Route{Method::Post, "/api/wasp", wasp},
    Route{Method::Get, "/api/curve/{species}", curve},
};

}  // namespace

std::span<const Route> wasp_routes() { return kRoutes; }

}  // namespace nestround::desk
