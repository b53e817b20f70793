// Rules between tours, as JSON: read as the manual says, refused by name, solved.
#include <nlohmann/json.hpp>
#include <string>

#include "geocore/base/error.hpp"
#include "planner/app/solve_tour.hpp"
#include "planner/sheets/write_file.hpp"
#include "planner/tour/checker.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;

namespace {

const char* const kRounds = R"({
  "nestround_tour": 1, "name": "rounds", "prize_decimals": 1,
  "resources": ["nests", "places"], "carried": ["nests"], "shared": {"places": 2},
  "traffic": {"slots": [[0, 1], [70, 0.6], [90, 1]], "period": 240},
  "travel": {"points": [[0, 0], [30, 40], [60, 80], [0, 50], [10, 10]]},
  "vehicles": [
    {"name": "a", "shift": [0, 300], "capacity": {"nests": 2},
     "overtime": {"until": 400, "cost_per_time": 0.5}, "fixed_cost": 5},
    {"name": "b", "shift": [0, 300], "capacity": {"nests": 1}}],
  "jobs": [
    {"name": "eaves", "place": 1, "prize": 90, "service": 10, "demand": {"nests": 1, "places": 1}},
    {"name": "again", "place": 1, "prize": 60, "service": 5,
     "follows": {"job": "eaves", "least": 60, "most": 150, "same_vehicle": true}},
    {"name": "shed", "place": 2, "prize": 80, "service": 12, "demand": {"nests": 1, "places": 1}},
    {"name": "meadow", "place": 4, "prize": 5, "service": 1, "demand": {"nests": -1}},
    {"name": "gable", "place": 3, "prize": 70, "demand": {"nests": 1}}]
})";

std::string with(const std::string& field, const std::string& value)
{
    auto json = nlohmann::json::parse(kRounds);
    json[nlohmann::json::json_pointer(field)] = nlohmann::json::parse(value);
    return json.dump();
}

std::string refusal(const std::string& text)
{
    try {
        auto file = app::parse_tour_file(text, "p.json");
        const auto made = tour::Problem::make(std::move(file.input));
        return made ? "taken" : made.error().text();
    } catch (const Failure& failure) {
        return failure.error().text();
    }
}

}  // namespace

TEST_CASE("TourRules, AreReadAsTheManualSays")
{
    const auto file = app::parse_tour_file(kRounds, "p.json");
    const auto& input = file.input;
    REQUIRE(input.resource_rules.size() == 2);
    CHECK(input.resource_rules[0].carried);
    CHECK(input.resource_rules[1].shared == 2);
    REQUIRE(input.traffic.size() == 3);
    CHECK(input.traffic[1].from == seconds{70});
    CHECK(input.traffic[1].speed_permille == 600);
    CHECK(input.traffic_period == seconds{240});
    REQUIRE(input.vehicles[0].overtime);
    CHECK(input.vehicles[0].overtime->latest_home == seconds{400});
    CHECK(input.vehicles[0].overtime->cost_per_second == tour::Points{5});
    CHECK(input.vehicles[0].fixed_cost == tour::Points{50});
    REQUIRE(input.jobs[1].follows);
    CHECK(input.jobs[1].follows->job == 0);
    CHECK(input.jobs[1].follows->least == seconds{60});
    CHECK(input.jobs[1].follows->most == seconds{150});
    CHECK(input.jobs[1].follows->same_vehicle);
    CHECK(input.jobs[3].demand[0] == -1);
}

TEST_CASE("TourRules, AreRefusedByName")
{
    using Catch::Contains;
    CHECK_THAT(refusal(with("/jobs/1/follows/job", "\"eves\"")), Contains("eves"));
    CHECK_THAT(refusal(with("/jobs/1/follows/job", "\"again\"")),
               Contains("again") && Contains("follows itself"));
    CHECK_THAT(refusal(with("/jobs/1/follows/most", "50")),
               Contains("again") && Contains("at most"));
    CHECK_THAT(refusal(with("/traffic/slots/1/1", "0")), Contains("slot 1"));
    CHECK_THAT(refusal(with("/traffic/slots/1/0", "95")), Contains("rise from 0"));
    CHECK_THAT(refusal(with("/traffic/period", "80")), Contains("after the period"));
    CHECK_THAT(refusal(with("/shared/nests", "3")), Contains("carried"));
    CHECK_THAT(refusal(with("/carried/0", "\"nails\"")), Contains("nails"));
    CHECK_THAT(refusal(with("/vehicles/0/overtime/until", "200")), Contains("before its shift"));
    CHECK_THAT(refusal(with("/vehicles/0/fixed_cost", "-1")), Contains("fixed cost"));
    CHECK_THAT(refusal(with("/jobs/0/demand/places", "-1")), Contains("eaves") && Contains("-1"));
    CHECK_THAT(refusal(with("/jobs/1/windows", "[[0, 50]]")),
               Contains("again") && Contains("that it follows"));
}

TEST_CASE("TourRules, AreSolvedExactly")
{
    const test::ScratchFolder folder;
    const std::string path = folder.file("rounds.json");
    sheets::write_file(path, kRounds);
    app::TourWish wish;
    const auto exact = app::solve_tour(path, wish);
    CHECK(exact.proven);
    // All five: 305 less 5 for leaving.
    CHECK(exact.scale.prize(exact.plan.objective.value()) == Approx(300));
    CHECK(tour::check(exact.problem, exact.plan).empty());
    wish.search_only = true;
    wish.iterations = 5000;
    const auto searched = app::solve_tour(path, wish);
    CHECK(searched.plan.objective == exact.plan.objective);
    CHECK(searched.bound >= exact.plan.objective);
}
