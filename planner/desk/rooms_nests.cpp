// Nests on the map, one nest, and where nests are dense.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "geocore/intake/worker_threads.hpp"
#include "geocore/nature/season.hpp"
#include "planner/app/live_view.hpp"
#include "planner/app/map_density.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/desk/call_json.hpp"
#include "planner/desk/rooms.hpp"
#include "planner/sheets/density_text.hpp"
#include "planner/sheets/stage_text.hpp"

namespace nestround::desk {
namespace {

Answer geojson(std::string body)
{
    Answer answer;
    answer.content_type = "application/geo+json";
    answer.headers["Cache-Control"] = "no-store";
    answer.body = std::move(body);
    return answer;
}

std::string dumped(const Json& body)
{
    return body.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

/// The nests of the season, each with its latest call.
Answer nests(Desk& desk, const Request& request)
{
    const Day on = day_asked(desk, request);
    const auto key = "nests " + format_day(on);
    if (auto kept = desk.memory().body(desk, key)) {
        return geojson(std::move(*kept));
    }
    const auto revision = desk.revision();
    const auto ranked = desk.memory().ranked(desk, on);
    std::map<CallId, const rank::RankedCall*> waiting;
    for (const auto& call : ranked->calls) {
        waiting[call.sheet.call.id] = &call;
    }
    Json features = Json::array();
    desk.read([&](const book::Book& book) {
        std::map<NestId, CallSheet> latest;
        for (auto& sheet : book.calls(on)) {
            if (sheet.nest.season == nature::season_of(on, sheet.site.place.lat)) {
                latest[sheet.nest.id] = std::move(sheet);  // oldest first: the last one stays
            }
        }
        for (const auto& [id, sheet] : latest) {
            const auto found = waiting.find(sheet.call.id);
            const auto* outlook = found == waiting.end() ? nullptr : &found->second->outlook;
            features.push_back(
                {{"type", "Feature"},
                 {"id", id.text()},
                 {"geometry",
                  {{"type", "Point"},
                   {"coordinates", {sheet.site.place.lon.value(), sheet.site.place.lat.value()}}}},
                 {"properties",
                  {{"nest", id.text()},
                   {"call", sheet.call.id.text()},
                   {"key", book::short_key(sheet.call.id.uuid())},
                   {"site_name", sheet.site.label},
                   {"state", text(sheet.call.state)},
                   {"waiting", sheet.call.state == CallState::Waiting},
                   {"species", outlook != nullptr && !outlook->taxon.empty() ? outlook->taxon
                                                                             : sheet.nest.taxon},
                   {"species_name", outlook != nullptr ? Json(outlook->taxon_name) : Json(nullptr)},
                   {"stage", outlook != nullptr ? Json(outlook->stage) : Json(nullptr)},
                   {"grams_p50",
                    outlook != nullptr ? Json(outlook->grams.middle.value()) : Json(nullptr)},
                   {"score", found == waiting.end() ? Json(nullptr) : Json(found->second->score)},
                   {"nest_kind", text(sheet.nest.kind)},
                   {"height_m", or_null(sheet.nest.height)}}}});
        }
    });
    auto body = dumped({{"type", "FeatureCollection"}, {"features", std::move(features)}});
    desk.memory().keep_body(revision, key, body);
    return geojson(std::move(body));
}

Json history_of(const book::Book& book, const CallSheet& sheet)
{
    Json history = Json::array();
    history.push_back({{"at", format_day(sheet.call.received) + "T00:00:00Z"},
                       {"words", "the call came in"},
                       {"by", ""}});
    for (const auto& visit : book.visits(sheet.nest.id)) {
        history.push_back({{"at", format_instant(visit.begun)},
                           {"words", fmt::format("visited: {}", text(visit.method))},
                           {"by", ""}});
        for (const auto& taken : book.catches(visit.id)) {
            history.push_back(
                {{"at", format_instant(taken.frozen_at)},
                 {"words",
                  taken.mass
                      ? fmt::format("{:.1f} g of {} frozen", taken.mass->value(), taken.taxon)
                      : fmt::format("{} wasps of {} frozen", taken.count.value_or(0), taken.taxon)},
                 {"by", ""}});
        }
        for (const auto& comb : book.comb(visit.id)) {
            history.push_back(
                {{"at", format_instant(comb.stands_from.value_or(visit.begun))},
                 {"words", comb.habitat.empty() ? "comb taken" : "comb put into " + comb.habitat},
                 {"by", ""}});
        }
    }
    return history;
}

Answer nest(Desk& desk, const Request& request)
{
    const Day on = day_asked(desk, request);
    const auto preferences = desk.preferences();
    return desk.memory().kept(desk, "nest " + request.parameter("id") + " " + format_day(on), [&] {
        return desk.read([&](const book::Book& book) {
            const auto sheet = *book.call(call_named(book, request.parameter("id")));
            const auto taxa = app::taxa_in_use(book, *preferences);
            const auto report = yield::stage_report(
                *taxa, sheet, on, {}, app::learned_settings(book, *preferences, *taxa, on));
            Json body = call_json(sheet);
            body["on"] = format_day(on);
            body["stage_report"] = Json::parse(sheets::stage_json(report));
            body["history"] = history_of(book, sheet);
            return Json(body);
        });
    });
}

Json ring_of(const density::DensityMap& map, density::CellKey key)
{
    Json ring = Json::array();
    const auto corners = map.hexagons.corners(key);
    for (std::size_t i = 0; i <= corners.size(); ++i) {
        const auto at = map.plane.earth(corners[i % corners.size()]);
        ring.push_back({at.lon.value(), at.lat.value()});
    }
    return ring;
}

std::string density_geojson(const density::DensityMap& map)
{
    Json features = Json::array();
    for (const auto& cell : map.cells) {
        features.push_back(
            {{"type", "Feature"},
             {"geometry",
              {{"type", "Polygon"}, {"coordinates", Json::array({ring_of(map, cell.key)})}}},
             {"properties",
              {{"cell", fmt::format("{},{}", cell.key.q, cell.key.r)},
               {"count", cell.nests},
               {"known", cell.known},
               {"searched_km2", cell.searched_m2 / 1e6},
               {"density", cell.searched_m2 > 0 ? Json(cell.per_km2.middle) : Json(nullptr)},
               {"per_km2", spread(cell.per_km2)},
               {"share", spread(cell.share)}}}});
    }
    return dumped({{"type", "FeatureCollection"},
                   {"what", map.what},
                   {"first_season", map.first_season},
                   {"last_season", map.last_season},
                   {"searched_km2", map.searched_km2},
                   {"caution", sheets::density_caution()},
                   {"features", std::move(features)}});
}

Answer density(Desk& desk, const Request& request)
{
    app::DensityWishes wishes;
    const auto species = request.asked("species").value_or("");
    if (!species.empty()) {
        wishes.species.push_back(species);
    }
    const auto season = request.asked("season").value_or("");
    try {
        std::tie(wishes.first_season, wishes.last_season) =
            app::seasons_of(season.empty() ? std::to_string(year_of(desk.today())) : season);
    } catch (const Failure& failure) {
        throw Refusal{422, "invalid", failure.error().message, "season"};
    }
    const auto key = fmt::format("density {} {}", species, season);
    if (auto kept = desk.memory().body(desk, key)) {
        return geojson(std::move(*kept));
    }
    const auto revision = desk.revision();
    wishes.columns = 20;  // the hexagons alone are shown
    const auto preferences = desk.preferences();
    auto body = desk.read([&](const book::Book& book) {
        return density_geojson(
            app::map_density(book, *preferences, wishes, intake::worker_threads()));
    });
    desk.memory().keep_body(revision, key, body);
    return geojson(std::move(body));
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/nests.geojson", nests},
    Route{Method::Get, "/api/nests/{id}", nest},
    Route{Method::Get, "/api/density.geojson", density},
};

}  // namespace

std::span<const Route> nest_routes() { return kRoutes; }

}  // namespace nestround::desk
