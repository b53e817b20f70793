#include "geocore/roads/turn_graph.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <numeric>
#include <span>

#include "geocore/roads/strong_parts.hpp"

namespace nestround::roads {
namespace {

using History = std::vector<std::uint32_t>;  // directions, the last one last

/// Where in a trip one is: on roads of the start, on open roads, on roads of the end.
enum Phase : std::uint8_t { kStart = 0, kOpen = 1, kEnd = 2 };
using States = std::array<std::uint32_t, 3>;
constexpr States kNoStates{kNoState, kNoState, kNoState};

/// A direction as it is driven with some memory of how one came.
struct Variant {
    std::uint32_t direction = 0;
    const History* history = nullptr;  ///< nothing but the direction when null
    States out = kNoStates;
    States in = kNoStates;
};

class Builder {
public:
    Builder(const NetworkData& data, const TurnCosts& costs, const BindsTurn& binds)
        : data_{data},
          costs_{costs},
          ends_only_{ends_only_edges(static_cast<std::uint32_t>(data.nodes.size()), data.edges)},
          split_(data.nodes.size(), costs.any() ? 1 : 0)
    {
        for (const auto& rule : data.turn_rules) {
            if (binds(rule)) {
                add_rule(rule);
            }
        }
    }

    TravelGraphData run()
    {
        list_directions();
        number_states();
        for (const auto& variant : variants_) {
            drive(variant);
        }
        for (std::uint32_t node = 0; node < data_.nodes.size(); ++node) {
            if (split_[node] != 0) {
                turn_at(node);
            } else if (node_states_[node][kStart] != kNoState) {
                add(node_states_[node][kStart], node_states_[node][kOpen], 0);
                add(node_states_[node][kOpen], node_states_[node][kEnd], 0);
            }
        }
        return finish();
    }

private:
    struct Rule {
        History before;
        std::uint32_t last = 0;
        bool only = false;
    };
    struct Arc {
        std::uint32_t tail = 0;
        TravelArc arc;
    };

    const RoadEdge& edge(std::uint32_t direction) const { return data_.edges[direction / 2]; }
    bool is_open(std::uint32_t direction) const
    {
        return (direction % 2 == 0 ? edge(direction).forward_ms : edge(direction).backward_ms) !=
               kClosed;
    }
    std::uint32_t tail_of(std::uint32_t direction) const
    {
        return direction % 2 == 0 ? edge(direction).from : edge(direction).to;
    }
    std::uint32_t head_of(std::uint32_t direction) const
    {
        return direction % 2 == 0 ? edge(direction).to : edge(direction).from;
    }
    bool ends_only(std::uint32_t direction) const { return ends_only_[direction / 2] != 0; }

    void add_rule(const TurnRule& stored)
    {
        const auto first = data_.turn_steps.begin() + stored.first_step;
        Rule rule{{first, first + stored.steps - 1}, first[stored.steps - 1], stored.only != 0};
        for (std::size_t i = 0; i < rule.before.size(); ++i) {
            split_[head_of(rule.before[i])] = 1;
            if (i > 0) {
                copies_[History{rule.before.begin(),
                                rule.before.begin() + static_cast<std::ptrdiff_t>(i) + 1}] = 0;
            }
        }
        rules_[rule.before.back()].push_back(std::move(rule));
    }

    void list_directions()
    {
        arriving_.resize(data_.nodes.size());
        leaving_.resize(data_.nodes.size());
        touches_ends_.assign(data_.nodes.size(), 0);
        plain_.assign(data_.edges.size() * 2, 0);
        for (std::uint32_t d = 0; d < data_.edges.size() * 2; ++d) {
            if (!is_open(d)) {
                continue;
            }
            plain_[d] = static_cast<std::uint32_t>(variants_.size());
            variants_.push_back({d, nullptr, kNoStates, kNoStates});
            arriving_[head_of(d)].push_back(plain_[d]);
            leaving_[tail_of(d)].push_back(d);
            if (ends_only(d)) {
                touches_ends_[head_of(d)] = touches_ends_[tail_of(d)] = 1;
            }
        }
        for (auto& [history, number] : copies_) {
            number = static_cast<std::uint32_t>(variants_.size());
            variants_.push_back({history.back(), &history, kNoStates, kNoStates});
            arriving_[head_of(history.back())].push_back(number);
            sinks_[history.back()] = kNoState;
        }
    }

    States new_states(bool ends, bool open)
    {
        States states = kNoStates;
        if (ends) {
            states[kStart] = states_++;
        }
        if (open) {
            states[kOpen] = states_++;
        }
        if (ends) {
            states[kEnd] = states_++;
        }
        return states;
    }

