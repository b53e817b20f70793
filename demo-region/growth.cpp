#include "demo-region/growth.hpp"

#include <algorithm>

namespace nestround::demo {

int grow_branch(Network& network, Random& random, int edge, double share, bool to_left,
                const Growth& growth, const Road& road, const std::function<bool(Vec)>& may)
{
    const Edge parent = network.edges()[edge];
    const Vec a = network.nodes()[parent.from];
    const Vec b = network.nodes()[parent.to];
    if (parent.road < 0 || parent.bridge || a == b) {
        return -1;
    }
    const Vec start = between(a, b, share);
    Vec way = turned(unit(left_of(b - a)) * (to_left ? 1 : -1),
                     random.uniform(-growth.spread, growth.spread));
    const double wanted = random.uniform(growth.shortest, growth.longest);
    const double bend = random.uniform(-growth.bending, growth.bending);
    Line line{start};
    double gone = 0;
    while (gone < wanted) {
        const double step = std::min(growth.step, wanted - gone);
        if (step < 5) {
            break;
        }
        const Vec next = line.back() + way * step;
        // The first step leaves the parent; after that, keep the gap to everything.
        const double away = gone + step;
        const double gap = std::min(growth.gap, away * 0.8);
        const Near near = network.nearest(next, gap, [&](const Edge& e) { return e.road >= 0; });
        if (!may(next) || network.is_wet(line.back(), next, 40) ||
            (gone > 0 && network.meets_road(line.back(), next)) || near.edge >= 0) {
            if (near.edge >= 0 && gone >= growth.shortest && random.chance(growth.joining)) {
                const Edge other = network.edges()[near.edge];
                const Vec on =
                    between(network.nodes()[other.from], network.nodes()[other.to], near.share);
                if (!network.road_of(other).apart && !other.bridge &&
                    !network.meets_road(line.back(), between(line.back(), on, 0.9))) {
                    line.push_back(on);
                }
            }
            break;
        }
        line.push_back(next);
        gone += step;
        way = turned(way, bend + random.uniform(-0.3, 0.3) * growth.bending);
    }
    if (length_of(line) < growth.shortest) {
        return -1;
    }
    const bool joined = line.size() > 2 &&
                        distance(line.back(), line[line.size() - 2]) < growth.gap &&
                        network.nearest(line.back(), 1).edge >= 0;
    const auto path = network.lay(line, network.add_road(road), 6);
    if (path.size() < 2) {
        return -1;
    }
    if (growth.turning_circle && !joined) {
        network.node_tags[path.back()] = {"highway", "turning_circle"};
    }
    return path.back();
}

}  // namespace nestround::demo
