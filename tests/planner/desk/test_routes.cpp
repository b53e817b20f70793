#include "planner/desk/routes.hpp"

#include <array>
#include <catch2/catch.hpp>

#include "tests/planner/desk/desk_scene.hpp"

namespace nestround::desk {
namespace {

Answer say(Desk&, const Request& request)
{
    Json body = Json::object();
    for (const auto& [name, value] : request.path_parameters) {
        body[name] = value;
    }
    return json(body);
}
Answer special(Desk&, const Request&) { return json(Json{{"special", true}}); }
Answer take(Desk&, const Request& request) { return json(body_object(request), 201); }
Answer break_rule(Desk&, const Request&)
{
    throw Failure{ErrorCode::RuleBroken, "the lot is sealed", "lot L1"};
}
Answer wrong(Desk&, const Request&) { throw std::runtime_error{"a promise broke"}; }

constexpr std::array kRoutes{
    Route{Method::Get, "/things/{id}", say},
    Route{Method::Get, "/things/special", special},
    Route{Method::Get, "/things/{id}/label.pdf", say},
    Route{Method::Get, "/tiles/{z}/{x}/{y}.mvt", say},
    Route{Method::Post, "/things", take},
    Route{Method::Post, "/things/{id}", break_rule},
    Route{Method::Get, "/wrong", wrong},
};

Answer ask(test::DeskScene& scene, Method method, const std::string& path,
           const std::string& body = {}, const std::string& type = "application/json")
{
    Request request;
    request.method = method;
    request.path = path;
    request.body = body;
    request.headers["Content-Type"] = type;
    return answer(*scene.desk, request, Tables{kRoutes});
}

}  // namespace

TEST_CASE("Routes, FillTheirParameters")
{
    test::DeskScene scene;
    CHECK(ask(scene, Method::Get, "/things/7").body == "{\"id\":\"7\"}\n");
    CHECK(ask(scene, Method::Get, "/things/special").body == "{\"special\":true}\n");
    CHECK(ask(scene, Method::Get, "/things/7/label.pdf").body == "{\"id\":\"7\"}\n");
    CHECK(ask(scene, Method::Get, "/tiles/3/4/5.mvt").body ==
          "{\"x\":\"4\",\"y\":\"5\",\"z\":\"3\"}\n");
    for (const char* nowhere : {"/things/", "/things/7/", "/things/7/label.pdfx", "/tiles/3/4/.mvt",
                                "/tiles/3/4/5", "", "/", "//", "things/7"}) {
        INFO(nowhere);
        CHECK(ask(scene, Method::Get, nowhere).status == 404);
    }
}

TEST_CASE("Routes, TurnWhatIsThrownIntoAnswers")
{
    test::DeskScene scene;
    const auto broken = ask(scene, Method::Post, "/things/7");
    CHECK(broken.status == 409);
    CHECK(test::body_of(broken)["error"]["code"] == "rule_broken");
    CHECK(test::body_of(broken)["error"]["message"] == "lot L1: the lot is sealed");
    CHECK(ask(scene, Method::Get, "/wrong").status == 500);
    const auto other = ask(scene, Method::Delete, "/things/7");
    CHECK(other.status == 405);
    CHECK(other.headers.at("allow") == "GET, POST");
}

TEST_CASE("Bodies, MustBeJsonObjects")
{
    test::DeskScene scene;
    CHECK(ask(scene, Method::Post, "/things", R"({"a":1})").status == 201);
    CHECK(ask(scene, Method::Post, "/things", R"({"a":1})", "Application/JSON; charset=utf-8")
              .status == 201);
    CHECK(ask(scene, Method::Post, "/things", R"({"a":1})", "text/plain").status == 415);
    CHECK(ask(scene, Method::Post, "/things", "{").status == 400);
    CHECK(ask(scene, Method::Post, "/things", "[1]").status == 400);
    CHECK(ask(scene, Method::Post, "/things", std::string(100000, '[')).status == 400);
}

TEST_CASE("Desk, TellsOfChangesOfOtherPrograms")
{
    test::DeskScene scene;
    const auto before = scene.desk->revision();
    CHECK_FALSE(scene.desk->look_for_changes());
    scene.desk->write([](book::Book& book) {
        book::Change change{book, *parse_instant("2026-08-04T06:00:00Z")};
        change.set_setting("region.name", "here");
        change.commit();
    });
    CHECK_FALSE(scene.desk->look_for_changes());  // its own: changed() is told by who wrote
    {
        auto other = book::Book::open(scene.options.book);
        book::Change change{other, *parse_instant("2026-08-04T06:00:00Z")};
        change.set_setting("region.name", "there");
        change.set_setting("units.style", "us");
        change.commit();
    }
    CHECK(scene.desk->look_for_changes());
    CHECK(scene.desk->revision() == before + 1);
    CHECK_FALSE(scene.desk->look_for_changes());
    const auto news = scene.desk->events().wait(0, std::chrono::milliseconds{0});
    REQUIRE(news);
    REQUIRE(news->size() == 1);
    CHECK(news->front().name == "changed");
}

TEST_CASE("Works, ReportFinishAndStop")
{
    test::DeskScene scene;
    auto& works = scene.desk->works();
    const auto wait_for = [&](const std::string& name, const std::string& state) {
        for (int i = 0; i < 500 && works.state(name)->state != state; ++i) {
            std::this_thread::sleep_for(std::chrono::milliseconds{10});
        }
        return works.state(name)->state == state;
    };
    const auto good = works.start([](const Progress& progress) {
        progress.report(0.5, "half");
        return Json{{"answer", 42}};
    });
    REQUIRE(wait_for(good, "finished"));
    CHECK(test::body_of(scene.get("/api/works/" + good))["result"]["answer"] == 42);

    const auto bad = works.start([](const Progress&) -> Json {
        throw Failure{ErrorCode::Infeasible, "no crew can drive"};
    });
    REQUIRE(wait_for(bad, "failed"));
    CHECK(test::body_of(scene.get("/api/works/" + bad))["error"]["message"] == "no crew can drive");

    const auto endless = works.start([](const Progress& progress) -> Json {
        for (;;) {
            progress.report(0.1, "on");
            std::this_thread::sleep_for(std::chrono::milliseconds{1});
        }
    });
    const auto behind = works.start([](const Progress&) { return Json{}; });
    REQUIRE(wait_for(endless, "running"));
    CHECK(works.state(behind)->state == "waiting");
    CHECK(scene.ask(Method::Delete, "/api/works/" + behind).status == 204);
    CHECK(works.state(behind)->state == "cancelled");
    CHECK(scene.ask(Method::Delete, "/api/works/" + endless).status == 204);
    CHECK(wait_for(endless, "cancelled"));
    CHECK(scene.get("/api/works/w99").status == 404);
}

TEST_CASE("Events, AreTakenUpWhereTheLineBroke")
{
    EventHub hub;
    CHECK(hub.wait(0, std::chrono::milliseconds{0})->empty());
    hub.publish("changed", "{}");
    hub.publish("progress", "{\"a\":\n1}");
    const auto all = hub.wait(0, std::chrono::milliseconds{0});
    REQUIRE(all->size() == 2);
    CHECK(event_text(all->back()) == "id: 2\nevent: progress\ndata: {\"a\": 1}\n\n");
    CHECK(hub.wait(1, std::chrono::milliseconds{0})->size() == 1);
    CHECK(hub.wait(99, std::chrono::milliseconds{0})->front().name == "missed");
    for (std::size_t i = 0; i < EventHub::kKept; ++i) {
        hub.publish("changed", "{}");
    }
    CHECK(hub.wait(1, std::chrono::milliseconds{0})->front().name == "missed");
    hub.close();
    CHECK_FALSE(hub.wait(1, std::chrono::milliseconds{0}).has_value());
}

TEST_CASE("State, NamesTheBookAndTheDay")
{
    test::DeskScene scene;
    const auto answer = scene.get("/api/state");
    REQUIRE(answer.status == 200);
    const auto body = test::body_of(answer);
    CHECK(body["book"] == "book.gpkg");
    CHECK(body["on"] == "2026-08-04");
    CHECK(body["has_roads"] == false);
    CHECK(body["extent"].is_null());
    CHECK(body["crews"].empty());
}

}  // namespace nestround::desk