    /// Neighbours on the ground stay close in memory, as the nodes are.
    void number_states()
    {
        node_states_.assign(data_.nodes.size(), kNoStates);
        for (std::uint32_t node = 0; node < data_.nodes.size(); ++node) {
            if (split_[node] == 0) {
                node_states_[node] = new_states(touches_ends_[node] != 0, true);
            }
            for (const auto number : arriving_[node]) {
                auto& v = variants_[number];
                v.in = split_[node] == 0
                           ? node_states_[node]
                           : new_states(ends_only(v.direction), !ends_only(v.direction));
                if (v.history != nullptr) {
                    v.out = new_states(ends_only(v.direction), !ends_only(v.direction));
                }
            }
            for (const auto d : leaving_[node]) {
                auto& v = variants_[plain_[d]];
                v.out = split_[node] == 0 ? node_states_[node]
                                          : new_states(ends_only(d), !ends_only(d));
            }
        }
        for (auto& [direction, state] : sinks_) {
            state = states_++;
        }
    }

    void add(std::uint32_t tail, std::uint32_t head, std::uint32_t ms)
    {
        arcs_.push_back({tail, {head, ms, 0, kTurn}});
    }

    void drive(const Variant& v)
    {
        const auto& e = edge(v.direction);
        const auto ms = v.direction % 2 == 0 ? e.forward_ms : e.backward_ms;
        for (const auto phase : {kStart, kOpen, kEnd}) {
            if (ends_only(v.direction) == (phase == kOpen)) {
                continue;
            }
            arcs_.push_back({v.out[phase], {v.in[phase], ms, e.length_mm, v.direction}});
            // A trip that ends on a road with copies does not care which it is on.
            if (const auto sink = sinks_.find(v.direction);
                sink != sinks_.end() && phase != kStart) {
                add(v.out[phase], sink->second, 0);
            }
        }
    }

    bool is_forbidden(const Variant& v, std::uint32_t next) const
    {
        const auto found = rules_.find(v.direction);
        if (found == rules_.end()) {
            return false;
        }
        const History only_this{v.direction};
        const auto& history = v.history != nullptr ? *v.history : only_this;
        bool must = false;
        bool may = false;
        for (const auto& rule : found->second) {
            if (rule.before.size() > history.size() ||
                !std::equal(rule.before.rbegin(), rule.before.rend(), history.rbegin())) {
                continue;
            }
            if (!rule.only && rule.last == next) {
                return true;
            }
            must = must || rule.only;
            may = may || (rule.only && rule.last == next);
        }
        return must && !may;
    }

    /// The next road with as much memory as any rule needs.
    const Variant& entered(const Variant& v, std::uint32_t next) const
    {
        if (sinks_.contains(next)) {
            History history = v.history != nullptr ? *v.history : History{v.direction};
            for (history.push_back(next); history.size() > 1; history.erase(history.begin())) {
                if (const auto copy = copies_.find(history); copy != copies_.end()) {
                    return variants_[copy->second];
                }
            }
        }
        return variants_[plain_[next]];
    }

    void turn_at(std::uint32_t node)
    {
        for (const auto number : arriving_[node]) {
            const auto& from = variants_[number];
            for (const auto next : leaving_[node]) {
                if (is_forbidden(from, next)) {
                    continue;
                }
                const auto& to = entered(from, next);
                const auto ms = cost(from.direction, next);
                for (const auto a : {kStart, kOpen, kEnd}) {
                    for (const auto b : {kStart, kOpen, kEnd}) {
                        const bool follows = a <= b && !(a == kOpen && b == kStart);
                        if (follows && from.in[a] != kNoState && to.out[b] != kNoState) {
                            add(from.in[a], to.out[b], ms);
                        }
                    }
                }
            }
        }
    }

    std::uint32_t cost(std::uint32_t from, std::uint32_t to) const
    {
        if (!costs_.any()) {
            return 0;
        }
        if (from / 2 == to / 2 && from != to) {
            return costs_.u_turn_ms;
        }
        const auto degrees = bend(from, to);
        return degrees >= 45 ? costs_.left_ms : degrees <= -45 ? costs_.right_ms : 0;
    }

