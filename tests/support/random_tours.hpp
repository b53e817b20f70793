/// \file random_tours.hpp
/// \brief Small random tour problems with everything in them: depots, windows, pauses, live cargo.
#pragma once

#include <algorithm>
#include <cmath>
#include <string>

#include "geocore/base/random.hpp"
#include "planner/tour/problem.hpp"

namespace nestround::test {

struct RandomTourShape {
    std::size_t jobs = 8;
    std::size_t vehicles = 2;
    double must_chance = 0.1;
    double ride_chance = 0.2;
    double pause_chance = 0.3;
    bool metric = true;  ///< whole-second roundings of plane distances; else times at random
    double overtime_chance = 0;  ///< of a vehicle
    double fixed_chance = 0;     ///< of a vehicle
    bool carried = false;        ///< a second resource, loaded and given off
    bool shared = false;         ///< the first resource is short for all together
    bool traffic = false;
    double follow_chance = 0;  ///< of a job
};

/// The rules that go beyond one tour by itself and one clock; drawn apart, so that problems without
/// them stay as they are.
inline void add_rules(tour::ProblemInput& input, std::uint64_t seed, const RandomTourShape& shape)
{
    Random random{seed ^ 0x5bd1e995U};
    const auto whole = [&](int low, int high) {
        return low + static_cast<int>(random.below(static_cast<std::uint64_t>(high - low + 1)));
    };
    if (shape.carried) {
        input.resources = 2;
        for (auto& vehicle : input.vehicles) {
            vehicle.capacity.push_back(whole(2, 6));
        }
        for (auto& job : input.jobs) {
            job.demand.push_back(random.chance(0.3) ? -whole(1, 5) : whole(0, 3));
        }
    }
    input.resource_rules.resize(input.resources);
    if (shape.carried) {
        input.resource_rules[1].carried = true;
    }
    if (shape.shared) {
        input.resource_rules[0].shared = whole(2, 9);
    }
    for (auto& vehicle : input.vehicles) {
        if (random.chance(shape.overtime_chance)) {
            const auto usual = vehicle.shift.closes - seconds{whole(20, 120)};
            vehicle.overtime = tour::Overtime{vehicle.shift.closes, tour::Points{whole(0, 3)}};
            vehicle.shift.closes = std::max(usual, vehicle.shift.opens);
        }
        if (random.chance(shape.fixed_chance)) {
            vehicle.fixed_cost = tour::Points{whole(1, 150)};
        }
    }
    if (shape.traffic) {
        input.traffic = {{seconds{0}, whole(400, 1500)},
                         {seconds{whole(30, 120)}, whole(400, 1500)},
                         {seconds{whole(130, 250)}, whole(400, 1500)}};
        input.traffic_period = seconds{random.chance(0.5) ? whole(260, 300) : 0};
    }
    for (std::size_t j = 1; j < input.jobs.size(); ++j) {
        if (random.chance(shape.follow_chance)) {
            tour::Follows follows;
            follows.job = random.below(j);
            follows.least = seconds{whole(0, 60)};
            if (random.chance(0.5)) {
                follows.most = follows.least + seconds{whole(0, 80)};
            }
            follows.same_vehicle = random.chance(0.3);
            input.jobs[j].follows = follows;
        }
    }
}

inline tour::ProblemInput random_tour_problem(std::uint64_t seed, const RandomTourShape& shape)
{
    Random random{seed};
    tour::ProblemInput input;
    const std::size_t places = shape.jobs + 2;
    std::vector<std::pair<double, double>> at;
    for (std::size_t i = 0; i < places; ++i) {
        at.emplace_back(random.uniform(0, 60), random.uniform(0, 60));
    }
    input.travel.rows = input.travel.columns = places;
    for (std::size_t a = 0; a < places; ++a) {
        for (std::size_t b = 0; b < places; ++b) {
            const double length =
                std::hypot(at[a].first - at[b].first, at[a].second - at[b].second);
            auto t = static_cast<std::uint32_t>(std::lround(length));
            if (!shape.metric && a != b) {
                t = 1 + static_cast<std::uint32_t>(random.below(80));
            }
            input.travel.duration_s.push_back(t);
            input.travel.length_m.push_back(10 * t);
        }
    }
    const auto whole = [&](int low, int high) {
        return low + static_cast<int>(random.below(static_cast<std::uint64_t>(high - low + 1)));
    };
    input.resources = 1;
    for (std::size_t v = 0; v < shape.vehicles; ++v) {
        tour::Vehicle vehicle;
        vehicle.name = "vehicle " + std::to_string(v);
        vehicle.start_place = random.below(2);
        vehicle.end_place = random.below(2);
        const int opens = whole(0, 60);
        vehicle.shift = {seconds{opens}, seconds{opens + whole(180, 340)}};
        vehicle.capacity = {whole(3, 12)};
        vehicle.skills = random.below(4);
        vehicle.cost_per_second = tour::Points{whole(0, 2)};
        if (random.chance(shape.pause_chance)) {
            const int from = opens + whole(40, 160);
            vehicle.pause =
                tour::Pause{{seconds{from}, seconds{from + whole(0, 80)}}, seconds{whole(5, 40)}};
        }
        input.vehicles.push_back(std::move(vehicle));
    }
    for (std::size_t j = 0; j < shape.jobs; ++j) {
        tour::Job job;
        job.name = "job " + std::to_string(j);
        job.place = 2 + j;
        const bool each = random.chance(0.3);
        for (std::size_t v = 0; v < (each ? shape.vehicles : 1); ++v) {
            job.prize.emplace_back(whole(5, 120));
            job.service.emplace_back(whole(2, 30));
        }
        const int windows = whole(0, 3);
        int from = whole(0, 80);
        for (int w = 0; w < windows; ++w) {
            const int to = from + whole(5, 90);
            job.windows.push_back({seconds{from}, seconds{to}});
            from = to + whole(5, 80);
        }
        if (!job.windows.empty() && random.chance(0.08)) {
            job.pinned_start = job.windows.front().closes;
        }
        job.must_take = random.chance(shape.must_chance);
        if (random.chance(0.15)) {
            job.forbidden.push_back(random.below(shape.vehicles));
        }
        job.needs = random.chance(0.2) ? 1 : 0;
        job.demand = {whole(0, 4)};
        if (random.chance(shape.ride_chance)) {
            job.ride_limit = seconds{whole(30, 160)};
        }
        input.jobs.push_back(std::move(job));
    }
    add_rules(input, seed, shape);
    return input;
}

}  // namespace nestround::test
