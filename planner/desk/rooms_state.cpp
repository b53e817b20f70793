// What the page must know first.
#include <array>

#include "planner/app/taxa_in_use.hpp"
#include "planner/desk/rooms.hpp"

namespace nestround::desk {
namespace {

Answer state(Desk& desk, const Request& request)
{
    desk.memory().met(request.person);
    const auto preferences = desk.preferences();
    Json body;
    body["book"] = desk.options().book.filename().string();
    body["revision"] = desk.revision();
    body["on"] = format_day(desk.today());
    body["version"] = desk.options().version;
    body["region"] = preferences->region;
    body["measures"] = preferences->us_units ? "us_customary" : "metric";
    body["currency"] = preferences->orders.currency;
    body["attribution"] = desk.network() ? std::string{desk.network()->attribution()} : "";
    body["has_roads"] = desk.network() != nullptr;
    body["has_places"] = desk.has_places();
    desk.read([&](const book::Book& book) {
        const auto extent = book.extent();
        body["extent"] =
            extent ? Json::array({extent->west, extent->south, extent->east, extent->north})
                   : Json{};
        const auto crews = book.crews();
        body["place"] = crews.empty() ? Json{}
                                      : Json{{"lon", crews.front().depot.lon.value()},
                                             {"lat", crews.front().depot.lat.value()}};
        body["crews"] = Json::array();
        for (const auto& crew : crews) {
            body["crews"].push_back(Json{{"id", crew.id.text()},
                                         {"name", crew.name},
                                         {"people", crew.people},
                                         {"lon", crew.depot.lon.value()},
                                         {"lat", crew.depot.lat.value()},
                                         {"shift_begins", format_clock(crew.shift_begins)},
                                         {"shift_ends", format_clock(crew.shift_ends)}});
        }
        if (crews.empty() && extent) {
            body["place"] = Json{{"lon", (extent->west + extent->east) / 2},
                                 {"lat", (extent->south + extent->north) / 2}};
        }
        body["species"] = Json::array();
        for (const auto& taxon : app::taxa_in_use(book, *preferences)->taxa()) {
            body["species"].push_back(
                Json{{"code", taxon.code}, {"name", taxon.name}, {"common", taxon.english}});
        }
        body["habitats"] = Json::array();
        for (const auto& habitat : book.habitats()) {
            body["habitats"].push_back(habitat.name);
        }
        body["people"] = desk.memory().people();
    });
    return json(body);
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/state", state},
};

}  // namespace

std::span<const Route> state_routes() { return kRoutes; }

}  // namespace nestround::desk
