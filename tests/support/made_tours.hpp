/// \file made_tours.hpp
/// \brief Orienteering problems with windows that nobody has tuned anything to, made by seed.
///
/// Purpose:  held-back cases for the benchmark: other sizes and mixes than the published ones.
///           A shape and a seed always give the same problem.
/// Units:    tenths; places in a square of side 200 where the shape says no other (the Euclidean
///           times are truncated).
/// Range:    as the shapes below, 100 to 1,000 jobs.
/// Source:   own; the kinds follow the usual ones in the literature on windows: places scattered,
///           clustered or half of each; short or long shifts; narrow or wide windows.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "geocore/base/random.hpp"
#include "planner/tour/problem.hpp"

namespace nestround::test {

enum class Scatter { Everywhere, Clustered, Mixed };

struct MadeTourShape {
    const char* name;
    std::size_t jobs;
    std::size_t tours;
    Scatter scatter;
    std::int64_t shift;          ///< tenths
    std::int64_t narrowest;      ///< window, tenths
    std::int64_t widest;         ///< window, tenths
    double window_share = 1;     ///< of jobs that have one at all
    std::int64_t service = 150;  ///< mean, tenths
    double side = 2000;          ///< of the square, tenths
    std::size_t depots = 1;      ///< tours begin and end at these in turn
    double ride_share = 0;       ///< of jobs whose cargo may ride a sixth to a half of the shift
    std::size_t days = 1;        ///< tours are spread over them; prizes rise or fall by day
};

/// 288 jobs of windows narrow and wide, 200 jobs with long shifts, and larger ones.
inline const std::vector<MadeTourShape>& made_tour_shapes()
{
    static const std::vector<MadeTourShape> shapes{
        {"mixed-144-1", 144, 1, Scatter::Mixed, 10000, 900, 1800},
        {"mixed-144-3", 144, 3, Scatter::Mixed, 10000, 1800, 3600},
        {"clustered-216-2", 216, 2, Scatter::Clustered, 10000, 900, 1800},
        {"clustered-216-4", 216, 4, Scatter::Clustered, 10000, 1800, 3600},
        {"mixed-288-1", 288, 1, Scatter::Mixed, 10000, 1800, 3600},
        {"mixed-288-2", 288, 2, Scatter::Mixed, 10000, 900, 1800},
        {"scattered-288-3", 288, 3, Scatter::Everywhere, 10000, 1800, 3600},
        {"clustered-288-4", 288, 4, Scatter::Clustered, 10000, 1800, 3600},
        {"scattered-100-1-long", 100, 1, Scatter::Everywhere, 10000, 600, 4000, 0.75, 100},
        {"mixed-100-2-long", 100, 2, Scatter::Mixed, 10000, 1200, 5000, 0.5, 100},
        {"clustered-100-1-long", 100, 1, Scatter::Clustered, 33900, 1600, 6400, 1, 900},
        {"mixed-500-2", 500, 2, Scatter::Mixed, 10000, 1800, 3600},
        {"clustered-500-4", 500, 4, Scatter::Clustered, 10000, 900, 1800},
        {"mixed-1000-6", 1000, 6, Scatter::Mixed, 10000, 1800, 3600},
    };
    return shapes;
}

/// Kinds on which a solver may be judged: long days with many stops and wide windows, few crews and
/// many, several depots, ride limits, prizes by day.
inline const std::vector<MadeTourShape>& wide_tour_shapes()
{
    using enum Scatter;
    static const std::vector<MadeTourShape> shapes{
        {"long-r-100-1", 100, 1, Everywhere, 10000, 800, 3000, 1, 100, 1000},
        {"long-r-100-2-half", 100, 2, Everywhere, 10000, 1000, 4000, 0.5, 100, 1000},
        {"long-c-100-1", 100, 1, Clustered, 33900, 1600, 6000, 0.75, 900, 1000},
        {"long-c-100-2", 100, 2, Clustered, 33900, 3200, 9000, 1, 900, 1000},
        {"long-rc-100-1", 100, 1, Mixed, 9600, 1200, 5000, 0.75, 100, 1000},
        {"long-rc-100-2", 100, 2, Mixed, 9600, 600, 2400, 1, 100, 1000},
        {"narrow-r-200-1", 200, 1, Everywhere, 6340, 200, 1200, 1, 100, 1400},
        {"narrow-c-200-4", 200, 4, Clustered, 13510, 600, 2400, 1, 900, 1400},
        {"wide-rc-200-2", 200, 2, Mixed, 10000, 2400, 6000, 0.75, 100, 1400},
        {"narrow-rc-200-8", 200, 8, Mixed, 6340, 300, 1200, 1, 100, 1400},
        {"wide-r-288-1", 288, 1, Everywhere, 10000, 1800, 3600},
        {"wide-rc-288-2", 288, 2, Mixed, 10000, 1800, 3600},
        {"narrow-rc-288-3", 288, 3, Mixed, 10000, 900, 1800},
        {"wide-c-288-4", 288, 4, Clustered, 10000, 1800, 3600},
        {"wide-rc-288-8", 288, 8, Mixed, 7000, 900, 3600},
        {"narrow-r-400-2", 400, 2, Everywhere, 8000, 300, 1500, 1, 100},
        {"wide-c-400-1", 400, 1, Clustered, 40000, 3000, 9000, 1, 900},
        {"wide-rc-400-4", 400, 4, Mixed, 15000, 2000, 7000, 0.75, 100},
        {"narrow-rc-400-20", 400, 20, Mixed, 7000, 300, 1500, 1, 100},
        {"wide-rc-1000-1", 1000, 1, Mixed, 10000, 1800, 3600},
        {"wide-c-1000-4", 1000, 4, Clustered, 18240, 1200, 6000, 1, 900, 5000},
        {"narrow-r-1000-8", 1000, 8, Everywhere, 18240, 600, 2400, 1, 100, 5000},
        {"wide-r-1000-4-long", 1000, 4, Everywhere, 40000, 3000, 12000, 0.75, 100, 5000},
        {"narrow-rc-1000-20", 1000, 20, Mixed, 18240, 600, 2400, 1, 100, 5000},
        {"depots-rc-288-6", 288, 6, Mixed, 8000, 900, 3600, 1, 150, 2000, 3},
        {"depots-r-400-12", 400, 12, Everywhere, 8000, 900, 3600, 0.5, 150, 2000, 4},
        {"rides-rc-100-2", 100, 2, Mixed, 10000, 900, 3600, 1, 150, 2000, 1, 0.4},
        {"rides-rc-200-3", 200, 3, Mixed, 10000, 900, 3600, 1, 150, 2000, 1, 0.4},
        {"days-rc-200-10", 200, 10, Mixed, 6000, 600, 2400, 0.5, 200, 2000, 1, 0, 5},
        {"days-r-400-12", 400, 12, Everywhere, 6000, 600, 2400, 0.5, 200, 2000, 2, 0.2, 4},
    };
    return shapes;
}

inline tour::ProblemInput made_tour(const MadeTourShape& shape, std::uint64_t seed)
{
    Random random{seed * 7919 + shape.jobs * 31 + shape.tours};
    constexpr std::int64_t kDay = 100000;
    const double side = shape.side;
    std::vector<std::pair<double, double>> at{{side / 2, side / 2}};
    std::vector<std::pair<double, double>> centres;
    for (std::size_t i = 0; i < std::max<std::size_t>(4, shape.jobs / 40); ++i) {
        centres.emplace_back(random.uniform(0.1, 0.9) * side, random.uniform(0.1, 0.9) * side);
    }
    while (at.size() <= shape.jobs) {
        const bool is_loose = shape.scatter == Scatter::Everywhere ||
                              (shape.scatter == Scatter::Mixed && at.size() % 2 == 0);
        if (is_loose) {
            at.emplace_back(random.uniform() * side, random.uniform() * side);
            continue;
        }
        const auto& centre = centres[random.below(centres.size())];
        at.emplace_back(std::clamp(random.normal(centre.first, 0.05 * side), 0.0, side),
                        std::clamp(random.normal(centre.second, 0.05 * side), 0.0, side));
    }
    for (std::size_t depot = 1; depot < shape.depots; ++depot) {
        at.emplace_back(random.uniform(0.1, 0.9) * side, random.uniform(0.1, 0.9) * side);
    }
    tour::ProblemInput input;
    input.travel.rows = input.travel.columns = at.size();
    for (const auto& a : at) {
        for (const auto& b : at) {
            const auto t =
                static_cast<std::uint32_t>(std::hypot(a.first - b.first, a.second - b.second));
            input.travel.duration_s.push_back(t);
            input.travel.length_m.push_back(t);
        }
    }
    for (std::size_t i = 1; i <= shape.jobs; ++i) {
        tour::Job job;
        job.name = fmt::format("job {}", i);
        job.place = i;
        job.prize = {tour::Points{1 + static_cast<std::int64_t>(random.below(40))}};
        const auto service = std::max<std::int64_t>(
            10, static_cast<std::int64_t>(random.uniform(0.2, 1.8) *
                                          static_cast<double>(shape.service)));
        job.service = {seconds{service}};
        if (shape.ride_share > 0 && random.chance(shape.ride_share)) {
            const auto home = static_cast<std::int64_t>(input.travel.duration_s[i]);
            job.ride_limit =
                seconds{home + static_cast<std::int64_t>(static_cast<double>(shape.shift) *
                                                         random.uniform(1.0 / 6, 0.5))};
        }
        if (random.chance(shape.window_share)) {
            const auto out = static_cast<std::int64_t>(input.travel.duration_s[i]);
            const std::int64_t last = shape.shift - service - out;
            const auto middle =
                out + static_cast<std::int64_t>(random.uniform() * static_cast<double>(last - out));
            const auto half = (shape.narrowest +
                               static_cast<std::int64_t>(random.below(static_cast<std::uint64_t>(
                                   shape.widest - shape.narrowest + 1)))) /
                              2;
            for (std::size_t day = 0; day < shape.days; ++day) {
                const seconds midnight{static_cast<std::int64_t>(day) * kDay};
                job.windows.push_back({midnight + seconds{std::max<std::int64_t>(0, middle - half)},
                                       midnight + seconds{std::min(shape.shift, middle + half)}});
            }
        }
        if (shape.days > 1) {
            const auto first = static_cast<double>(2000 * job.prize.front().value());
            const double change = random.uniform(-0.3, 0.15);
            job.prize.clear();
            for (std::size_t v = 0; v < shape.tours; ++v) {
                const auto day = static_cast<double>(v % shape.days);
                job.prize.emplace_back(
                    static_cast<std::int64_t>(first * std::max(0.05, 1 + change * day)));
            }
        }
        input.jobs.push_back(std::move(job));
    }
    for (std::size_t v = 0; v < shape.tours; ++v) {
        tour::Vehicle vehicle;
        vehicle.name = fmt::format("tour {}", v + 1);
        const seconds midnight{static_cast<std::int64_t>(v % shape.days) * kDay};
        vehicle.shift = {midnight, midnight + seconds{shape.shift}};
        const std::size_t depot = v % shape.depots;
        vehicle.start_place = vehicle.end_place = depot == 0 ? 0 : shape.jobs + depot;
        input.vehicles.push_back(std::move(vehicle));
    }
    return input;
}

}  // namespace nestround::test
