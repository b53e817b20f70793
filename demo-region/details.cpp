// Roundabouts, loose pieces, gates, names and houses: what is set once all roads are laid.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <queue>

#include "demo-region/county.hpp"

namespace nestround::demo {
namespace {

constexpr double kRing = 16;  // metres, radius of a roundabout

bool is_crossroads(const Network& network, int node, const std::vector<int>& around,
                   std::vector<std::pair<double, int>>& arms)
{
    arms.clear();
    int main = 0;
    for (const int e : around) {
        const Edge& edge = network.edges()[e];
        const Road& road = network.road_of(edge);
        const Vec out =
            network.nodes()[edge.from == node ? edge.to : edge.from] - network.nodes()[node];
        if (road.apart || edge.bridge || road.oneway != 0 || length(out) < kRing + 8) {
            return false;
        }
        main += road.road_class <= RoadClass::Tertiary ? 1 : 0;
        arms.emplace_back(std::atan2(out.y, out.x), e);
    }
    std::sort(arms.begin(), arms.end());
    for (std::size_t i = 0; i < arms.size(); ++i) {
        const double next =
            i + 1 < arms.size() ? arms[i + 1].first : arms[0].first + 2 * std::numbers::pi;
        if (next - arms[i].first < 0.5) {
            return false;
        }
    }
    return main >= 3;
}

void build_ring(Network& network, int node, const std::vector<std::pair<double, int>>& arms)
{
    const Vec middle = network.nodes()[node];
    Road ring;
    ring.road_class = RoadClass::Tertiary;
    ring.mph = 20;
    ring.surface = "asphalt";
    ring.oneway = 1;
    ring.roundabout = true;
    ring.in_town = true;
    const int road = network.add_road(ring);
    const auto at = [&](double angle) {
        return middle + Vec{std::cos(angle), std::sin(angle)} * kRing;
    };
    // Counter-clockwise, as traffic that keeps right goes round.
    std::vector<int> nodes;
    for (std::size_t i = 0; i < arms.size(); ++i) {
        const double here = arms[i].first;
        const double next =
            i + 1 < arms.size() ? arms[i + 1].first : arms[0].first + 2 * std::numbers::pi;
        const int mouth = network.add_node(at(here));
        Edge& edge = network.edges()[arms[i].second];
        (edge.from == node ? edge.from : edge.to) = mouth;
        nodes.push_back(mouth);
        const int pieces = std::max(1, static_cast<int>(std::lround((next - here) / 0.75)));
        for (int k = 1; k < pieces; ++k) {
            nodes.push_back(network.add_node(at(here + (next - here) * k / pieces)));
        }
    }
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        network.tie(nodes[i], nodes[(i + 1) % nodes.size()], road);
    }
}

/// The number of the strongly connected part of each node (Tarjan's algorithm without recursion).
std::vector<int> strong_parts(const Network& network)
{
    const std::size_t n = network.nodes().size();
    std::vector<std::vector<int>> out(n);
    for (const Edge& edge : network.edges()) {
        if (edge.road < 0) {
            continue;
        }
        const int oneway = network.road_of(edge).oneway;
        if (oneway >= 0) {
            out[edge.from].push_back(edge.to);
        }
        if (oneway <= 0) {
            out[edge.to].push_back(edge.from);
        }
    }
    std::vector<int> part(n, -1);
    std::vector<int> low(n, 0);
    std::vector<int> order(n, -1);
    std::vector<std::size_t> next(n, 0);
    std::vector<int> stack;
    int clock = 0;
    int parts = 0;
    for (std::size_t root = 0; root < n; ++root) {
        if (order[root] >= 0) {
            continue;
        }
        std::vector<int> calls{static_cast<int>(root)};
        while (!calls.empty()) {
            const int v = calls.back();
            if (order[v] < 0) {
                order[v] = low[v] = clock++;
                stack.push_back(v);
            }
            bool deeper = false;
            for (; next[v] < out[v].size(); ++next[v]) {
                const int w = out[v][next[v]];
                if (order[w] < 0) {
                    calls.push_back(w);
                    deeper = true;
                    break;
                }
                if (part[w] < 0) {
                    low[v] = std::min(low[v], low[w]);
                }
            }
            if (deeper) {
                continue;
            }
            calls.pop_back();
            if (low[v] == order[v]) {
                for (;;) {
                    const int w = stack.back();
                    stack.pop_back();
                    part[w] = parts;
                    if (w == v) {
                        break;
                    }
                }
                ++parts;
            }
        }
    }
    return part;
}

/// Weak parts: nodes that hang together whatever the direction.
std::vector<int> loose_parts(const Network& network, std::vector<int>& sizes)
{
    const auto around = network.edges_by_node();
    std::vector<int> part(network.nodes().size(), -1);
    sizes.clear();
    for (std::size_t root = 0; root < part.size(); ++root) {
        if (part[root] >= 0 || around[root].empty()) {
            continue;
        }
        const int id = static_cast<int>(sizes.size());
        sizes.push_back(0);
        std::vector<int> open{static_cast<int>(root)};
        part[root] = id;
        while (!open.empty()) {
            const int v = open.back();
            open.pop_back();
            ++sizes[id];
            for (const int e : around[v]) {
                const Edge& edge = network.edges()[e];
                const int w = edge.from == v ? edge.to : edge.from;
                if (part[w] < 0) {
                    part[w] = id;
                    open.push_back(w);
                }
            }
        }
    }
    return part;
}

}  // namespace

