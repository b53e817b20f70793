// What the page must know first.
#include <array>

#include "planner/desk/rooms.hpp"

namespace nestround::desk {
namespace {

Answer state(Desk& desk, const Request&)
{
    const auto preferences = desk.preferences();
    Json body;
    body["book"] = desk.options().book.filename().string();
    body["revision"] = desk.revision();
    body["on"] = format_day(desk.today());
    body["version"] = desk.options().version;
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
            body["crews"].push_back(Json{{"name", crew.name}});
        }
    });
    return json(body);
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/state", state},
};

}  // namespace

std::span<const Route> state_routes() { return kRoutes; }

}  // namespace nestround::desk
