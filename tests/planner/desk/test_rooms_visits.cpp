#include "planner/app/import_catches.hpp"
#include "tests/planner/desk/rooms_scene.hpp"

using namespace nestround;
using namespace nestround::test;
using desk::Json;
using desk::Method;

namespace {

std::string step_id(int n) { return "5a0c3a7e-1b1d-4c7e-9f00-00000000000" + std::to_string(n); }

struct Steps : RoomScene {
    std::string path = "/api/visits/" + call(0) + "/steps";
    desk::Answer step(int n, const char* name, const char* at, Json more = Json::object())
    {
        more["step_id"] = step_id(n);
        more["step"] = name;
        more["at"] = at;
        return post(path, more);
    }
};

}  // namespace

TEST_CASE("VisitRoom, StepsMakeOneVisitAndAreTakenOnce")
{
    Steps scene;
    CHECK(scene.step(1, "arrive", "2026-08-04T12:00:00Z").status == 201);
    CHECK(scene.step(2, "from_the_ground", "2026-08-04T12:05:00Z").status == 201);
    const Json figures{{"grams", 42.5}, {"workers", 300}, {"containers", 2}};
    const auto first = scene.step(3, "catch", "2026-08-04T12:40:00Z", figures);
    INFO(first.body);
    REQUIRE(first.status == 201);
    const auto again = scene.step(3, "catch", "2026-08-04T12:40:00Z", figures);
    CHECK(again.status == 200);
    CHECK(again.body == first.body);
    CHECK(scene.step(3, "comb", "2026-08-04T12:40:00Z").status == 409);
    CHECK(scene.step(4, "comb", "2026-08-04T12:50:00Z", {{"combs", 2}, {"cells", 120}}).status ==
          201);
    CHECK(scene.step(5, "done", "2026-08-04T13:00:00Z").status == 201);

    const auto body = body_of(scene.get("/api/visits/" + scene.call(0)));
    REQUIRE(body["visits"].size() == 1);
    CHECK(body["steps"].size() == 5);
    CHECK(body["state"] == "taken");
    const auto& visit = body["visits"][0];
    CHECK(visit["method"] == "ground_pole");
    CHECK(visit["catches"].size() == 1);
    CHECK(visit["combs"][0]["sealed"] == 120);
    CHECK(visit["ended"] == "2026-08-04T13:00:00.000Z");
    // A visit afterwards is another one.
    CHECK(scene.step(6, "arrive", "2026-08-06T12:00:00Z").status == 201);
    CHECK(body_of(scene.get("/api/visits/" + scene.call(0)))["visits"].size() == 2);
}

TEST_CASE("VisitRoom, ACatchIsTheSameAsTheOneTakenFromAList")
{
    Steps scene;
    REQUIRE(scene.step(1, "from_the_ground", "2026-08-04T12:00:00Z").status == 201);
    REQUIRE(
        scene
            .step(2, "catch", "2026-08-04T12:40:00Z",
                  {{"grams", 42.5}, {"workers", 300}, {"containers", "bag 7"}, {"note", "calm"}})
            .status == 201);
    // The same in a second book, by the use case behind `catch import`.
    auto book = book::Book::open(scene.options.book);
    auto other = *book.call(scene.calls[1]);
    other.call.source_key = "K1";
    {
        book::Change change{book, *parse_instant("2026-08-04T00:00:00Z")};
        change.update(other.call);
        change.commit();
    }
    intake::CatchBatch batch;
    intake::CatchRow row;
    row.call = "K1";
    row.visit.begun = *parse_instant("2026-08-04T12:00:00Z");
    row.visit.method = WorkMethod::GroundPole;
    row.taken.taxon = "VMAC";
    row.taken.mass = Grams{42.5};
    row.taken.count = 300;
    row.taken.container = "bag 7";
    row.taken.note = "calm";
    row.taken.frozen_at = *parse_instant("2026-08-04T12:40:00Z");
    batch.rows.push_back(row);
    app::KeyMaker keys{5};
    CHECK(app::import_catches(book, batch, *parse_instant("2026-08-04T14:00:00Z"), keys).added ==
          1);

    const auto rows = [&](std::size_t n) {
        const auto sheet = *book.call(scene.calls[n]);
        const auto visits = book.visits(sheet.nest.id);
        REQUIRE(visits.size() == 1);
        const auto caught = book.catches(visits[0].id);
        REQUIRE(caught.size() == 1);
        return std::tuple{visits[0].begun,   visits[0].method,    visits[0].ended,
                          visits[0].outcome, caught[0].taxon,     caught[0].mass->value(),
                          caught[0].count,   caught[0].frozen_at, caught[0].container,
                          caught[0].note,    sheet.call.state,    sheet.call.closed};
    };
    CHECK(rows(0) == rows(1));
}