void make_roundabouts(County& county)
{
    Network& network = county.network;
    const auto around = network.edges_by_node();
    std::vector<Vec> built;
    std::vector<std::pair<double, int>> arms;
    for (std::size_t v = 0; v < around.size() && built.size() < 14; ++v) {
        const Vec at = network.nodes()[v];
        if (around[v].size() < 3 || around[v].size() > 5 ||
            std::any_of(built.begin(), built.end(),
                        [&](Vec other) { return distance(at, other) < 1500; }) ||
            !is_crossroads(network, static_cast<int>(v), around[v], arms)) {
            continue;
        }
        build_ring(network, static_cast<int>(v), arms);
        built.push_back(at);
    }
}

void drop_loose_pieces(County& county)
{
    Network& network = county.network;
    std::vector<int> sizes;
    const auto part = loose_parts(network, sizes);
    const auto main = std::max_element(sizes.begin(), sizes.end()) - sizes.begin();
    // A handful of loose pieces stay, as maps have them.
    std::vector<bool> kept(sizes.size(), false);
    int left = 6;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        kept[i] =
            static_cast<std::ptrdiff_t>(i) == main || (sizes[i] > 4 && sizes[i] < 40 && left-- > 0);
    }
    for (std::size_t e = 0; e < network.edges().size(); ++e) {
        if (network.edges()[e].road >= 0 && !kept[part[network.edges()[e].from]]) {
            network.take_away(static_cast<int>(e));
        }
    }
    for (bool changed = true; changed;) {
        changed = false;
        const auto strong = strong_parts(network);
        for (const Edge& edge : network.edges()) {
            if (edge.road < 0) {
                continue;
            }
            Road& road = network.roads()[edge.road];
            if (road.oneway != 0 && !road.roundabout && !road.apart &&
                strong[edge.from] != strong[edge.to]) {
                road.oneway = 0;
                changed = true;
            }
        }
    }
}

void set_barriers(County& county)
{
    Network& network = county.network;
    const auto around = network.edges_by_node();
    std::vector<bool> done(network.roads().size(), false);
    for (const Edge& edge : network.edges()) {
        if (edge.road < 0 || done[edge.road] || around[edge.to].size() != 2) {
            continue;
        }
        const Road& road = network.road_of(edge);
        const bool track = road.road_class == RoadClass::Track;
        const bool drive = road.service == "driveway";
        if (!track && !drive && road.service != "alley") {
            continue;
        }
        done[edge.road] = true;
        if (county.random.chance(track ? 0.12 : drive ? 0.015 : 0.05)) {
            network.node_tags[edge.to] = {"barrier", !track && !drive            ? "bollard"
                                                     : county.random.chance(0.9) ? "gate"
                                                                                 : "lift_gate"};
        }
    }
}

