#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "planner/app/standing_day.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using Catch::Matchers::Contains;

namespace {

constexpr const char* kPlan = R"({"form": "nestround-morning", "day": "2026-08-04", "crews": [
 {"name": "North", "depot": {"lon_deg": -77, "lat_deg": 41.2}, "depart_s": 28800, "pause": null,
  "stops": [
  {"begin_s": 30000, "leave_s": 33000, "call": {"call_id": "01890000-0000-7000-8000-000000000001",
    "label": "mill", "place": {"lon_deg": -77.1, "lat_deg": 41.3}}},
  {"begin_s": 40000, "leave_s": 43000, "call": {"call_id": "01890000-0000-7000-8000-000000000002",
    "label": "barn", "place": {"lon_deg": -77.2, "lat_deg": 41.4}}}]}]})";

struct Scene {
    Scene()
    {
        crew.name = "North";
        crew.depot = {Longitude{-77.0}, Latitude{41.2}};
        wishes.plan = folder.write("plan.json", kPlan);
        wishes.now = "09:00";
    }
    app::StandingDay stand()
    {
        return app::standing_day(book, wishes, parse_day("2026-08-04").value(), {crew}, settings);
    }
    std::string refusal()
    {
        try {
            static_cast<void>(stand());
        } catch (const Failure& failure) {
            return failure.error().text();
        }
        return "taken";
    }

    test::ScratchFolder folder;
    book::Book book = book::Book::create(folder.file("b.gpkg"), Instant{});
    Crew crew;
    day::DaySettings settings;
    app::StandingWishes wishes;
};

}  // namespace

TEST_CASE("StandingDay, ByTheClockWorkInHandEndsAsPlannedAndTheRestIsToCome")
{
    Scene scene;
    const auto day = scene.stand();  // 09:00 is 32400 s: the mill is in hand until 33000 s
    const auto& crew = day.standing.crews.at(0);
    CHECK(crew.free_at == ClockTime{seconds{33000}});
    CHECK(crew.is_out);
    CHECK(crew.at.lat.value() == 41.3);
    REQUIRE(crew.planned.size() == 1);
    CHECK(crew.planned[0].second == ClockTime{seconds{40000}});
    CHECK(day.standing.done.size() == 1);
    CHECK_THAT(day.notes.at(0), Contains("in hand until 09:10: mill"));
    CHECK_FALSE(crew.home_by);
}

TEST_CASE("StandingDay, BeforeTheCrewLeavesItIsAtTheDepot")
{
    Scene scene;
    scene.wishes.now = "07:00";
    const auto crew = scene.stand().standing.crews.at(0);
    CHECK_FALSE(crew.is_out);
    CHECK(crew.at.lat.value() == 41.2);
    CHECK(crew.planned.size() == 2);
}

TEST_CASE("StandingDay, APlaceGivenWinsAndLiveCombSetsTheReturn")
{
    Scene scene;
    scene.wishes.at = {"North=41.25,-77.05"};
    scene.settings.comb_ride_limit = seconds{3600};
    scene.wishes.now = "09:20";
    const auto crew = scene.stand().standing.crews.at(0);
    CHECK(crew.at.lat.value() == 41.25);
    CHECK(crew.home_by == ClockTime{seconds{36600}});  // an hour after it left the mill
    scene.wishes.at = {"41.26,-77.05"};
    CHECK(scene.stand().standing.crews.at(0).at.lat.value() == 41.26);
}

TEST_CASE("StandingDay, WhatDoesNotFitIsRefusedWithTheWayOut")
{
    Scene scene;
    scene.wishes.now = "";
    CHECK_THAT(scene.refusal(), Contains("--now HH:MM"));
    scene.wishes.now = "09:00";
    scene.wishes.at = {"South=41,-77"};
    CHECK_THAT(scene.refusal(), Contains("'South'"));
    scene.wishes.at = {"nowhere"};
    CHECK_THAT(scene.refusal(), Contains("--at"));
    scene.wishes.at.clear();
    scene.wishes.done = {"ffffff"};
    CHECK(scene.refusal() != "taken");
    scene.wishes.done.clear();
    scene.wishes.plan = scene.folder.write("half.json", std::string{kPlan}.substr(0, 200));
    CHECK_THAT(scene.refusal(), Contains("half.json") && Contains("write it anew"));
    scene.wishes.plan = scene.folder.write("rank.json", R"({"form": "nestround-rank"})");
    CHECK_THAT(scene.refusal(), Contains("no plan of a morning"));
    auto json = nlohmann::json::parse(kPlan);
    json["day"] = "2026-08-03";
    scene.wishes.plan = scene.folder.write("old.json", json.dump());
    CHECK_THAT(scene.refusal(), Contains("the plan of 2026-08-03"));
    scene.wishes.plan = scene.folder.file("none.json");
    CHECK_THAT(scene.refusal(), Contains("no such file"));
}
