#include "tests/planner/desk/rooms_scene.hpp"

using namespace nestround;
using namespace nestround::test;
using desk::Json;

TEST_CASE("MorningRoom, ShowsWhatWaitsWithoutAClientUnlessAskedByName")
{
    RoomScene scene;
    const auto answer = scene.get("/api/morning", {{"on", "2026-08-04"}});
    REQUIRE(answer.status == 200);
    const auto body = body_of(answer);
    REQUIRE(body["waiting"].size() == 3);
    const auto& first = body["waiting"][0];
    CHECK(first["species_name"] == "Vespula maculifrons");
    CHECK(first["grams"]["p10"].get<double>() <= first["grams"]["p50"].get<double>());
    CHECK_FALSE(first["why"].empty());
    CHECK(body["plan"].is_null());
    for (const auto* secret : {"Quill", kPhone, "Secret Lane"}) {
        CHECK(answer.body.find(secret) == std::string::npos);
    }
    const auto named = scene.get("/api/morning", {{"on", "2026-08-04"}, {"clients", "yes"}});
    CHECK(named.body.find(kPhone) != std::string::npos);
    CHECK(scene.get("/api/morning", {{"on", "yesterday"}}).status == 422);
    CHECK(scene.get("/api/morning").status == 200);
}

TEST_CASE("MorningRoom, PlansTheDayAndSaysWhatChanged")
{
    RoomScene scene;
    auto done = scene.work(scene.post("/api/morning/plan", {{"on", "2026-08-04"}}));
    INFO(done.dump().substr(0, 600));
    REQUIRE(done["state"] == "finished");
    const auto& plan = done["result"];
    CHECK(plan["form"] == "nestround-morning");
    CHECK(plan["crews"][0]["stops"].size() == 3);
    CHECK(plan["tours"]["type"] == "FeatureCollection");
    // Pieces follow on each other from leaving to coming home.
    const auto& strip = plan["strips"][0];
    const auto& pieces = strip["pieces"];
    REQUIRE(pieces.size() >= 6);
    CHECK(pieces.front()["from_s"] == plan["crews"][0]["depart_s"]);
    CHECK(pieces.back()["to_s"] == plan["crews"][0]["home_s"]);
    for (std::size_t i = 1; i < pieces.size(); ++i) {
        CHECK(pieces[i]["from_s"] == pieces[i - 1]["to_s"]);
    }
    CHECK(strip["daylight"]["from_s"].get<int>() < strip["daylight"]["to_s"].get<int>());
    CHECK(plan["changed"]["in"].empty());

    // A second person sees it, and without one call the plan says so.
    CHECK(body_of(scene.get("/api/morning"))["plan"]["crews"].size() == 1);
    done = scene.work(scene.post(
        "/api/morning/plan", {{"on", "2026-08-04"}, {"never", {scene.call(1)}}, {"seconds", 1}}));
    REQUIRE(done["state"] == "finished");
    REQUIRE(done["result"]["changed"]["out"].size() == 1);
    CHECK(done["result"]["changed"]["out"][0]["call"] == scene.call(1));

    // Pinned to an hour.
    done = scene.work(
        scene.post("/api/morning/plan",
                   {{"on", "2026-08-04"}, {"pins", {{{"call", scene.call(0)}, {"at", "13:30"}}}}}));
    REQUIRE(done["state"] == "finished");
    bool pinned = false;
    for (const auto& stop : done["result"]["crews"][0]["stops"]) {
        pinned = pinned || (stop["call"]["call_id"] == scene.call(0) && stop["begin"] == "13:30");
    }
    CHECK(pinned);

    // The rest of the day, from the plan that stands.
    done = scene.work(
        scene.post("/api/morning/plan", {{"on", "2026-08-04"}, {"replan", {{"now", "09:00"}}}}));
    INFO(done.dump().substr(0, 300));
    REQUIRE(done["state"] == "finished");
    CHECK_FALSE(done["result"]["from"].is_null());
}

TEST_CASE("MorningRoom, RefusesWhatItCannotPlan")
{
    RoomScene scene;
    const auto path = "/api/morning/plan";
    CHECK(scene.post(path, {{"on", "2026-13-04"}}).status == 422);
    CHECK(scene.post(path, {{"must", {"nothing-like-it"}}}).status == 404);
    CHECK(scene.post(path, {{"pins", {{{"call", scene.call(0)}, {"at", "25:99"}}}}}).status == 422);
    CHECK(scene.post(path, {{"mustt", {scene.call(0)}}}).status == 422);
    CHECK(scene.post(path, {{"replan", {{"now", "09:00"}}}}).status == 409);
    CHECK(body_of(scene.post(path, {{"seconds", "soon"}}))["error"]["field"] == "seconds");
    // A pin that does not fit fails with the rule's own words.
    const auto failed =
        scene.work(scene.post(path, {{"pins", {{{"call", scene.call(0)}, {"at", "05:00"}}}}}));
    CHECK(failed["state"] == "failed");
    CHECK_FALSE(failed["error"]["message"].get<std::string>().empty());

    RoomScene without{false};
    const auto refused = without.post(path, {{"on", "2026-08-04"}});
    CHECK(refused.status == 409);
    CHECK(body_of(refused)["error"]["code"] == "no_roads");
    CHECK(without.get("/api/morning").status == 200);
}

TEST_CASE("Rooms, AnEmptyBookIsAnsweredEverywhere")
{
    DeskScene scene;
    CHECK(body_of(scene.get("/api/state"))["species"].size() > 5);
    CHECK(body_of(scene.get("/api/morning"))["waiting"].empty());
    CHECK(body_of(scene.get("/api/nests.geojson"))["features"].empty());
    CHECK(body_of(scene.get("/api/brood"))["habitats"].empty());
    CHECK(body_of(scene.get("/api/freezer"))["places"].empty());
    CHECK(body_of(scene.get("/api/lots"))["lots"].empty());
    CHECK(body_of(scene.get("/api/orders"))["orders"].empty());
    CHECK(scene.get("/api/density.geojson").status == 404);
    CHECK(scene.get("/api/season").status == 409);
    CHECK(scene.get("/api/calls/3f7a").status == 404);
    CHECK(scene.get("/api/visits/3f7a").status == 404);
    CHECK(scene.get("/api/nests/3f7a").status == 404);
    CHECK(scene.get("/api/curve/VMAC").status == 200);
    CHECK(scene.get("/api/curve/NONE").status == 404);
}
