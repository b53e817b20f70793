// Roads between places: which of them are joined, which way main traffic takes, where bridges are.
#include <algorithm>
#include <limits>
#include <queue>

#include "demo-region/county.hpp"
#include "demo-region/road_plan.hpp"

namespace nestround::demo {
namespace {

int crossings(const Line& line, Vec p, Vec q)
{
    int n = 0;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        n += meeting(p, q, line[i], line[i + 1]) ? 1 : 0;
    }
    return n;
}

/// Gabriel graph: two places are joined when no third lies in the circle over them; relative
/// neighbours among them are the backbone.
Plan join_neighbours(County& county)
{
    Plan plan;
    for (const Place& place : county.places) {
        plan.at.push_back(place.at);
    }
    constexpr double kFar = 3400;
    const int n = static_cast<int>(plan.at.size());
    for (int i = 0; i < n; ++i) {
        std::vector<int> around;
        for (int k = 0; k < n; ++k) {
            if (k != i && distance(plan.at[i], plan.at[k]) < kFar) {
                around.push_back(k);
            }
        }
        for (const int j : around) {
            if (j < i) {
                continue;
            }
            const double reach = distance(plan.at[i], plan.at[j]);
            const Vec middle = between(plan.at[i], plan.at[j], 0.5);
            bool gabriel = true;
            bool relative = true;
            for (const int k : around) {
                if (k == j) {
                    continue;
                }
                gabriel = gabriel && distance(plan.at[k], middle) >= reach / 2;
                relative = relative && std::max(distance(plan.at[k], plan.at[i]),
                                                distance(plan.at[k], plan.at[j])) >= reach;
            }
            if (gabriel) {
                Link link{i, j};
                link.crossings = crossings(county.network.river(), plan.at[i], plan.at[j]);
                link.backbone = relative;
                link.weight = reach * county.random.uniform(1.0, 1.25);
                plan.links.push_back(link);
            }
        }
    }
    plan.index();
    return plan;
}

bool is_main(const Link& link) { return link.road_class < RoadClass::Unclassified; }

/// Links of the cheapest way; roads already main are cheaper, new bridges dear.
std::vector<int> cheapest_way(const Plan& plan, int from, int to)
{
    constexpr double kNewBridge = 6500;
    std::vector<double> cost(plan.at.size(), std::numeric_limits<double>::infinity());
    std::vector<int> by(plan.at.size(), -1);
    std::priority_queue<std::pair<double, int>, std::vector<std::pair<double, int>>, std::greater<>>
        open;
    cost[from] = 0;
    open.emplace(0, from);
    while (!open.empty()) {
        const auto [c, v] = open.top();
        open.pop();
        if (c > cost[v] || v == to) {
            continue;
        }
        for (const int l : plan.links_at[v]) {
            const Link& link = plan.links[l];
            if (link.crossings > 1) {
                continue;
            }
            const double fee = link.crossings == 1 && !link.bridge ? kNewBridge : 0;
            const double next = c + link.weight * (is_main(link) ? 0.55 : 1.0) + fee;
            const int w = link.a == v ? link.b : link.a;
            if (next < cost[w]) {
                cost[w] = next;
                by[w] = l;
                open.emplace(next, w);
            }
        }
    }
    std::vector<int> way;
    for (int v = to; by[v] >= 0;
         v = plan.links[by[v]].a == v ? plan.links[by[v]].b : plan.links[by[v]].a) {
        way.push_back(by[v]);
    }
    return way;
}

void raise(Plan& plan, const std::vector<int>& way, RoadClass to)
{
    for (const int l : way) {
        Link& link = plan.links[l];
        link.road_class = std::min(link.road_class, to);
        link.bridge = link.bridge || link.crossings == 1;
    }
}

/// Towns to towns, villages to their nearest towns.
void choose_main_ways(County& county, Plan& plan)
{
    std::vector<int> towns;
    std::vector<int> villages;
    for (int i = 0; i < static_cast<int>(county.places.size()); ++i) {
        if (county.places[i].kind == PlaceKind::Town) {
            towns.push_back(i);
        } else if (county.places[i].kind == PlaceKind::Village) {
            villages.push_back(i);
        }
    }
    struct Pair {
        double metres;
        int a, b;
    };
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < towns.size(); ++i) {
        for (std::size_t j = i + 1; j < towns.size(); ++j) {
            pairs.push_back({distance(plan.at[towns[i]], plan.at[towns[j]]), towns[i], towns[j]});
        }
    }
    std::sort(pairs.begin(), pairs.end(),
              [](const Pair& x, const Pair& y) { return x.metres < y.metres; });
    // Primary: a tree over the towns. Secondary: the next nearest pairs.
    std::vector<int> group(plan.at.size());
    for (std::size_t i = 0; i < group.size(); ++i) {
        group[i] = static_cast<int>(i);
    }
    std::vector<Pair> rest;
    for (const Pair& pair : pairs) {
        if (group[pair.a] == group[pair.b]) {
            rest.push_back(pair);
            continue;
        }
        raise(plan, cheapest_way(plan, pair.a, pair.b), RoadClass::Primary);
        const int old = group[pair.b];
        std::replace(group.begin(), group.end(), old, group[pair.a]);
    }
    for (std::size_t i = 0; i < std::min<std::size_t>(rest.size(), 13); ++i) {
        raise(plan, cheapest_way(plan, rest[i].a, rest[i].b), RoadClass::Secondary);
    }
    for (const int village : villages) {
        std::sort(towns.begin(), towns.end(), [&](int x, int y) {
            return distance(plan.at[village], plan.at[x]) < distance(plan.at[village], plan.at[y]);
        });
        raise(plan, cheapest_way(plan, village, towns[0]), RoadClass::Tertiary);
        std::vector<int> others = villages;
        std::sort(others.begin(), others.end(), [&](int x, int y) {
            return distance(plan.at[village], plan.at[x]) < distance(plan.at[village], plan.at[y]);
        });
        raise(plan, cheapest_way(plan, village, others[1]), RoadClass::Tertiary);
    }
    // Every corner of a town hangs on a main road.
    for (int i = 0; i < static_cast<int>(plan.at.size()); ++i) {
        if (county.places[i].radius < -1) {
            for (const int town : towns) {
                if (distance(plan.at[i], plan.at[town]) < county.places[town].radius) {
                    raise(plan, cheapest_way(plan, i, town), RoadClass::Tertiary);
                }
            }
        }
    }
}

