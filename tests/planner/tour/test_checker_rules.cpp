// One mutation for each rule between tours, overtime and traffic: each must be refused by name.
#include <algorithm>

#include "planner/tour/checker.hpp"
#include "planner/tour/schedule.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::tour;

namespace {

/// Depot 0, jobs 0 to 3 at places 1 to 4, ten seconds between any two places; half speed from 100
/// s.
ProblemInput rules_input()
{
    ProblemInput input;
    input.travel.rows = input.travel.columns = 5;
    for (int a = 0; a < 5; ++a) {
        for (int b = 0; b < 5; ++b) {
            input.travel.duration_s.push_back(a == b ? 0 : 10);
            input.travel.length_m.push_back(a == b ? 0 : 100);
        }
    }
    input.resources = 2;
    input.resource_rules = {{false, 3}, {true, std::nullopt}};
    input.traffic = {{seconds{0}, 1000}, {seconds{100}, 500}};
    for (std::size_t j = 0; j < 4; ++j) {
        Job job;
        job.name = "job " + std::to_string(j);
        job.place = 1 + j;
        job.prize = {Points{100}};
        job.service = {seconds{20}};
        job.demand = {1, j == 1 ? -2 : 2};
        input.jobs.push_back(job);
    }
    input.jobs[2].follows = Follows{0, seconds{30}, seconds{60}, false};
    for (std::size_t v = 0; v < 2; ++v) {
        Vehicle vehicle;
        vehicle.name = "vehicle " + std::to_string(v);
        vehicle.shift = {seconds{0}, seconds{80}};
        vehicle.capacity = {9, 2};
        vehicle.overtime = Overtime{seconds{200}, Points{2}};
        vehicle.fixed_cost = Points{7};
        input.vehicles.push_back(vehicle);
    }
    return input;
}

struct Case {
    ProblemInput input = rules_input();
    Problem problem = value_or_throw(Problem::make(input));
    Plan plan = planned({{0, 1}, {2}});

    [[nodiscard]] Plan planned(const std::vector<std::vector<std::size_t>>& orders) const
    {
        return plan_of(problem, schedule_all(problem, orders).value());
    }
    [[nodiscard]] bool refuses(Rule rule) const
    {
        const auto found = check(problem, plan);
        return std::any_of(found.begin(), found.end(),
                           [rule](const Violation& v) { return v.rule == rule; });
    }
};

}  // namespace

TEST_CASE("CheckerRules, AcceptsASoundPlan")
{
    const Case c;
    // Vehicle 0: job 0 at 10-30, job 1 at 40-60, home at 70. Vehicle 1: job 2 from 60 to 80, home
    // at 90, ten seconds late.
    CHECK(c.plan.tours[1].visits[0].begin == seconds{60});
    CHECK(c.plan.tours[1].home == seconds{90});
    CHECK(c.plan.objective == Points{300 - 2 * 7 - 10 * 2});
    CHECK(check(c.problem, c.plan).empty());
}

TEST_CASE("CheckerRules, RefusesEveryKindOfMutatedPlan")
{
    Case c;
    Rule rule{};
    SECTION("a second visit too soon")
    {
        auto& visit = c.plan.tours[1].visits[0];
        visit.begin -= seconds{1};
        visit.leave -= seconds{1};
        rule = Rule::Follows;
    }
    SECTION("a second visit too late")
    {
        auto& visit = c.plan.tours[1].visits[0];
        visit.begin += seconds{31};
        visit.leave += seconds{31};
        rule = Rule::Follows;
    }
    SECTION("a second visit without a first one")
    {
        c.plan.tours[0].visits.clear();
        rule = Rule::Follows;
    }
    SECTION("a second visit by another vehicle")
    {
        c.input.jobs[2].follows->same_vehicle = true;
        c.problem = value_or_throw(Problem::make(c.input));
        rule = Rule::Follows;
    }
    SECTION("more given off than is aboard")
    {
        c.input.jobs[1].follows.reset();
        c.input.jobs[2].follows.reset();
        c.problem = value_or_throw(Problem::make(c.input));
        c.plan = c.planned({{1, 0}, {2}});
        rule = Rule::Capacity;
    }
    SECTION("more aboard than fits")
    {
        c.plan = c.planned({{0, 2}, {}});
        rule = Rule::Capacity;
    }
    SECTION("more used by all than there is")
    {
        c.input.resource_rules[0].shared = 2;
        c.problem = value_or_throw(Problem::make(c.input));
        rule = Rule::SharedLimit;
    }
    SECTION("home after overtime has ended")
    {
        c.input.vehicles[1].overtime->latest_home = seconds{89};
        c.problem = value_or_throw(Problem::make(c.input));
        rule = Rule::Shift;
    }
    SECTION("overtime not paid")
    {
        c.plan.objective += Points{20};
        rule = Rule::TotalsTrue;
    }
    SECTION("leaving not paid")
    {
        c.plan.objective += Points{7};
        rule = Rule::TotalsTrue;
    }
    SECTION("as if there were no traffic")
    {
        c.input.traffic = {{seconds{0}, 1000}, {seconds{85}, 500}};
        c.problem = value_or_throw(Problem::make(c.input));
        rule = Rule::DriveTime;
    }
    INFO(text(rule));
    CHECK(c.refuses(rule));
}
