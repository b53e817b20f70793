#include "demo-region/network.hpp"

#include <algorithm>

namespace nestround::demo {
namespace {
constexpr double kSameNode = 6;  // metres: a meeting so near a node is that node
}

void CellIndex::add(int item, Vec a, Vec b)
{
    for (auto i = cell_of(std::min(a.x, b.x)); i <= cell_of(std::max(a.x, b.x)); ++i) {
        for (auto j = cell_of(std::min(a.y, b.y)); j <= cell_of(std::max(a.y, b.y)); ++j) {
            cells_[i * 1000003 + j].push_back(item);
        }
    }
}

void CellIndex::near(Vec a, Vec b, double margin, const std::function<void(int)>& visit) const
{
    for (auto i = cell_of(std::min(a.x, b.x) - margin); i <= cell_of(std::max(a.x, b.x) + margin);
         ++i) {
        for (auto j = cell_of(std::min(a.y, b.y) - margin);
             j <= cell_of(std::max(a.y, b.y) + margin); ++j) {
            if (const auto cell = cells_.find(i * 1000003 + j); cell != cells_.end()) {
                for (const int item : cell->second) {
                    visit(item);
                }
            }
        }
    }
}

Network::Network(Line river) : river_{std::move(river)}
{
    for (std::size_t i = 0; i + 1 < river_.size(); ++i) {
        water_.add(static_cast<int>(i), river_[i], river_[i + 1]);
    }
}

int Network::add_node(Vec at)
{
    nodes_.push_back(at);
    return static_cast<int>(nodes_.size()) - 1;
}

int Network::add_road(Road road)
{
    roads_.push_back(std::move(road));
    return static_cast<int>(roads_.size()) - 1;
}

int Network::tie(int from, int to, int road, bool bridge)
{
    edges_.push_back({from, to, road, bridge});
    const int edge = static_cast<int>(edges_.size()) - 1;
    index_.add(edge, nodes_[from], nodes_[to]);
    return edge;
}

void Network::connect(int from, int to, int road, bool bridge)
{
    if (from == to) {
        return;
    }
    bool known = false;
    index_.near(nodes_[from], nodes_[from], 0, [&](int e) {
        const Edge& edge = edges_[e];
        known = known || (edge.road >= 0 && ((edge.from == from && edge.to == to) ||
                                             (edge.from == to && edge.to == from)));
    });
    if (!known) {
        tie(from, to, road, bridge);
    }
}

int Network::split(int edge, Vec at)
{
    const int node = add_node(at);
    const Edge old = edges_[edge];
    edges_[edge].to = node;
    index_.add(edge, nodes_[old.from], at);
    tie(node, old.to, old.road, old.bridge);
    return node;
}

Near Network::nearest(Vec p, double within, const std::function<bool(const Edge&)>& wanted) const
{
    Near best{-1, within, 0};
    index_.near(p, p, within, [&](int e) {
        const Edge& edge = edges_[e];
        if (edge.road < 0 || (wanted ? !wanted(edge) : edge.bridge || roads_[edge.road].apart)) {
            return;
        }
        const double share = nearest_share(p, nodes_[edge.from], nodes_[edge.to]);
        const double metres = distance(p, between(nodes_[edge.from], nodes_[edge.to], share));
        if (metres < best.metres || (metres == best.metres && e < best.edge)) {
            best = {e, metres, share};
        }
    });
    return best;
}

int Network::join(Vec at, double reach)
{
    const Near found = nearest(at, reach, [&](const Edge& e) { return !roads_[e.road].apart; });
    if (found.edge < 0) {
        return add_node(at);
    }
    const Edge edge = edges_[found.edge];
    if (edge.bridge) {  // only its heads can be joined
        return found.share < 0.5 ? edge.from : edge.to;
    }
    const Vec on = between(nodes_[edge.from], nodes_[edge.to], found.share);
    if (distance(on, nodes_[edge.from]) < kSameNode) {
        return edge.from;
    }
    if (distance(on, nodes_[edge.to]) < kSameNode) {
        return edge.to;
    }
    return split(found.edge, on);
}

bool Network::is_wet(Vec p, Vec q, double margin) const
{
    bool wet = false;
    water_.near(p, q, margin, [&](int i) {
        const Vec a = river_[i];
        const Vec b = river_[i + 1];
        wet = wet || meeting(p, q, a, b) || distance_to(p, a, b) < margin ||
              distance_to(q, a, b) < margin;
    });
    return wet;
}

bool Network::meets_road(Vec p, Vec q) const
{
    bool met = false;
    index_.near(p, q, 0, [&](int e) {
        const Edge& edge = edges_[e];
        met = met || (edge.road >= 0 && meeting(p, q, nodes_[edge.from], nodes_[edge.to]));
    });
    return met;
}

std::vector<int> Network::lay(const Line& line, int road, double reach, bool bridge)
{
    std::vector<int> path;
    if (line.size() < 2 || (!bridge && is_wet(line[0], line[1], 35))) {
        return path;
    }
    path.push_back(join(line.front(), reach));
    for (std::size_t i = 1; i < line.size(); ++i) {
        const Vec p = nodes_[path.back()];
        const Vec q = line[i];
        if (!bridge && is_wet(p, q, 35)) {
            break;
        }
        // Everything met on the way to q, nearest first.
        std::vector<std::pair<double, int>> met;
        index_.near(p, q, 0, [&](int e) {
            const Edge& edge = edges_[e];
            if (edge.road < 0 || roads_[edge.road].apart || edge.bridge ||
                edge.from == path.back() || edge.to == path.back()) {
                return;
            }
            if (const auto t = meeting(p, q, nodes_[edge.from], nodes_[edge.to])) {
                met.emplace_back(*t, e);
            }
        });
        std::sort(met.begin(), met.end());
        met.erase(std::unique(met.begin(), met.end()), met.end());
        for (const auto& [t, e] : met) {
            const Vec at = between(p, q, t);
            const Edge edge = edges_[e];
            int node = -1;
            if (distance(at, nodes_[edge.from]) < kSameNode) {
                node = edge.from;
            } else if (distance(at, nodes_[edge.to]) < kSameNode) {
                node = edge.to;
            } else if (meeting(p, q, nodes_[edge.from], nodes_[edge.to])) {
                node = split(e, at);
            } else {
                continue;  // an earlier cut moved this edge out of the way
            }
            if (node != path.back()) {
                connect(path.back(), node, road, bridge);
                path.push_back(node);
            }
        }
        const bool last = i + 1 == line.size();
        int node = -1;
        if (last) {
            node = join(q, reach);
        } else if (distance(nodes_[path.back()], q) > kSameNode) {
            node = add_node(q);
        }
        if (node >= 0 && node != path.back()) {
            connect(path.back(), node, road, bridge);
            path.push_back(node);
        }
    }
    return path;
}

int Network::cut_crossings()
{
    int made = 0;
    for (std::size_t e = 0; e < edges_.size(); ++e) {
        for (bool again = true; again;) {
            again = false;
            const Edge a = edges_[e];
            if (a.road < 0 || roads_[a.road].apart || a.bridge) {
                break;
            }
            int other = -1;
            index_.near(nodes_[a.from], nodes_[a.to], 0, [&](int f) {
                const Edge& b = edges_[f];
                if (f <= static_cast<int>(e) || other >= 0 || b.road < 0 || b.bridge ||
                    roads_[b.road].apart || a.from == b.from || a.from == b.to || a.to == b.from ||
                    a.to == b.to) {
                    return;
                }
                const auto t = meeting(nodes_[a.from], nodes_[a.to], nodes_[b.from], nodes_[b.to]);
                // Ends that only touch would be cut for ever.
                constexpr double kTouch = 0.01;
                const auto touches = [&](Vec at) {
                    return distance(at, nodes_[a.from]) < kTouch ||
                           distance(at, nodes_[a.to]) < kTouch ||
                           distance(at, nodes_[b.from]) < kTouch ||
                           distance(at, nodes_[b.to]) < kTouch;
                };
                if (t && !touches(between(nodes_[a.from], nodes_[a.to], *t))) {
                    other = f;
                }
            });
            if (other >= 0) {
                const Edge b = edges_[other];
                const auto t = meeting(nodes_[a.from], nodes_[a.to], nodes_[b.from], nodes_[b.to]);
                const int node =
                    split(static_cast<int>(e), between(nodes_[a.from], nodes_[a.to], *t));
                edges_[other].to = node;
                index_.add(other, nodes_[b.from], nodes_[node]);
                tie(node, b.to, b.road, b.bridge);
                ++made;
                again = true;
            }
        }
    }
    return made;
}

std::vector<std::vector<int>> Network::edges_by_node() const
{
    std::vector<std::vector<int>> at(nodes_.size());
    for (std::size_t e = 0; e < edges_.size(); ++e) {
        if (edges_[e].road >= 0) {
            at[edges_[e].from].push_back(static_cast<int>(e));
            at[edges_[e].to].push_back(static_cast<int>(e));
        }
    }
    return at;
}

}  // namespace nestround::demo
