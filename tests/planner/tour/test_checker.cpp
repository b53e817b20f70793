// One mutation a rule: each must be refused under that rule's name.
#include "planner/tour/checker.hpp"

#include <algorithm>

#include "planner/tour/schedule.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

/// Depots 0 and 1, jobs 0 to 3 at places 2 to 5, ten seconds between any two places. Job 3 stays.
ProblemInput small_input()
{
    ProblemInput input;
    input.travel.rows = input.travel.columns = 6;
    for (int a = 0; a < 6; ++a) {
        for (int b = 0; b < 6; ++b) {
            input.travel.duration_s.push_back(a == b ? 0 : 10);
            input.travel.length_m.push_back(a == b ? 0 : 100);
        }
    }
    input.resources = 1;
    for (std::size_t j = 0; j < 4; ++j) {
        Job job;
        job.name = "job " + std::to_string(j);
        job.place = 2 + j;
        job.prize = {Points{100}};
        job.service = {seconds{20}};
        job.windows = {{seconds{0}, seconds{60}}, {seconds{100}, seconds{200}}};
        job.demand = {1};
        input.jobs.push_back(job);
    }
    input.jobs[0].must_take = true;
    input.jobs[0].needs = 1;
    input.jobs[1].windows = {{seconds{100}, seconds{200}}};
    input.jobs[1].ride_limit = seconds{150};
    input.jobs[2].forbidden = {0};
    for (std::size_t v = 0; v < 2; ++v) {
        Vehicle vehicle;
        vehicle.name = "vehicle " + std::to_string(v);
        vehicle.start_place = vehicle.end_place = v;
        vehicle.shift = {seconds{0}, seconds{300}};
        vehicle.capacity = {2};
        vehicle.skills = v == 0 ? 1 : 0;
        vehicle.cost_per_second = Points{1};
        vehicle.pause = Pause{{seconds{70}, seconds{90}}, seconds{25}};
        input.vehicles.push_back(vehicle);
    }
    return input;
}

struct Case {
    Problem problem = value_or_throw(Problem::make(small_input()));
    Plan plan = sound_plan();

    /// Vehicle 0: jobs 0, pause, 1. Vehicle 1: job 2.
    Plan sound_plan() const
    {
        const std::size_t first[] = {0, 1};
        const std::size_t second[] = {2};
        return plan_of(problem,
                       {schedule(problem, 0, first).value(), schedule(problem, 1, second).value()});
    }
    [[nodiscard]] bool refuses(Rule rule) const
    {
        const auto found = check(problem, plan);
        return std::any_of(found.begin(), found.end(),
                           [rule](const Violation& v) { return v.rule == rule; });
    }
};

}  // namespace

TEST_CASE("Checker, AcceptsASoundPlan")
{
    const Case c;
    // Vehicle 0: leaves at 0, job 0 at 10-30; pause 70-95; job 1 at 105-125; home at 135.
    REQUIRE(c.plan.tours[0].pause.has_value());
    CHECK(c.plan.tours[0].pause->after == 1);
    CHECK(c.plan.tours[0].pause->begin == seconds{70});
    CHECK(c.plan.tours[0].visits[1].begin == seconds{105});
    CHECK(c.plan.tours[0].home == seconds{135});
    // Vehicle 1 is home at 40, before the pause has to begin, and needs none.
    CHECK_FALSE(c.plan.tours[1].pause.has_value());
    // 3 prizes less 30 s and 20 s of driving.
    CHECK(c.plan.objective == Points{300 - 50});
    CHECK(check(c.problem, c.plan).empty());
}

