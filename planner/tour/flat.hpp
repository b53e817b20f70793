/// \file flat.hpp
/// \brief The problem in the search's own integers: flat tables, one row a node.
///
/// Purpose:  what the inner loops of the solver read; built once from a valid Problem.
/// Units:    seconds in 32 bits, points in 64.
/// Range:    nodes 0 to jobs - 1 are the jobs, the depots follow, each place once.
/// Accuracy: exact.
/// Errors:   none: the problem is valid.
/// Source:   own.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "planner/tour/problem.hpp"
#include "planner/tour/timing.hpp"

namespace nestround::tour {

/// A vehicle.
struct Car {
    int start;  ///< node
    int end;    ///< node
    Time opens;
    Time closes;  ///< of the shift
    Time last;    ///< home no later, overtime and all
    std::optional<PauseRule> pause;
    std::int64_t cost;       ///< points a second of driving
    std::int64_t cost_over;  ///< points a second of overtime
    std::int64_t fixed;      ///< points for leaving at all
    bool is_plain;  ///< no pause, overtime, carried load or traffic: the short way to slots will do

    /// Points that coming home then costs.
    [[nodiscard]] std::int64_t over(Time home) const
    {
        return home > closes ? cost_over * (home - closes) : 0;
    }
    int kind;  ///< equal for vehicles between which nothing tells
};

struct Flat {
    explicit Flat(const Problem& problem);

    int jobs;
    int cars_count;
    int nodes;
    int resources;
    std::vector<Time> out;  ///< nodes * nodes: out[a * nodes + b] leads from a to b
    std::vector<Time> in;   ///< nodes * nodes: in[b * nodes + a] leads from a to b; empty: as out
    std::vector<Time> service;               ///< cars * jobs
    std::vector<std::int64_t> value;         ///< cars * jobs: prize, with the bonus for a must-take
    std::vector<std::uint8_t> may;           ///< cars * jobs: allowed, and some window in the shift
    std::vector<std::uint8_t> must;          ///< jobs
    std::vector<Time> ride_limit;            ///< jobs, or kNoLimit
    std::vector<std::int64_t> demand;        ///< jobs * resources
    std::vector<std::int64_t> capacity;      ///< cars * resources
    std::vector<Span> spans;                 ///< windows of all jobs
    std::vector<std::uint32_t> spans_begin;  ///< jobs + 1
    /// Some windows of a job, next to one another.
    struct Reach {
        std::uint32_t begin;
        std::uint32_t count;
    };
    std::vector<Reach> reaches;  ///< cars * jobs: windows within the shift
    std::vector<Time> closes;    ///< jobs: end of the last window
    std::vector<Time> detour;    ///< jobs: least drive there and onward from anywhere
    std::vector<Car> cars;
    Traffic traffic;
    std::vector<std::uint8_t> carried;        ///< resources
    std::vector<std::int64_t> shared;         ///< resources: for all cars together
    std::vector<int> leader;                  ///< jobs: the one followed, or -1
    std::vector<std::vector<int>> followers;  ///< jobs
    std::vector<Time> least;                  ///< jobs: from the end of the leader's service
    std::vector<Time> most;                   ///< jobs, or kNoLimit
    std::vector<std::uint8_t> same_car;       ///< jobs: as the leader
    std::int64_t bonus;  ///< for a must-take: more than all prizes and all driving together
    bool has_resources;
    bool has_carried;
    bool has_shared;
    bool has_links;         ///< some job follows another
    bool removal_may_fail;  ///< what is left of tours tied together may need another look
    bool has_live;
    bool is_symmetric;  ///< every way takes as long as the way back
    bool is_varied;     ///< what a job brings depends on the vehicle or on the driving

    [[nodiscard]] Time drive(int from, int to) const
    {
        return out[static_cast<std::size_t>(from) * nodes + to];
    }
    [[nodiscard]] std::span<const Span> windows(int job) const
    {
        return {spans.data() + spans_begin[job], spans_begin[job + 1] - spans_begin[job]};
    }
    /// Ways to the job from every node; ways from it are in `out`.
    [[nodiscard]] const Time* ways_to(int job) const
    {
        return (is_symmetric ? out.data() : in.data()) + static_cast<std::size_t>(job) * nodes;
    }
    /// Those of its windows that meet the shift of the car; none where the car may not do it.
    [[nodiscard]] std::span<const Span> windows(int job, int car) const
    {
        const Reach& reach = reaches[static_cast<std::size_t>(car) * jobs + job];
        return {spans.data() + reach.begin, reach.count};
    }
    [[nodiscard]] Time service_of(int job, int car) const { return service[car * jobs + job]; }
    [[nodiscard]] std::int64_t value_of(int job, int car) const { return value[car * jobs + job]; }
};

}  // namespace nestround::tour
