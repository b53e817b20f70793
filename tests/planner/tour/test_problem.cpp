#include "planner/tour/problem.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::tour;
using Catch::Contains;

namespace {

ProblemInput sound_input()
{
    ProblemInput input;
    input.travel.rows = input.travel.columns = 3;
    input.travel.duration_s = {0, 10, 20, 10, 0, 10, 20, 10, 0};
    input.travel.length_m = input.travel.duration_s;
    input.resources = 1;
    for (std::size_t j = 0; j < 2; ++j) {
        Job job;
        job.name = j == 0 ? "mill barn" : "old gate";
        job.place = 1 + j;
        job.prize = {Points{10}};
        job.service = {seconds{5}};
        job.demand = {1};
        input.jobs.push_back(job);
    }
    Vehicle vehicle;
    vehicle.name = "crew A";
    vehicle.shift = {seconds{100}, seconds{200}};
    vehicle.capacity = {2};
    input.vehicles.push_back(vehicle);
    return input;
}

/// The refusal's text; fails when there is none.
std::string refusal(const ProblemInput& input)
{
    const auto made = Problem::make(input);
    REQUIRE_FALSE(made.has_value());
    return made.error().text();
}

}  // namespace

TEST_CASE("Problem, AcceptsASoundOne")
{
    const auto made = Problem::make(sound_input());
    REQUIRE(made.has_value());
    CHECK(made->jobs().size() == 2);
    CHECK(made->drive(0, 2) == seconds{20});
    CHECK(made->windows(0).size() == 1);
    CHECK(made->may_serve(0, 0));
}

TEST_CASE("Problem, RefusesBadMatrices")
{
    auto input = sound_input();
    SECTION("holes")
    {
        input.travel.duration_s.pop_back();
        CHECK_THAT(refusal(input), Contains("matrix") && Contains("holes"));
    }
    SECTION("not square")
    {
        input.travel.columns = 2;
        CHECK_THAT(refusal(input), Contains("3 rows and 2 columns"));
    }
    SECTION("negative")
    {
        input.travel.duration_s[1] = static_cast<std::uint32_t>(-7);
        CHECK_THAT(refusal(input), Contains("place 0 to place 1") && Contains("negative"));
    }
    SECTION("a road without a length")
    {
        input.travel.length_m[1] = roads::kUnreachable;
        CHECK_THAT(refusal(input), Contains("disagree"));
    }
    SECTION("away from itself")
    {
        input.travel.duration_s[4] = 3;
        CHECK_THAT(refusal(input), Contains("place 1 is 3 s away from itself"));
    }
}

TEST_CASE("Problem, RefusesBadJobsByName")
{
    auto input = sound_input();
    Job& job = input.jobs[1];
    std::string rule;
    SECTION("place")
    {
        job.place = 7;
        rule = "place 7";
    }
    SECTION("prizes")
    {
        job.prize = {Points{1}, Points{2}};
        rule = "2 prizes";
    }
    SECTION("no service time")
    {
        job.service.clear();
        rule = "0 service times";
    }
    SECTION("negative service")
    {
        job.service = {seconds{-1}};
        rule = "-1 s";
    }
    SECTION("window backwards")
    {
        job.windows = {{seconds{150}, seconds{140}}};
        rule = "ends at 140 s before it begins at 150 s";
    }
    SECTION("window before time")
    {
        job.windows = {{seconds{-5}, seconds{140}}};
        rule = "-5";
    }
    SECTION("pin outside")
    {
        job.windows = {{seconds{120}, seconds{140}}};
        job.pinned_start = seconds{150};
        rule = "pinned start at 150 s";
    }
    SECTION("unknown vehicle")
    {
        job.forbidden = {4};
        rule = "vehicle 4";
    }
    SECTION("demands")
    {
        job.demand = {1, 1};
        rule = "2 demands for 1 resources";
    }
    SECTION("negative demand")
    {
        job.demand = {-1};
        rule = "-1";
    }
    SECTION("ride limit")
    {
        job.ride_limit = seconds{-1};
        rule = "ride limit";
    }
    CHECK_THAT(refusal(input), Contains("old gate") && Contains(rule));
}

TEST_CASE("Problem, RefusesBadVehiclesByName")
{
    auto input = sound_input();
    Vehicle& vehicle = input.vehicles[0];
    std::string rule;
    SECTION("place")
    {
        vehicle.end_place = 3;
        rule = "places 0 and 3";
    }
    SECTION("shift backwards")
    {
        vehicle.shift = {seconds{10}, seconds{5}};
        rule = "shift ends at 5 s";
    }
    SECTION("capacity")
    {
        vehicle.capacity = {1, 2};
        rule = "2 capacities";
    }
    SECTION("cost")
    {
        vehicle.cost_per_second = Points{-1};
        rule = "cost of -1";
    }
    SECTION("pause")
    {
        vehicle.pause = Pause{{seconds{3}, seconds{2}}, seconds{1}};
        rule = "pause ends";
    }
    CHECK_THAT(refusal(input), Contains("crew A") && Contains(rule));
}

TEST_CASE("Problem, NamesAJobThatNoVehicleCanDo")
{
    auto input = sound_input();
    Job& job = input.jobs[0];
    std::string rule;
    SECTION("hours before the shift")
    {
        job.windows = {{seconds{10}, seconds{50}}};
        rule = "end before the shift begins";
    }
    SECTION("hours before it can be reached")
    {
        job.windows = {{seconds{10}, seconds{105}}};
        rule = "end before it can be reached";
    }
    SECTION("hours after the shift")
    {
        job.windows = {{seconds{210}, seconds{250}}};
        rule = "begin after the shift ends";
    }
    SECTION("no skill")
    {
        job.needs = 4;
        rule = "skills";
    }
    SECTION("forbidden")
    {
        job.forbidden = {0};
        rule = "may not do it";
    }
    SECTION("too much to carry")
    {
        job.demand = {3};
        rule = "more than the vehicle carries";
    }
    SECTION("no road back")
    {
        input.travel.duration_s[3] = input.travel.length_m[3] = roads::kUnreachable;
        rule = "no road";
    }
    SECTION("cargo cannot ride that long")
    {
        job.ride_limit = seconds{9};
        rule = "longer than its cargo may ride";
    }
    SECTION("no time to come back")
    {
        job.service = {seconds{90}};
        rule = "takes longer";
    }
    CHECK_THAT(refusal(input), Contains("mill barn") && Contains("no vehicle") && Contains(rule));
    CHECK(Problem::make(input).error().code == ErrorCode::Infeasible);
    CHECK(Problem::make(input, Hopeless::Leave).has_value());
}

TEST_CASE("Problem, JoinsAndSortsWindows")
{
    auto input = sound_input();
    input.jobs[0].windows = {
        {seconds{150}, seconds{160}}, {seconds{110}, seconds{120}}, {seconds{115}, seconds{130}}};
    const auto made = Problem::make(input);
    REQUIRE(made.has_value());
    REQUIRE(made->windows(0).size() == 2);
    CHECK(made->windows(0)[0] == Window{seconds{110}, seconds{130}});
    CHECK(made->windows(0)[1] == Window{seconds{150}, seconds{160}});
}
