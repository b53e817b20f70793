/// \file made_tours.hpp
/// \brief Orienteering problems with windows that nobody has tuned anything to, made by seed.
///
/// Purpose:  held-back cases for the benchmark: other sizes and mixes than the published ones.
///           A shape and a seed always give the same problem.
/// Units:    tenths; places in a square of side 200 (the Euclidean times are truncated).
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

inline tour::ProblemInput made_tour(const MadeTourShape& shape, std::uint64_t seed)
{
    Random random{seed * 7919 + shape.jobs * 31 + shape.tours};
    constexpr double kSide = 2000;
    std::vector<std::pair<double, double>> at{{kSide / 2, kSide / 2}};
    std::vector<std::pair<double, double>> centres;
    for (std::size_t i = 0; i < std::max<std::size_t>(4, shape.jobs / 40); ++i) {
        centres.emplace_back(random.uniform(0.1, 0.9) * kSide, random.uniform(0.1, 0.9) * kSide);
    }
    while (at.size() <= shape.jobs) {
        const bool is_loose = shape.scatter == Scatter::Everywhere ||
                              (shape.scatter == Scatter::Mixed && at.size() % 2 == 0);
        if (is_loose) {
            at.emplace_back(random.uniform() * kSide, random.uniform() * kSide);
            continue;
        }
        const auto& centre = centres[random.below(centres.size())];
        at.emplace_back(std::clamp(random.normal(centre.first, 0.05 * kSide), 0.0, kSide),
                        std::clamp(random.normal(centre.second, 0.05 * kSide), 0.0, kSide));
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
        if (random.chance(shape.window_share)) {
            const auto out = static_cast<std::int64_t>(input.travel.duration_s[i]);
            const std::int64_t last = shape.shift - service - out;
            const auto middle =
                out + static_cast<std::int64_t>(random.uniform() * static_cast<double>(last - out));
            const auto half = (shape.narrowest +
                               static_cast<std::int64_t>(random.below(static_cast<std::uint64_t>(
                                   shape.widest - shape.narrowest + 1)))) /
                              2;
            job.windows = {{seconds{std::max<std::int64_t>(0, middle - half)},
                            seconds{std::min(shape.shift, middle + half)}}};
        }
        input.jobs.push_back(std::move(job));
    }
    for (std::size_t v = 0; v < shape.tours; ++v) {
        tour::Vehicle vehicle;
        vehicle.name = fmt::format("tour {}", v + 1);
        vehicle.shift = {seconds{0}, seconds{shape.shift}};
        input.vehicles.push_back(std::move(vehicle));
    }
    return input;
}

}  // namespace nestround::test