void thin_lanes(County& county, Plan& plan)
{
    for (Link& link : plan.links) {
        const bool over_motorway = crossings(county.motorway, plan.at[link.a], plan.at[link.b]) > 0;
        if (is_main(link)) {
            link.kept = link.crossings == 0 || link.bridge;
        } else {
            link.kept = link.crossings == 0 && (!over_motorway || county.random.chance(0.5)) &&
                        (link.backbone || county.random.chance(0.4));
        }
    }
    std::erase_if(plan.links, [](const Link& link) { return !link.kept; });
    plan.index();
}

/// Main roads lose their sharp bends.
void straighten(const County& county, Plan& plan)
{
    for (int round = 0; round < 6; ++round) {
        std::vector<Vec> next = plan.at;
        for (std::size_t v = 0; v < plan.at.size(); ++v) {
            std::vector<int> main;
            for (const int l : plan.links_at[v]) {
                if (plan.links[l].road_class <= RoadClass::Secondary) {
                    main.push_back(l);
                }
            }
            if (main.size() != 2 || county.places[v].kind != PlaceKind::Corner) {
                continue;
            }
            Vec sum{};
            for (const int l : main) {
                const Link& link = plan.links[l];
                sum = sum + plan.at[link.a == static_cast<int>(v) ? link.b : link.a];
            }
            const Vec to = between(plan.at[v], sum * 0.5, 0.5);
            if (!county.network.is_wet(plan.at[v], to, 160)) {
                next[v] = to;
            }
        }
        plan.at = next;
    }
}

/// Each bridge becomes a short straight link across the water with a head on either bank.
void set_bridges(const County& county, Plan& plan)
{
    const Line& river = county.network.river();
    const std::size_t n = plan.links.size();
    for (std::size_t l = 0; l < n; ++l) {
        if (!plan.links[l].bridge) {
            continue;
        }
        const Link link = plan.links[l];
        for (std::size_t i = 0; i + 1 < river.size(); ++i) {
            const auto t = meeting(plan.at[link.a], plan.at[link.b], river[i], river[i + 1]);
            if (!t) {
                continue;
            }
            const Vec at = between(plan.at[link.a], plan.at[link.b], *t);
            const std::size_t k = std::min(i + 3, river.size() - 1);
            Vec across = unit(left_of(river[k] - river[i >= 2 ? i - 2 : 0]));
            if (dot(across, plan.at[link.b] - plan.at[link.a]) < 0) {
                across = across * -1;
            }
            const int first = static_cast<int>(plan.at.size());
            plan.at.push_back(at - across * 75);
            plan.at.push_back(at + across * 75);
            Link out = link;
            out.bridge = false;
            plan.links[l] = out;
            plan.links[l].b = first;
            out.a = first + 1;
            plan.links.push_back(out);
            Link over = link;
            over.a = first;
            over.b = first + 1;
            plan.links.push_back(over);
            break;
        }
    }
    plan.index();
}

}  // namespace

void lay_main_roads(County& county)
{
    Plan plan = join_neighbours(county);
    choose_main_ways(county, plan);
    thin_lanes(county, plan);
    straighten(county, plan);
    set_bridges(county, plan);
    lay_links(county, plan);
}

}  // namespace nestround::demo
