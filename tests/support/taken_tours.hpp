/// \file taken_tours.hpp
/// \brief Routes that must take every customer: Solomon's class 1 with its proven optima.
///
/// Purpose:  shared by the published test and by bench_tour --taken.
/// Units:    tenths of the file's unit.
/// Range:    the first 25, 50 or 100 customers; 25 vehicles of capacity 200.
/// Accuracy: distances truncated to one decimal.
/// Errors:   as tour_files.hpp.
/// Source:   the optima: see the head of tests/published/tours/test_all_must_be_taken.cpp.
#pragma once

#include <cstdint>

#include "planner/tour/problem.hpp"
#include "tests/support/tour_files.hpp"

namespace nestround::test {

struct TakenTour {
    const char* instance;
    std::int64_t of_25;
    std::int64_t of_50;
    std::int64_t of_100;
};

inline constexpr TakenTour kTakenTours[] = {
    {"c101", 1913, 3624, 8273},   {"c102", 1903, 3614, 8273},   {"c103", 1903, 3614, 8263},
    {"c104", 1869, 3580, 8229},   {"c105", 1913, 3624, 8273},   {"c106", 1913, 3624, 8273},
    {"c107", 1913, 3624, 8273},   {"c108", 1913, 3624, 8273},   {"c109", 1913, 3624, 8273},
    {"r101", 6171, 10440, 16377}, {"r102", 5471, 9090, 14666},  {"r103", 4546, 7729, 12087},
    {"r104", 4169, 6254, 9715},   {"r105", 5305, 8993, 13553},  {"r106", 4654, 7930, 12346},
    {"r107", 4243, 7111, 10646},  {"r108", 3973, 6177, 9321},   {"r109", 4413, 7868, 11469},
    {"r110", 4441, 6970, 10680},  {"r111", 4288, 7072, 10487},  {"r112", 3930, 6302, 9486},
    {"rc101", 4611, 9440, 16198}, {"rc102", 3518, 8225, 14574}, {"rc103", 3328, 7109, 12580},
    {"rc104", 3066, 5458, 11323}, {"rc105", 4113, 8553, 15137}, {"rc106", 3455, 7232, 13727},
    {"rc107", 2983, 6427, 12078}, {"rc108", 2945, 5981, 11142},
};

/// The first `count` customers, all of them must-takes, the distance being the cost.
inline tour::Problem taken_tour(const char* instance, std::size_t count)
{
    auto input = read_tour_file(instance, 25);
    input.jobs.resize(count);
    input.resources = 1;
    for (auto& job : input.jobs) {
        job.demand = {job.prize.front().value()};  // these files give demands as profits
        job.prize = {tour::Points{0}};
        job.must_take = true;
    }
    for (auto& vehicle : input.vehicles) {
        vehicle.capacity = {200};
        vehicle.cost_per_second = tour::Points{1};
    }
    return value_or_throw(tour::Problem::make(std::move(input)));
}

}  // namespace nestround::test
