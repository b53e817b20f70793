#include <fmt/format.h>

#include <set>

#include "planner/app/orders.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/desk/rooms.hpp"
#include "tests/planner/desk/document.hpp"
#include "tests/planner/desk/rooms_scene.hpp"

using namespace nestround;
using namespace nestround::test;
using desk::Json;
using desk::Method;

namespace {

/// Asks, and looks whether the answer is what the document says of that path.
struct Walk : RoomScene {
    Document document;
    std::set<std::string> walked;

    desk::Answer look(const std::string& person, Method method, const std::string& pattern,
                      const std::string& path, const Json& body = nullptr,
                      const std::multimap<std::string, std::string>& query = {},
                      const std::string& tag = {}, const std::string& raw = {})
    {
        desk::Request request;
        request.method = method;
        request.path = path;
        request.query = query;
        request.person = person;
        request.headers["content-type"] = "application/json";
        if (!tag.empty()) {
            request.headers["If-Match"] = tag;
        }
        request.body = raw.empty() && !body.is_null() ? body.dump() : raw;
        auto answer = desk::answer(*desk, request);
        std::string name{desk::text(method)};
        walked.insert(name + " " + pattern);
        std::transform(name.begin(), name.end(), name.begin(), ::tolower);
        INFO(name << " " << path << ": " << answer.status << " " << answer.body.substr(0, 300));
        const auto& paths = document.json()["paths"];
        REQUIRE(paths.contains(pattern));
        REQUIRE(paths[pattern].contains(name));
        const auto& operation = paths[pattern][name];
        const auto status = std::to_string(answer.status);
        const bool is_listed = operation["responses"].contains(status);
        CHECK((is_listed || answer.status >= 400));
        const auto& says = operation["responses"][is_listed ? status : "default"];
        if (says.contains("content")) {
            REQUIRE(says["content"].contains(answer.content_type));
            const auto& content = says["content"][answer.content_type];
            if (content.contains("schema") && content["schema"].value("type", "") != "string") {
                const auto faults = document.faults(content["schema"], Json::parse(answer.body));
                CHECK(faults == std::vector<std::string>{});
            }
        }
        // What was sent is in the document too.
        if (body.is_object() && answer.status < 300) {
            const auto& wanted = operation["requestBody"]["content"]["application/json"]["schema"];
            CHECK(document.faults(wanted, body) == std::vector<std::string>{});
            for (const auto& [field, value] : body.items()) {
                CHECK(wanted["properties"].contains(field));
            }
        }
        return answer;
    }
    desk::Answer get(const std::string& pattern, const std::string& path,
                     const std::multimap<std::string, std::string>& query = {})
    {
        return look("Ada", Method::Get, pattern, path, nullptr, query);
    }
};

const char* const kSmallPng =
    "\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0\0\0\0\0\0\0\0\0IEND\0\0\0\0";

}  // namespace

