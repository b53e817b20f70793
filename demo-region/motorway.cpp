// The motorway, its ramps, and the ferry.
#include <algorithm>
#include <array>
#include <numbers>

#include "demo-region/county.hpp"
#include "demo-region/noise.hpp"

namespace nestround::demo {
namespace {

constexpr double kHalfGap = 17;  // metres from the middle line to a carriageway

Line beside(const Line& middle, double offset)
{
    Line out;
    for (std::size_t i = 0; i < middle.size(); ++i) {
        const Vec before = middle[i == 0 ? 0 : i - 1];
        const Vec after = middle[std::min(i + 1, middle.size() - 1)];
        out.push_back(middle[i] + unit(left_of(after - before)) * offset);
    }
    return out;
}

struct Spot {
    Vec at;
    std::size_t index = 0;  ///< on the middle line
    int edge = 0;           ///< of the road that crosses
};

/// A node on the road that crosses, some way from the motorway on the side told; -1 when that
/// road is too short there.
int stand_off(const Network& network, const std::vector<std::vector<int>>& around, const Spot& spot,
              Vec side)
{
    int edge = spot.edge;
    const Edge start = network.edges()[edge];
    const int road = start.road;
    int node = dot(network.nodes()[start.to] - spot.at, side) > 0 ? start.to : start.from;
    for (int steps = 0; steps < 12; ++steps) {
        const double away = dot(network.nodes()[node] - spot.at, side);
        if (away > 85 && away < 230) {
            return node;
        }
        int next = -1;
        for (const int e : around[node]) {
            if (e != edge && network.edges()[e].road == road) {
                next = e;
            }
        }
        if (next < 0) {
            return -1;
        }
        edge = next;
        node = network.edges()[edge].from == node ? network.edges()[edge].to
                                                  : network.edges()[edge].from;
    }
    return -1;
}

/// The carriageway's node about `metres` along it from the node nearest to p; -1 when none.
int along(const Network& network, const std::vector<int>& way, Vec p, double metres)
{
    std::size_t at = 0;
    for (std::size_t i = 1; i < way.size(); ++i) {
        if (distance(network.nodes()[way[i]], p) < distance(network.nodes()[way[at]], p)) {
            at = i;
        }
    }
    const int step = metres > 0 ? 1 : -1;
    int i = static_cast<int>(at);
    for (double gone = 0; gone < std::abs(metres);) {
        if (i + step < 0 || i + step >= static_cast<int>(way.size())) {
            return -1;
        }
        gone += distance(network.nodes()[way[i]], network.nodes()[way[i + step]]);
        i += step;
    }
    return way[i];
}

/// One ramp; nothing is laid when it would cross another road.
bool lay_ramp(Network& network, int from, int to, Vec leaving, Vec arriving)
{
    const Line line =
        curve(network.nodes()[from], unit(leaving), network.nodes()[to], unit(arriving), 35);
    for (std::size_t i = 2; i + 2 < line.size(); ++i) {
        if (network.meets_road(line[i - 1], line[i]) || network.is_wet(line[i - 1], line[i], 25)) {
            return false;
        }
    }
    Road ramp;
    ramp.road_class = RoadClass::MotorwayLink;
    ramp.mph = 35;
    ramp.surface = "asphalt";
    ramp.oneway = 1;
    ramp.apart = true;
    const int road = network.add_road(ramp);
    int last = from;
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
        const int node = network.add_node(line[i]);
        network.tie(last, node, road);
        last = node;
    }
    network.tie(last, to, road);
    return true;
}

/// The nodes of a carriageway in driving order.
std::vector<int> way_of(const Network& network, int road)
{
    std::vector<int> way;
    for (const Edge& edge : network.edges()) {
        if (edge.road == road) {
            if (way.empty()) {
                way.push_back(edge.from);
            }
            way.push_back(edge.to);
        }
    }
    return way;
}

}  // namespace

void lay_motorway(County& county)
{
    const double phase = county.random.uniform(0, 2 * std::numbers::pi);
    const ShiftField bends{county.seed ^ 0x6d77U, 5200};
    Line middle;
    for (double x = -kHalfWidth; x <= kHalfWidth; x += 70) {
        const Vec at{x, -9200 + 2600 * std::sin(x / 11500 + phase)};
        middle.push_back(at + bends.at(at) * 700);
    }
    county.motorway = middle;
    for (const bool east : {true, false}) {
        Line line = beside(middle, east ? -kHalfGap : kHalfGap);
        if (!east) {
            std::reverse(line.begin(), line.end());
        }
        Road road;
        road.road_class = RoadClass::Motorway;
        road.ref = "M 9";
        road.mph = 65;
        road.surface = "asphalt";
        road.oneway = 1;
        road.apart = true;
        const int id = county.network.add_road(road);
        int last = county.network.add_node(line.front());
        for (std::size_t i = 1; i < line.size(); ++i) {
            const int node = county.network.add_node(line[i]);
            county.network.tie(last, node, id, county.network.is_wet(line[i - 1], line[i], 25));
            last = node;
        }
    }
}

