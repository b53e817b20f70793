// Curves for the links of the road plan.
#include <algorithm>
#include <array>
#include <tuple>

#include "demo-region/noise.hpp"
#include "demo-region/road_plan.hpp"

namespace nestround::demo {
namespace {

Road road_for(RoadClass road_class, Random& random)
{
    Road road;
    road.road_class = road_class;
    switch (road_class) {
        case RoadClass::Primary:
            road.mph = 55;
            road.surface = "asphalt";
            break;
        case RoadClass::Secondary:
            road.mph = 50;
            road.surface = "asphalt";
            break;
        case RoadClass::Tertiary:
            road.mph = random.chance(0.6) ? 45 : 40;
            road.surface = "asphalt";
            break;
        default:
            road.mph = random.chance(0.25) ? 35 : 0;
            road.surface = random.chance(0.6) ? "asphalt" : random.chance(0.6) ? "gravel" : "";
    }
    return road;
}

}  // namespace

void lay_links(County& county, const Plan& plan)
{
    const ShiftField wide{county.seed ^ 0x77U, 720};
    const ShiftField fine{county.seed ^ 0x78U, 260};
    const auto direction = [&](int l, int from) {
        const Link& link = plan.links[l];
        const int to = link.a == from ? link.b : link.a;
        return unit(plan.at[to] - plan.at[from]);
    };
    // partner[l][0 or 1]: the link that goes on at its a or b.
    std::vector<std::array<int, 2>> partner(plan.links.size(), {-1, -1});
    for (int v = 0; v < static_cast<int>(plan.at.size()); ++v) {
        std::vector<std::tuple<int, double, int, int>> options;
        const auto& around = plan.links_at[v];
        for (std::size_t i = 0; i < around.size(); ++i) {
            for (std::size_t j = i + 1; j < around.size(); ++j) {
                const double straight = dot(direction(around[i], v), direction(around[j], v));
                const auto a = plan.links[around[i]].road_class;
                const auto b = plan.links[around[j]].road_class;
                if (straight < -0.45 && (a == b || straight < -0.8)) {
                    options.emplace_back(a == b ? static_cast<int>(a) : 20, straight, around[i],
                                         around[j]);
                }
            }
        }
        std::sort(options.begin(), options.end());
        const auto side = [&](int l) { return plan.links[l].a == v ? 0 : 1; };
        for (const auto& [rank, straight, i, j] : options) {
            if (partner[i][side(i)] < 0 && partner[j][side(j)] < 0) {
                partner[i][side(i)] = j;
                partner[j][side(j)] = i;
            }
        }
    }
    std::vector<int> road_of(plan.links.size(), -1);
    std::vector<int> order(plan.links.size());
    for (std::size_t i = 0; i < order.size(); ++i) {
        order[i] = static_cast<int>(i);
    }
    std::stable_sort(order.begin(), order.end(), [&](int x, int y) {
        return std::pair{!plan.links[x].bridge, plan.links[x].road_class} <
               std::pair{!plan.links[y].bridge, plan.links[y].road_class};
    });
    for (const int l : order) {
        const Link& link = plan.links[l];
        for (const int side : {0, 1}) {
            const int next = partner[l][side];
            if (road_of[l] < 0 && next >= 0 && road_of[next] >= 0 &&
                plan.links[next].road_class == link.road_class && county.random.chance(0.92)) {
                road_of[l] = road_of[next];
            }
        }
        if (road_of[l] < 0) {
            road_of[l] = county.network.add_road(road_for(link.road_class, county.random));
        }
        const auto tangent = [&](int side) {
            const int v = side == 0 ? link.a : link.b;
            const Vec own = direction(l, v);
            const int next = partner[l][side];
            return next < 0 || link.bridge   ? own
                   : plan.links[next].bridge ? direction(next, v) * -1
                                             : unit(own - direction(next, v));
        };
        const Vec a = plan.at[link.a];
        const Vec b = plan.at[link.b];
        if (link.bridge) {
            county.network.lay({a, b}, road_of[l], 8, true);
            continue;
        }
        Line line = curve(a, tangent(0), b, tangent(1) * -1, 48);
        const double swing = link.road_class <= RoadClass::Secondary  ? 22
                             : link.road_class == RoadClass::Tertiary ? 50
                                                                      : 95;
        for (Vec& p : line) {
            const double room = std::min({distance(p, a), distance(p, b), 320.0}) / 320;
            p = p + wide.at(p) * (swing * room) + fine.at(p) * (swing * 0.2 * room);
        }
        county.network.lay(line, road_of[l], 14);
    }
}

}  // namespace nestround::demo