TEST_CASE("VisitRoom, WrongStepsAreRefusedAndTheLastCanBeTakenBack")
{
    Steps scene;
    CHECK(scene.step(1, "fly", "2026-08-04T12:00:00Z").status == 422);
    CHECK(scene.step(1, "arrive", "noon").status == 422);
    CHECK(scene.step(1, "catch", "2026-08-04T12:00:00Z", {{"grams", -1}}).status == 422);
    CHECK(scene.post(scene.path, {{"step_id", "1"}, {"step", "arrive"}}).status == 422);
    CHECK(scene
              .post("/api/visits/ffff/steps",
                    {{"step_id", step_id(1)}, {"step", "arrive"}, {"at", "2026-08-04T12:00:00Z"}})
              .status == 404);
    CHECK(scene.step(1, "catch", "2026-08-04T12:00:00Z", {{"crew", "no such"}}).status == 404);
    CHECK(body_of(scene.get("/api/visits/" + scene.call(0)))["visits"].empty());

    REQUIRE(scene.step(2, "catch", "2026-08-04T12:00:00Z", {{"grams", 5}}).status == 201);
    CHECK(body_of(scene.get("/api/visits/" + scene.call(0)))["state"] == "taken");
    const auto undone = scene.by("Ada", Method::Post, "/api/undo");
    INFO(undone.body);
    REQUIRE(undone.status == 200);
    const auto body = body_of(scene.get("/api/visits/" + scene.call(0)));
    CHECK(body["state"] == "waiting");
    CHECK(body["visits"].empty());
    CHECK(body["steps"].empty());
}

TEST_CASE("BroodRoom, CombIsCountedPutInAndCollected")
{
    Steps scene;
    REQUIRE(scene.step(1, "catch", "2026-08-03T12:00:00Z", {{"grams", 40}}).status == 201);
    REQUIRE(scene.step(2, "comb", "2026-08-03T12:30:00Z", {{"cells", 150}}).status == 201);
    const auto comb =
        body_of(scene.get("/api/visits/" + scene.call(0)))["visits"][0]["combs"][0]["comb"]
            .get<std::string>();
    const auto counts =
        scene.post("/api/combs/" + comb + "/counts", {{"sealed", 170}, {"habitat", "warm box"}});
    INFO(counts.body);
    REQUIRE(counts.status == 200);
    CHECK(body_of(counts)["counted"] == "counted");
    CHECK(scene.post("/api/combs/" + comb + "/counts", {{"habitat", "cold box"}}).status == 404);
    CHECK(scene.post("/api/combs/" + comb + "/counts", Json::object()).status == 422);

    const auto brood = body_of(scene.get("/api/brood", {{"on", "2026-08-04"}}));
    REQUIRE(brood["habitats"].size() == 1);
    CHECK(brood["habitats"][0]["combs"].size() == 1);
    // A phone whose answer was lost sends it again: it is there once.
    const Json again{{"collection_id", "01987000-0000-7000-8000-00000000c011"},
                     {"comb", comb},
                     {"workers", 7},
                     {"at", "2026-08-04T12:30:00Z"}};
    for (int sent = 0; sent < 2; ++sent) {
        const auto answer = scene.post("/api/collections", again);
        INFO(answer.body);
        CHECK(answer.status == 201);
        CHECK(body_of(answer)["collection"] == again["collection_id"]);
    }
    const auto stands = body_of(scene.get("/api/brood", {{"on", "2026-08-04"}}));
    CHECK(stands["habitats"][0]["combs"][0]["collections"].size() == 1);
    CHECK(scene.by("Ada", Method::Post, "/api/undo").status == 200);
    CHECK(
        scene.post("/api/collections", {{"comb", comb}, {"workers", 7}, {"collection_id", "twice"}})
            .status == 422);
    const auto collected = scene.post(
        "/api/collections",
        {{"comb", comb}, {"workers", 20}, {"grams", 1.4}, {"at", "2026-08-04T12:00:00Z"}});
    INFO(collected.body);
    CHECK(collected.status == 201);
    CHECK(scene.post("/api/collections", {{"comb", comb}}).status == 422);
    CHECK(scene.post("/api/collections", {{"workers", 3}}).status == 422);
    CHECK(scene.by("Ada", Method::Post, "/api/undo").status == 200);

    // Into a bag, its label, its way back; and a seal stays.
    const auto catches = body_of(scene.get("/api/freezer"))["loose"];
    REQUIRE(catches.size() == 1);
    const auto sealed =
        scene.post("/api/lots", {{"catches", {catches[0]["id"]}}, {"freezer", "A"}});
    INFO(sealed.body);
    REQUIRE(sealed.status == 201);
    const auto code = body_of(sealed)["code"].get<std::string>();
    CHECK(scene.by("Ada", Method::Post, "/api/undo").status == 409);
    const auto label = scene.get("/api/lots/" + code + "/label.pdf");
    CHECK(label.body.starts_with("%PDF"));
    const auto trace = scene.get("/api/lots/" + code + "/trace");
    CHECK(body_of(trace)["from"][0]["call"] == scene.call(0));
    CHECK(trace.body.find(kPhone) == std::string::npos);
    CHECK(body_of(scene.get("/api/freezer"))["places"][0]["lots"].size() == 1);
    CHECK(scene.get("/api/lots/NONE/trace").status >= 404);
    CHECK(scene.post("/api/lots", Json::object()).status == 422);
}

TEST_CASE("SeasonRoom, IsAWorkThatGivesTheSeason")
{
    RoomScene scene;
    const auto done = scene.work(scene.get(
        "/api/season", {{"from", "2026-08-04"}, {"to", "2026-08-10"}, {"off", "sunday"}}));
    INFO(done.dump().substr(0, 400));
    REQUIRE(done["state"] == "finished");
    CHECK(done["result"]["form"] == "nestround-season");
    CHECK(done["result"]["calls"].size() == 3);
    CHECK(scene.get("/api/season", {{"from", "2026-08-04"}, {"to", "2026-08-01"}}).status == 422);
}