    /// Degrees from going straight on, to the left above 0.
    double bend(std::uint32_t from, std::uint32_t to) const
    {
        const auto line = [&](std::uint32_t d) {
            return std::span{data_.points}.subspan(
                data_.first_point[d / 2], data_.first_point[d / 2 + 1] - data_.first_point[d / 2]);
        };
        const auto in = line(from);
        const auto out = line(to);
        const auto at = data_.nodes[head_of(from)];
        const double narrow = std::cos(at.lat_e7 * 1e-7 * std::numbers::pi / 180);
        // The nearest vertex elsewhere than the junction.
        const auto other = [&](std::span<const RoadPoint> points, bool begins) {
            if (begins) {
                const auto p = std::find_if(points.begin(), points.end(),
                                            [&](RoadPoint q) { return q != at; });
                return p == points.end() ? at : *p;
            }
            const auto p =
                std::find_if(points.rbegin(), points.rend(), [&](RoadPoint q) { return q != at; });
            return p == points.rend() ? at : *p;
        };
        const auto before = other(in, from % 2 != 0);
        const auto after = other(out, to % 2 == 0);
        const double ax = (static_cast<double>(at.lon_e7) - before.lon_e7) * narrow;
        const double ay = static_cast<double>(at.lat_e7) - before.lat_e7;
        const double bx = (static_cast<double>(after.lon_e7) - at.lon_e7) * narrow;
        const double by = static_cast<double>(after.lat_e7) - at.lat_e7;
        return std::atan2(ax * by - ay * bx, ax * bx + ay * by) * 180 / std::numbers::pi;
    }

    TravelGraphData finish()
    {
        TravelGraphData graph;
        graph.first_arc.assign(states_ + std::size_t{1}, 0);
        for (const auto& arc : arcs_) {
            ++graph.first_arc[arc.tail + 1];
        }
        std::partial_sum(graph.first_arc.begin(), graph.first_arc.end(), graph.first_arc.begin());
        graph.arcs.resize(arcs_.size());
        std::vector<std::uint32_t> next{graph.first_arc.begin(), graph.first_arc.end() - 1};
        for (const auto& arc : arcs_) {
            graph.arcs[next[arc.tail]++] = arc.arc;
        }
        graph.arriving.assign(data_.edges.size() * 2, kNoState);
        graph.leaving.assign(data_.edges.size() * 2, kNoState);
        for (std::uint32_t d = 0; d < data_.edges.size() * 2; ++d) {
            if (!is_open(d)) {
                continue;
            }
            const auto& v = variants_[plain_[d]];
            graph.arriving[d] = v.in[ends_only(d) ? kStart : kOpen];
            const auto sink = sinks_.find(d);
            graph.leaving[d] =
                sink != sinks_.end() ? sink->second : v.out[ends_only(d) ? kEnd : kOpen];
        }
        return graph;
    }

    const NetworkData& data_;
    TurnCosts costs_;
    std::vector<char> ends_only_;
    std::vector<char> split_;
    std::map<std::uint32_t, std::vector<Rule>> rules_;  ///< by the road before the last
    std::map<History, std::uint32_t> copies_;           ///< to their variants
    std::map<std::uint32_t, std::uint32_t> sinks_;      ///< of directions with copies
    std::vector<Variant> variants_;
    std::vector<std::uint32_t> plain_;                  ///< by direction
    std::vector<std::vector<std::uint32_t>> arriving_;  ///< variants, by node
    std::vector<std::vector<std::uint32_t>> leaving_;   ///< directions, by node
    std::vector<char> touches_ends_;
    std::vector<States> node_states_;
    std::vector<Arc> arcs_;
    std::uint32_t states_ = 0;
};

}  // namespace

bool binds_light_truck(const TurnRule& rule) { return (rule.spares & kSparesLight) == 0; }

std::vector<char> ends_only_edges(std::uint32_t nodes, const std::vector<RoadEdge>& edges)
{
    const auto is_flagged = [&](std::uint32_t i) { return (edges[i].flags & kFlagEndsOnly) != 0; };
    std::vector<char> ends(edges.size(), 0);
    std::size_t flagged = 0;
    for (std::uint32_t i = 0; i < edges.size(); ++i) {
        flagged += is_flagged(i) ? 1 : 0;
    }
    if (flagged == 0 || flagged == edges.size()) {
        return ends;
    }
    const auto parts = strong_parts(nodes, edges, [&](std::uint32_t i) { return !is_flagged(i); });
    for (std::uint32_t i = 0; i < edges.size(); ++i) {
        const bool open = !is_flagged(i) && parts.of_node[edges[i].from] == parts.largest &&
                          parts.of_node[edges[i].to] == parts.largest;
        ends[i] = open ? 0 : 1;
    }
    return ends;
}

TravelGraphData turn_graph(const NetworkData& data, const TurnCosts& costs, const BindsTurn& binds)
{
    return Builder{data, costs, binds}.run();
}

}  // namespace nestround::roads
