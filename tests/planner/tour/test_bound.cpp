#include "planner/tour/bound.hpp"

#include "planner/tour/exact.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/random_tours.hpp"

using namespace nestround;

TEST_CASE("no best plan is worth more than the bound")
{
    int loose = 0;
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        test::RandomTourShape shape;
        shape.jobs = 3 + seed % 6;
        shape.vehicles = 1 + seed % 3;
        shape.metric = seed % 4 != 0;
        const auto problem =
            tour::Problem::make(test::random_tour_problem(seed, shape), tour::Hopeless::Leave);
        REQUIRE(problem);
        const auto exact = tour::solve_exact(*problem);
        REQUIRE(exact);
        CAPTURE(seed);
        // A plan may be worth less than nothing only because a must-take is.
        CHECK(tour::upper_bound(*problem) >= exact->plan.objective);
        loose += tour::upper_bound(*problem) > exact->plan.objective ? 1 : 0;
    }
    CHECK(loose < 300);  // it is met at times, so it is no mere sum
}

TEST_CASE("one job that fits is worth what it brings less the way there")
{
    tour::ProblemInput input;
    input.travel.rows = input.travel.columns = 2;
    input.travel.duration_s = {0, 10, 10, 0};
    input.travel.length_m = {0, 10, 10, 0};
    tour::Job job;
    job.name = "only";
    job.place = 1;
    job.prize = {tour::Points{100}};
    job.service = {seconds{30}};
    input.jobs = {job};
    tour::Vehicle vehicle;
    vehicle.name = "v";
    vehicle.shift = {seconds{0}, seconds{50}};
    vehicle.cost_per_second = tour::Points{1};
    input.vehicles = {vehicle};
    const auto problem = value_or_throw(tour::Problem::make(input));
    CHECK(tour::upper_bound(problem) == tour::Points{90});  // the way home is not charged
}