void name_streets(County& county)
{
    constexpr std::array<const char*, 4> kTown{"Street", "Avenue", "Street", "Way"};
    constexpr std::array<const char*, 4> kGrown{"Court", "Close", "Drive", "Place"};
    constexpr std::array<const char*, 4> kCountry{"Lane", "Road", "Lane", "Hill"};
    Network& network = county.network;
    std::vector<double> metres(network.roads().size(), 0);
    for (const Edge& edge : network.edges()) {
        if (edge.road >= 0) {
            metres[edge.road] += distance(network.nodes()[edge.from], network.nodes()[edge.to]);
        }
    }
    int primary = 0;
    int secondary = 0;
    for (std::size_t r = 0; r < network.roads().size(); ++r) {
        Road& road = network.roads()[r];
        if (metres[r] == 0 || !road.name.empty() || road.roundabout) {
            continue;
        }
        const auto pick = county.random.below(4);
        switch (road.road_class) {
            case RoadClass::Primary:
                road.name = county.names.street("Pike");
                road.ref = "P " + std::to_string(++primary);
                break;
            case RoadClass::Secondary:
                road.name = county.names.street("Road");
                road.ref = "S " + std::to_string(100 + ++secondary);
                break;
            case RoadClass::Tertiary:
            case RoadClass::Unclassified:
                road.name = county.names.street(kCountry[pick]);
                break;
            case RoadClass::Residential:
                road.name = county.names.street(metres[r] > 300 ? kTown[pick] : kGrown[pick]);
                break;
            default:
                break;
        }
    }
}

/// Numbers grow along each street, from the end that lies further west or, on a street that runs
/// north, further south; the draw of each house says on which side it stands.
static void number_houses(County& county)
{
    std::map<std::string, std::vector<House*>> streets;
    for (House& house : county.houses) {
        streets[house.street].push_back(&house);
    }
    for (auto& [name, houses] : streets) {
        const auto [west, east] =
            std::minmax_element(houses.begin(), houses.end(),
                                [](const House* a, const House* b) { return a->at.x < b->at.x; });
        const auto [south, north] =
            std::minmax_element(houses.begin(), houses.end(),
                                [](const House* a, const House* b) { return a->at.y < b->at.y; });
        const bool across = (*east)->at.x - (*west)->at.x > (*north)->at.y - (*south)->at.y;
        std::stable_sort(houses.begin(), houses.end(), [&](const House* a, const House* b) {
            return across ? a->at.x < b->at.x : a->at.y < b->at.y;
        });
        for (std::size_t i = 0; i < houses.size(); ++i) {
            const int side = houses[i]->number % 2;
            houses[i]->number = 2 * (static_cast<int>(i) + 1) - side;
        }
    }
}

void find_houses(County& county)
{
    Network& network = county.network;
    const auto around = network.edges_by_node();
    const auto named = [&](const Edge& edge) {
        return edge.road >= 0 && !network.road_of(edge).name.empty() &&
               network.road_of(edge).road_class != RoadClass::Ferry;
    };
    const auto add = [&](Vec at) {
        if (network.is_wet(at, at, 60)) {
            return;
        }
        const Near near = network.nearest(at, 400, named);
        if (near.edge >= 0) {
            county.houses.push_back({at, network.road_of(network.edges()[near.edge]).name,
                                     1 + static_cast<int>(county.random.below(240))});
        }
    };
    for (std::size_t e = 0; e < network.edges().size(); ++e) {
        const Edge edge = network.edges()[e];
        if (edge.road < 0) {
            continue;
        }
        const Road& road = network.road_of(edge);
        const Vec a = network.nodes()[edge.from];
        const Vec b = network.nodes()[edge.to];
        if (road.service == "driveway" && around[edge.to].size() == 1 &&
            county.random.chance(0.7)) {
            add(b + unit(b - a) * county.random.uniform(6, 22));
        } else if (road.road_class == RoadClass::Residential && distance(a, b) > 15 &&
                   county.random.chance(0.3)) {
            const double side = county.random.chance(0.5) ? 1 : -1;
            add(between(a, b, county.random.uniform(0.2, 0.8)) +
                unit(left_of(b - a)) * (side * county.random.uniform(13, 24)));
        }
    }
    number_houses(county);
}

std::string nearest_town(const County& county, Vec at)
{
    const Place* best = nullptr;
    for (const Place& place : county.places) {
        if (!place.name.empty() && (best == nullptr || distance(at, place.at) - place.radius <
                                                           distance(at, best->at) - best->radius)) {
            best = &place;
        }
    }
    return best == nullptr ? county.name : best->name;
}

}  // namespace nestround::demo