void lay_interchanges(County& county)
{
    Network& network = county.network;
    const Line& middle = county.motorway;
    std::vector<Spot> spots;
    for (int e = 0; e < static_cast<int>(network.edges().size()); ++e) {
        const Edge edge = network.edges()[e];
        if (edge.road < 0 || network.road_of(edge).apart ||
            network.road_of(edge).road_class > RoadClass::Tertiary) {
            continue;
        }
        for (std::size_t i = 10; i + 10 < middle.size(); ++i) {
            const Vec a = network.nodes()[edge.from];
            const Vec b = network.nodes()[edge.to];
            if (const auto t = meeting(a, b, middle[i], middle[i + 1])) {
                spots.push_back({between(a, b, *t), i, e});
            }
        }
    }
    std::stable_sort(spots.begin(), spots.end(), [&](const Spot& a, const Spot& b) {
        return network.road_of(network.edges()[a.edge]).road_class <
               network.road_of(network.edges()[b.edge]).road_class;
    });
    // Carriageways are the first two roads laid: eastward, westward.
    const std::vector<int> east = way_of(network, 0);
    const std::vector<int> west = way_of(network, 1);
    std::vector<Vec> built;
    for (const Spot& spot : spots) {
        if (built.size() >= 6 || std::any_of(built.begin(), built.end(), [&](Vec other) {
                return distance(other, spot.at) < 4500;
            })) {
            continue;
        }
        const auto around = network.edges_by_node();
        const Vec ahead = unit(middle[spot.index + 1] - middle[spot.index]);
        const Vec north = left_of(ahead);
        const int south_end = stand_off(network, around, spot, north * -1);
        const int north_end = stand_off(network, around, spot, north);
        const int exits[] = {
            along(network, east, spot.at, -420), along(network, east, spot.at, 420),
            along(network, west, spot.at, -420), along(network, west, spot.at, 420)};
        if (south_end < 0 || north_end < 0 || *std::min_element(exits, exits + 4) < 0) {
            continue;
        }
        const Vec back = ahead * -1;
        // Off and on again, on either side; all four or the spot is given up later as half built.
        const bool whole =
            lay_ramp(network, exits[0], south_end, ahead + north * -0.15, ahead + north * -0.5) &&
            lay_ramp(network, south_end, exits[1], ahead + north * 0.3, ahead) &&
            lay_ramp(network, exits[2], north_end, back + north * 0.15, back + north * 0.5) &&
            lay_ramp(network, north_end, exits[3], back + north * -0.3, back);
        if (whole) {
            built.push_back(spot.at);
        }
    }
}

void lay_ferry(County& county)
{
    Network& network = county.network;
    const Line& river = network.river();
    std::vector<Vec> bridges;
    for (const Edge& edge : network.edges()) {
        if (edge.road >= 0 && edge.bridge) {
            bridges.push_back(network.nodes()[edge.from]);
        }
    }
    // Where the nearest bridge is farthest, with a lane near enough on either bank.
    const auto bank = [&](std::size_t i, double side) {
        return river[i] + unit(left_of(river[i + 3] - river[i - 3])) * side;
    };
    const auto lane_end = [&](const Near& near) {
        const Edge edge = network.edges()[near.edge];
        return between(network.nodes()[edge.from], network.nodes()[edge.to], near.share);
    };
    const auto dry_lane = [&](std::size_t i, double side) {
        Near near = network.nearest(bank(i, side), 1000);
        if (near.edge >= 0 && network.is_wet(lane_end(near), bank(i, side), 40)) {
            near.edge = -1;
        }
        return near;
    };
    double best = 0;
    std::size_t place = 0;
    for (std::size_t i = 30; i + 30 < river.size(); ++i) {
        double away = std::abs(river[i].y) > kHalfHeight - 3000 ? 0 : 1e9;
        for (const Vec bridge : bridges) {
            away = std::min(away, distance(bridge, river[i]));
        }
        if (away > best && dry_lane(i, 60).edge >= 0 && dry_lane(i, -60).edge >= 0) {
            best = away;
            place = i;
        }
    }
    if (best == 0) {
        return;
    }
    Road lane;
    lane.name = county.names.street("Ferry");
    lane.surface = "gravel";
    lane.mph = 25;
    // Both lanes are found before either slip is laid: the first must not serve the second.
    const std::array<double, 2> sides{60, -60};
    std::array<Line, 2> slips;
    for (std::size_t k = 0; k < sides.size(); ++k) {
        slips[k] = densified({lane_end(dry_lane(place, sides[k])), bank(place, sides[k])}, 60);
    }
    std::array<int, 2> landing{};
    for (std::size_t k = 0; k < sides.size(); ++k) {
        const auto path = network.lay(slips[k], network.add_road(lane));
        if (path.empty() || distance(network.nodes()[path.back()], slips[k].back()) > 1) {
            return;
        }
        landing[k] = path.back();
    }
    Road ferry;
    ferry.road_class = RoadClass::Ferry;
    ferry.name = lane.name;
    ferry.minutes = 8;
    ferry.apart = true;
    network.tie(landing[0], landing[1], network.add_road(ferry));
    for (const int node : landing) {
        network.node_tags[node] = {"amenity", "ferry_terminal"};
    }
}

}  // namespace nestround::demo
