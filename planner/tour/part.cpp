#include "planner/tour/part.hpp"

#include <algorithm>

namespace nestround::tour {

namespace {

/// How far from `anchor` the stops of a tour are in the mean.
[[nodiscard]] double distance(const Route& route, const Flat& flat, int anchor)
{
    double sum = 0;
    for (int i = 1; i <= route.size(); ++i) {
        sum += flat.drive(anchor, route.job(i));
    }
    return route.size() == 0 ? flat.drive(anchor, flat.cars[route.car()].start)
                             : sum / route.size();
}

}  // namespace

std::vector<Part> share_out(const SearchState& state, const Flat& flat,
                            const std::vector<std::vector<int>>& near, int parts, Random& random)
{
    const int anchor = static_cast<int>(random.below(static_cast<std::uint64_t>(flat.jobs)));
    std::vector<std::pair<double, int>> sorted;
    int stops = 0;
    for (const auto& route : state.routes()) {
        sorted.emplace_back(distance(route, flat, anchor), route.car());
        stops += route.size() + 1;
    }
    std::sort(sorted.begin(), sorted.end());
    Part none{std::vector<std::uint8_t>(static_cast<std::size_t>(flat.cars_count), 0),
              std::vector<std::uint8_t>(static_cast<std::size_t>(flat.jobs), 0),
              {}};
    std::vector<Part> all(static_cast<std::size_t>(parts), none);
    std::vector<int> part_of(static_cast<std::size_t>(flat.cars_count));
    int seen = 0;
    for (const auto& [unused, car] : sorted) {
        const Route& route = state.routes()[car];
        // By the middle of the tour, so that each part has about as many stops.
        const int part = std::min(parts - 1, (2 * seen + route.size() + 1) * parts / (2 * stops));
        seen += route.size() + 1;
        part_of[car] = part;
        all[part].has_car[car] = 1;
    }
    for (int job = 0; job < flat.jobs; ++job) {
        int route = state.route_of(job);
        for (std::size_t i = 0; i < near[job].size() && route < 0; ++i) {
            route = state.route_of(near[job][i]);
        }
        const int part = route >= 0 ? part_of[route] : job % parts;
        all[part].has_job[job] = 1;
        all[part].jobs.push_back(job);
    }
    return all;
}

}  // namespace nestround::tour
