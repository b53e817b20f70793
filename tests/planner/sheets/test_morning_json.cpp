#include "planner/sheets/morning_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "tests/support/catch.hpp"
#include "tests/support/sample_day.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;
using nlohmann::json;

namespace {

day::DayPlan plan_of_test()
{
    const testing::SampleWeb web;
    return testing::sample_day(web);
}

std::vector<rank::RankedCall> calls_of(const day::DayPlan& plan)
{
    std::vector<rank::RankedCall> calls;
    for (const day::LeftOut& left : plan.left_out) {
        calls.push_back(left.call);
    }
    return calls;
}

void keys_of(const json& value, std::set<std::string>& keys)
{
    if (!value.is_structured()) {
        return;
    }
    for (const auto& [key, inner] : value.items()) {
        if (value.is_object()) {
            keys.insert(key);
        }
        keys_of(inner, keys);
    }
}

}  // namespace

TEST_CASE("MorningJson, CarriesThePlanUnrounded")
{
    const day::DayPlan plan = plan_of_test();
    const json out = json::parse(morning_json(plan));
    CHECK(out["form"] == "nestround-morning");
    CHECK(out["day"] == "2026-08-04");
    CHECK(out["checked"] == true);
    REQUIRE(out["crews"].size() == plan.crews.size());
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        const json& crew = out["crews"][c];
        CHECK(crew["drive_total_s"] == plan.crews[c].driving.count());
        CHECK(crew["road_total_m"] == plan.crews[c].driven.value());
        REQUIRE(crew["stops"].size() == plan.crews[c].stops.size());
        for (std::size_t s = 0; s < plan.crews[c].stops.size(); ++s) {
            const day::PlannedStop& stop = plan.crews[c].stops[s];
            const json& shown = crew["stops"][s];
            CHECK(shown["drive_s"] == stop.drive.count());
            CHECK(shown["road_m"] == stop.drive_length.value());
            CHECK(shown["arrive_s"] == stop.arrive.since_midnight().count());
            CHECK(shown["leave"] == format_clock(stop.leave));
            CHECK(shown["call"]["call_id"] == stop.call.sheet.call.id.text());
            CHECK(shown["call"]["outlook"]["grams_p50"] == stop.call.outlook.grams.middle.value());
            CHECK(shown["call"]["outlook"]["workers_p90"] == stop.call.outlook.workers.high);
        }
    }
    CHECK(out["left_out"].size() == plan.left_out.size());
    CHECK(out["crews"][0]["pause"]["length_s"] == 1800);
}

TEST_CASE("MorningJson, KeepsPrivateWordsUnlessAsked")
{
    const day::DayPlan plan = plan_of_test();
    const std::string closed = morning_json(plan);
    CHECK(closed.find("Quillfeather") == std::string::npos);
    CHECK(closed.find("Ottoline") == std::string::npos);
    const std::string open = morning_json(plan, {true});
    CHECK(open.find("Quillfeather") != std::string::npos);
    CHECK(open.find("Ottoline") == std::string::npos);
    CHECK(rank_json(calls_of(plan), plan.day).find("Quillfeather") == std::string::npos);
    CHECK(rank_json(calls_of(plan), plan.day, {true}).find("Quillfeather") != std::string::npos);
}

TEST_CASE("MorningJson, IsValidWhateverTheBookHolds")
{
    day::DayPlan plan = plan_of_test();
    plan.crews[0].stops[0].call.sheet.site.label = "quote \" back \\ broken \xff end";
    plan.crews[0].stops[0].call.outlook.grams.high = Grams{std::nan("")};
    plan.total_score = INFINITY;
    plan.within_percent = std::nan("");
    const json out = json::parse(morning_json(plan));
    CHECK(out["total_score"].is_null());
    CHECK(out["within_percent_of_best"].is_null());
    const json& call = out["crews"][0]["stops"][0]["call"];
    CHECK(call["outlook"]["grams_p90"].is_null());
    CHECK(call["label"] == "quote \" back \\ broken \ufffd end");
}

TEST_CASE("RankJson, NumbersCallsFromOne")
{
    const day::DayPlan plan = plan_of_test();
    const json out = json::parse(rank_json(calls_of(plan), plan.day));
    CHECK(out["form"] == "nestround-rank");
    REQUIRE(out["calls"].size() == 5);
    CHECK(out["calls"][0]["rank"] == 1);
    CHECK(out["calls"][4]["rank"] == 5);
    CHECK(out["calls"][0]["call"]["label"] == plan.left_out[0].call.sheet.site.label);
}

TEST_CASE("MorningJson, EveryKeyIsInTheReference")
{
    const day::DayPlan plan = plan_of_test();
    std::set<std::string> keys;
    keys_of(json::parse(morning_json(plan, {true})), keys);
    // A day planned again has more to say.
    day::DayPlan again = plan;
    again.from = ClockTime::at(11, 20);
    again.explained.push_back({plan.left_out[0].call, {"because"}});
    again.changes.emplace_back().call = plan.left_out[0].call;
    keys_of(json::parse(morning_json(again, {true})), keys);
    keys_of(json::parse(rank_json(calls_of(plan), plan.day, {true})), keys);
    const std::string page =
        testing::read_all(NESTROUND_SOURCE_DIR "/docs/reference/morning-json.md");
    for (const std::string& key : keys) {
        INFO(key);
        CHECK(page.find("`" + key + "`") != std::string::npos);
    }
    // And the page names no key that is not there.
    for (std::size_t at = page.find("\n| `"); at != std::string::npos;
         at = page.find("\n| `", at + 1)) {
        const std::string key = page.substr(at + 4, page.find('`', at + 4) - at - 4);
        INFO(key);
        CHECK(keys.count(key) == 1);
    }
}