TEST_CASE("RoomDocument, EveryAnswerIsWhatTheDocumentSaysAndEveryRouteIsInIt")
{
    Walk w;
    const std::string call = "/api/calls/" + w.call(0);
    w.get("/api/state", "/api/state");
    w.get("/api/morning", "/api/morning");
    w.get("/api/morning", "/api/morning", {{"clients", "yes"}});
    const auto started = w.look("Ada", Method::Post, "/api/morning/plan", "/api/morning/plan",
                                {{"on", "2026-08-04"}, {"never", {w.call(2)}}, {"seconds", 1}});
    const auto done = w.work(started);
    const auto& schemas = w.document.json()["components"]["schemas"];
    CHECK(w.document.faults(schemas["Work"], done) == std::vector<std::string>{});
    CHECK(w.document.faults(schemas["DayPlan"], done["result"]) == std::vector<std::string>{});
    w.get("/api/nests.geojson", "/api/nests.geojson");
    w.get("/api/nests/{id}", "/api/nests/" + w.call(0));
    w.get("/api/density.geojson", "/api/density.geojson", {{"season", "2026"}});
    w.get("/api/density.geojson", "/api/density.geojson", {{"season", "never"}});

    const auto read = w.get("/api/calls/{id}", call, {{"clients", "yes"}});
    w.get("/api/calls/{id}", "/api/calls/none");
    const auto tag = read.headers.at("ETag");
    w.look("Ada", Method::Patch, "/api/calls/{id}", call, {{"note", "hers"}}, {}, tag);
    const auto late =
        w.look("Bo", Method::Patch, "/api/calls/{id}", call, {{"note", "his"}}, {}, tag);
    CHECK(late.status == 412);
    w.look("Bo", Method::Patch, "/api/calls/{id}", call, {{"note", "his"}});
    w.look("Ada", Method::Post, "/api/undo", "/api/undo", Json::object());
    w.get("/api/calls/{id}/hold", call + "/hold");
    w.get("/api/curve/{species}", "/api/curve/VMAC");
    w.get("/api/places", "/api/places", {{"q", "41.2, -77.0"}});
    w.get("/api/traits", "/api/traits");
    w.look("Ada", Method::Post, "/api/wasp", "/api/wasp", {{"nest_kind", "ground"}});

    const auto photo = w.look("Ada", Method::Post, "/api/photos", "/api/photos", nullptr, {}, {},
                              std::string{kSmallPng, 45});
    REQUIRE(photo.status == 201);
    const auto id = body_of(photo)["id"].get<std::string>();
    w.get("/api/photos/{id}", "/api/photos/" + id);
    const auto entered =
        w.look("Ada", Method::Post, "/api/calls", "/api/calls",
               {{"site_name", "new"}, {"lon", -77.001}, {"lat", 41.2005}, {"photos", {id}}});
    CHECK(entered.status == 201);

    const std::string steps = "/api/visits/" + w.call(1);
    int number = 0;
    const auto step = [&](const char* name, Json more) {
        more["step_id"] = fmt::format("5a0c3a7e-1b1d-4c7e-9f00-{:012}", ++number);
        more["step"] = name;
        more["at"] = fmt::format("2026-08-03T12:{:02}:00Z", number);
        return w.look("Ada", Method::Post, "/api/visits/{call}/steps", steps + "/steps", more);
    };
    CHECK(step("ladder", Json::object()).status == 201);
    CHECK(step("catch", {{"grams", 40}, {"containers", 2}, {"workers", 250}}).status == 201);
    const auto comb =
        body_of(step("comb", {{"cells", 120}, {"habitat", "warm box"}}))["made"].get<std::string>();
    w.get("/api/visits/{call}", steps);
    w.get("/api/brood", "/api/brood");
    w.look("Ada", Method::Post, "/api/combs/{id}/counts", "/api/combs/" + comb + "/counts",
           {{"sealed", 130}});
    w.look("Ada", Method::Post, "/api/collections", "/api/collections",
           {{"comb", comb}, {"workers", 12}, {"at", "2026-08-04T10:00:00Z"}});
    const auto loose = body_of(w.get("/api/freezer", "/api/freezer"))["loose"];
    REQUIRE_FALSE(loose.empty());
    const auto lot = w.look("Ada", Method::Post, "/api/lots", "/api/lots",
                            {{"catches", {loose[0]["id"]}}, {"freezer", "A"}});
    REQUIRE(lot.status == 201);
    const auto code = body_of(lot)["code"].get<std::string>();
    w.get("/api/freezer", "/api/freezer");
    w.get("/api/lots", "/api/lots");
    w.get("/api/lots/{code}/trace", "/api/lots/" + code + "/trace");
    w.get("/api/lots/{code}/label.pdf", "/api/lots/" + code + "/label.pdf");
    w.desk->write([](book::Book& book) {
        app::OrderWishes wishes;
        wishes.laboratory = "Glass House";
        wishes.species = "VMAC";
        wishes.wanted = Grams{100};
        wishes.placed = *parse_day("2026-08-01");
        app::KeyMaker keys{3};
        (void)app::add_order(book, *app::taxa_in_use(""), wishes,
                             *parse_instant("2026-08-01T08:00:00Z"), keys);
    });
    w.desk->changed("order", "", "");
    const auto named = w.get("/api/orders", "/api/orders", {{"laboratories", "yes"}});
    CHECK(body_of(named)["orders"].size() == 1);
    CHECK(named.body.find("Glass House") != std::string::npos);
    CHECK(w.get("/api/orders", "/api/orders").body.find("Glass House") == std::string::npos);
    const auto season =
        w.work(w.get("/api/season", "/api/season", {{"from", "2026-08-04"}, {"to", "2026-08-06"}}));
    CHECK(season["state"] == "finished");

    std::set<std::string> routes;
    for (const auto& table : desk::room_tables()) {
        for (const auto& route : table) {
            routes.insert(std::string{desk::text(route.method)} + " " + std::string{route.path});
        }
    }
    CHECK(w.walked == routes);
}