TEST_CASE("Checker, RefusesEveryKindOfMutatedPlan")
{
    Case c;
    auto& tour = c.plan.tours[0];
    Rule rule{};
    SECTION("a tour is missing")
    {
        c.plan.tours.pop_back();
        rule = Rule::OneTourAVehicle;
    }
    SECTION("tours in the wrong order")
    {
        std::swap(c.plan.tours[0], c.plan.tours[1]);
        rule = Rule::OneTourAVehicle;
    }
    SECTION("an unknown job")
    {
        tour.visits[1].job = 9;
        rule = Rule::KnownJobs;
    }
    SECTION("a job visited twice")
    {
        c.plan.tours[1].visits.push_back(c.plan.tours[1].visits[0]);
        rule = Rule::ServedOnce;
    }
    SECTION("an unserved job hidden")
    {
        c.plan.unserved.clear();
        rule = Rule::UnservedListed;
    }
    SECTION("a must-take dropped")
    {
        const std::size_t only[] = {1};
        c.plan = plan_of(c.problem, {schedule(c.problem, 0, only).value(), c.plan.tours[1]});
        rule = Rule::MustTake;
    }
    SECTION("a forbidden vehicle")
    {
        tour.visits[1].job = 2;
        rule = Rule::MayServe;
    }
    SECTION("a missing skill")
    {
        c.plan.tours[1].visits[0].job = 0;
        rule = Rule::MayServe;
    }
    SECTION("too much on the truck")
    {
        const std::size_t three[] = {0, 3, 1};
        c.plan = plan_of(c.problem, {schedule(c.problem, 0, three).value(), c.plan.tours[1]});
        rule = Rule::Capacity;
    }
    SECTION("no road")
    {
        auto input = small_input();
        input.travel.duration_s[2 * 6 + 3] = input.travel.length_m[2 * 6 + 3] = roads::kUnreachable;
        c.problem = value_or_throw(Problem::make(input));
        rule = Rule::RoadExists;
    }
    SECTION("out before the shift")
    {
        c.plan.tours[1].depart -= seconds{5};
        rule = Rule::Shift;
    }
    SECTION("home after the shift")
    {
        tour.home = seconds{301};
        rule = Rule::Shift;
    }
    SECTION("faster than the road")
    {
        tour.visits[0].arrive -= seconds{1};
        rule = Rule::DriveTime;
    }
    SECTION("home faster than the road")
    {
        tour.home -= seconds{1};
        rule = Rule::DriveTime;
    }
    SECTION("work outside the hours")
    {
        tour.visits[0].begin = seconds{61};
        rule = Rule::WindowKept;
    }
    SECTION("work before arriving")
    {
        tour.visits[0].begin = tour.visits[0].arrive - seconds{1};
        rule = Rule::WindowKept;
    }
    SECTION("work cut short")
    {
        tour.visits[0].leave -= seconds{1};
        rule = Rule::ServiceTime;
    }
    SECTION("no pause")
    {
        tour.pause.reset();
        rule = Rule::PauseKept;
    }
    SECTION("a pause too late")
    {
        tour.pause->begin = seconds{91};
        rule = Rule::PauseKept;
    }
    SECTION("a pause during work")
    {
        tour.pause->after = 2;
        rule = Rule::PauseKept;
    }
    SECTION("a pause before leaving that is not over")
    {
        tour.pause->after = 0;
        rule = Rule::PauseKept;
    }
    SECTION("cargo that rides too long")
    {
        auto input = small_input();
        input.jobs[0].ride_limit = seconds{90};  // leaves at 30, home at 135
        c.problem = value_or_throw(Problem::make(input));
        rule = Rule::RideLimit;
    }
    SECTION("driving that does not add up")
    {
        tour.driving += seconds{1};
        rule = Rule::TotalsTrue;
    }
    SECTION("metres that do not add up")
    {
        tour.metres -= 1;
        rule = Rule::TotalsTrue;
    }
    SECTION("an objective that does not add up")
    {
        c.plan.objective += Points{1};
        rule = Rule::TotalsTrue;
    }
    INFO(text(rule));
    CHECK(c.refuses(rule));
}

TEST_CASE("Checker, NamesVehicleAndJob")
{
    Case c;
    c.plan.tours[0].visits[0].begin = seconds{61};
    const auto found = check(c.problem, c.plan);
    REQUIRE_FALSE(found.empty());
    CHECK(found.front().vehicle == std::size_t{0});
    CHECK(found.front().job == std::size_t{0});
    CHECK_THAT(found.front().message,
               Catch::Contains("vehicle 0") && Catch::Contains("job 0") && Catch::Contains("61"));
}
