#include "tests/planner/desk/rooms_scene.hpp"

using namespace nestround;
using namespace nestround::test;
using desk::Json;
using desk::Method;

namespace {

const Json kTyped{{"site_name", "new house"}, {"lon", -77.001}, {"lat", 41.2005},
                  {"species", "VGER"},        {"height_m", 3},  {"client_name", "Fern Oddly"}};

}  // namespace

TEST_CASE("CallRoom, ACallIsEnteredOnceHoweverOftenItComes")
{
    RoomScene scene;
    Json body = kTyped;
    body["call_id"] = "5a0c3a7e-1b1d-4c7e-9f00-0123456789ab";
    const auto first = scene.post("/api/calls", body);
    INFO(first.body);
    REQUIRE(first.status == 201);
    CHECK(first.headers.at("ETag").size() > 10);
    CHECK(body_of(first)["species"] == "VGER");
    CHECK(first.body.find("Oddly") == std::string::npos);
    CHECK(scene.post("/api/calls", body).status == 200);
    CHECK(body_of(scene.get("/api/morning"))["waiting"].size() == 4);
    const auto path = "/api/calls/" + body["call_id"].get<std::string>();
    CHECK(scene.get(path, {{"clients", "yes"}}).body.find("Oddly") != std::string::npos);

    // Taken back whole, client and all.
    CHECK(scene.by("Ada", Method::Post, "/api/undo").status == 200);
    CHECK(scene.get(path).status == 404);
    CHECK(scene.by("Ada", Method::Post, "/api/undo").status == 404);
}

TEST_CASE("CallRoom, WrongInputIsRefusedWithItsField")
{
    RoomScene scene;
    const auto field_of = [&](const char* name, const Json& value) {
        Json body = kTyped;
        body[name] = value;
        const auto answer = scene.post("/api/calls", body);
        CHECK(answer.status == 422);
        return body_of(answer)["error"].value("field", "");
    };
    CHECK(field_of("lat", nullptr) == "lon");
    CHECK(field_of("lat", 91) == "lat");
    CHECK(field_of("height_m", "tall") == "height_m");
    CHECK(field_of("species", "dragon") == "species");
    CHECK(field_of("nest_kind", "attic") == "nest_kind");
    CHECK(field_of("allowed", {"8 to 12"}) == "allowed");
    CHECK(field_of("colour", "red") == "colour");
    CHECK(field_of("call_id", "seven") == "call_id");
    CHECK(field_of("near_door", 1) == "near_door");
    CHECK(field_of("lon", 10) == "lon");  // no road within reach
    CHECK(body_of(scene.get("/api/morning"))["waiting"].size() == 3);
}

TEST_CASE("CallRoom, AConflictShowsWhatStandsAndByWhom")
{
    RoomScene scene;
    const auto path = "/api/calls/" + scene.call(0);
    const auto read = scene.get(path);
    const auto tag = read.headers.at("ETag");
    CHECK(scene.by("Ada", Method::Patch, path, {{"note", "hers"}}).status == 428);
    const auto hers =
        scene.by("Ada", Method::Patch, path, {{"note", "hers"}, {"height_m", 4}}, tag);
    INFO(hers.body);
    REQUIRE(hers.status == 200);
    CHECK(hers.headers.at("ETag") != tag);

    const auto his = scene.by("Bo", Method::Patch, path, {{"note", "his"}}, tag);
    REQUIRE(his.status == 412);
    CHECK(body_of(his)["by"] == "Ada");
    CHECK(body_of(his)["present"]["note"] == "hers");
    CHECK(body_of(his)["present"]["height_m"] == 4);
    CHECK(his.headers.at("ETag") == hers.headers.at("ETag"));
    CHECK(his.body.find(kPhone) == std::string::npos);

    CHECK(scene.by("Bo", Method::Patch, path, {{"note", "his"}}, hers.headers.at("ETag")).status ==
          200);
    // Hers was overtaken: nothing is lost in silence.
    CHECK(scene.by("Ada", Method::Post, "/api/undo").status == 409);
    CHECK(scene.by("Bo", Method::Post, "/api/undo").status == 200);
    CHECK(scene.by("Ada", Method::Post, "/api/undo").status == 200);
    const auto now = scene.get(path);
    CHECK(body_of(now)["note"] == "");
    CHECK(body_of(now)["height_m"] == 2.5);
    // The same rows have the same tag again.
    CHECK(now.headers.at("ETag") != hers.headers.at("ETag"));
}

TEST_CASE("CallRoom, HoldOrTakeAndTheCurveOfASpecies")
{
    RoomScene scene;
    const auto held = body_of(scene.get("/api/calls/" + scene.call(0) + "/hold"));
    CHECK(held["days"].size() == 60);
    CHECK(held["days"][0]["on"] == "2026-08-04");
    CHECK_FALSE(held["words"].get<std::string>().empty());
    const auto curve = body_of(scene.get("/api/curve/VMAC", {{"lat", "41.2"}}));
    CHECK(curve["points"].size() > 40);
    CHECK(scene.get("/api/curve/VMAC", {{"lat", "north"}}).status == 422);
}

TEST_CASE("WaspRoom, TraitsGiveRankedSpeciesAndTheNextLook")
{
    RoomScene scene;
    const auto traits = body_of(scene.get("/api/traits"))["traits"];
    REQUIRE(traits.size() > 3);
    const auto answer = scene.post("/api/wasp", {{"nest_kind", "ground"}});
    INFO(answer.body.substr(0, 400));
    REQUIRE(answer.status == 200);
    const auto body = body_of(answer);
    CHECK(body["ranked"][0]["chance"].get<double>() >= body["ranked"][1]["chance"].get<double>());
    CHECK(body["next"].is_string());
    CHECK(scene.post("/api/wasp", {{"traits", {{{"trait", "no such"}, {"answer", "x"}}}}}).status ==
          422);
    CHECK(scene.get("/api/places", {{"q", "41.2, -77"}}).status == 200);
    CHECK(body_of(scene.get("/api/places", {{"q", "41.2, -77"}}))["places"].size() == 1);
    CHECK(scene.get("/api/places").status == 422);
    CHECK(scene.get("/api/places", {{"q", "mill"}, {"near", "x"}}).status == 422);
}

TEST_CASE("NestRoom, MapAndOneNest")
{
    RoomScene scene;
    const auto map = scene.get("/api/nests.geojson");
    REQUIRE(body_of(map)["features"].size() == 3);
    CHECK(body_of(map)["features"][0]["properties"]["waiting"] == true);
    CHECK(map.body.find("Secret") == std::string::npos);
    const auto nest = body_of(map)["features"][0]["id"].get<std::string>();
    const auto one = body_of(scene.get("/api/nests/" + nest));
    CHECK(one["stage_report"].is_object());
    CHECK(one["history"].size() == 1);
    const auto dense = body_of(scene.get("/api/density.geojson", {{"season", "2026"}}));
    CHECK(dense["features"].size() >= 1);
    CHECK(scene.get("/api/density.geojson", {{"season", "soon"}}).status == 422);
}
