/// \file road_oracle.hpp
/// \brief Travel times in another way than the engines': over whole driven histories.
///
/// A vertex is the last few roads driven, as many as the longest rule looks back, with where in the
/// trip one is; Boost.Graph searches an adjacency list of whole milliseconds. Nothing is shared
/// with the engines but the network, its rules, and which roads are for the ends of a trip only.
#pragma once

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"
#include "geocore/roads/turn_graph.hpp"

namespace nestround::test {

class RoadOracle {
public:
    static constexpr std::uint64_t kNoWay = std::numeric_limits<std::uint64_t>::max();

    RoadOracle(const roads::RoadNetwork& network, std::span<const roads::RoadStop> stops,
               roads::TurnCosts turns = {})
        : network_{&network}, stops_{stops.begin(), stops.end()}, turns_{turns}
    {
        const std::vector<roads::RoadEdge> edges{network.edges().begin(), network.edges().end()};
        ends_ = roads::ends_only_edges(network.node_count(), edges);
        const auto& view = network.view();
        for (const auto& rule : view.turn_rules) {
            if (roads::binds_light_truck(rule)) {
                const auto steps = view.turn_steps.subspan(rule.first_step, rule.steps);
                rules_.push_back({{steps.begin(), steps.end()}, rule.only != 0});
                look_back_ = std::max<std::size_t>(look_back_, rule.steps - 1);
            }
        }
        leaving_.resize(network.node_count());
        for (std::uint32_t d = 0; d < 2 * network.edge_count(); ++d) {
            if (is_open(d)) {
                leaving_[tail(d)].push_back(d);
            }
        }
        for (std::size_t i = 0; i < stops_.size(); ++i) {
            targets_[stops_[i].edge].push_back(i);
            add_vertex(graph_);
            add_vertex(graph_);
        }
        for (std::size_t i = 0; i < stops_.size(); ++i) {
            for (const auto d : {stops_[i].edge * 2, stops_[i].edge * 2 + 1}) {
                if (is_open(d)) {
                    const int phase = ends_[d / 2] != 0 ? 0 : 1;
                    add_edge(source(i), vertex({d}, phase), ms(d) - before(d, i), graph_);
                }
            }
            for (const auto k : targets_[stops_[i].edge]) {
                direct(i, k);
            }
        }
        while (!open_.empty()) {
            const auto [key, number] = open_.back();
            open_.pop_back();
            expand(key, number);
        }
    }

    /// Milliseconds from one stop to all, kNoWay where there is none.
    [[nodiscard]] std::vector<std::uint64_t> from(std::size_t stop) const
    {
        std::vector<std::uint64_t> cost(num_vertices(graph_));
        dijkstra_shortest_paths(graph_, source(stop),
                                boost::distance_map(boost::make_iterator_property_map(
                                    cost.begin(), get(boost::vertex_index, graph_))));
        std::vector<std::uint64_t> found;
        for (std::size_t i = 0; i < stops_.size(); ++i) {
            found.push_back(i == stop ? 0 : cost[target(i)]);
        }
        return found;
    }

private:
    using Graph =
        boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                              boost::property<boost::edge_weight_t, std::uint64_t>>;
    using Key = std::pair<std::vector<std::uint32_t>, int>;
    struct Rule {
        std::vector<std::uint32_t> steps;
        bool only = false;
    };

    static std::size_t source(std::size_t stop) { return stop * 2; }
    static std::size_t target(std::size_t stop) { return stop * 2 + 1; }
    std::uint32_t ms(std::uint32_t d) const
    {
        const auto& edge = network_->edge(d / 2);
        return d % 2 == 0 ? edge.forward_ms : edge.backward_ms;
    }
    bool is_open(std::uint32_t d) const { return ms(d) != roads::kClosed; }
    std::uint32_t tail(std::uint32_t d) const
    {
        return d % 2 == 0 ? network_->edge(d / 2).from : network_->edge(d / 2).to;
    }
    std::uint32_t head(std::uint32_t d) const { return tail(d ^ 1U); }
    /// From where the direction begins to the stop.
    std::uint64_t before(std::uint32_t d, std::size_t stop) const
    {
        const auto part = static_cast<std::uint64_t>(std::llround(ms(d) * stops_[stop].along));
        return d % 2 == 0 ? part : ms(d) - part;
    }

    /// Degrees from north, clockwise, of a direction where it begins or ends.
    double bearing(std::uint32_t d, bool begins) const
    {
        const auto drawn = network_->line(d / 2);
        std::vector<roads::RoadPoint> line{drawn.begin(), drawn.end()};
        if (d % 2 != 0) {
            std::reverse(line.begin(), line.end());
        }
        line.erase(std::unique(line.begin(), line.end()), line.end());
        if (line.size() < 2) {
            return 0;
        }
        const auto a = lon_lat(begins ? line[0] : line[line.size() - 2]);
        const auto b = lon_lat(begins ? line[1] : line[line.size() - 1]);
        const auto junction = (begins ? a : b).lat.value();
        const double east = (b.lon.value() - a.lon.value()) * std::cos(junction * M_PI / 180);
        return std::atan2(east, b.lat.value() - a.lat.value()) * 180 / M_PI;
    }

    std::uint64_t price(std::uint32_t from, std::uint32_t to) const
    {
        if (!turns_.any()) {
            return 0;
        }
        if ((from ^ 1U) == to) {
            return turns_.u_turn_ms;
        }
        const double right = std::remainder(bearing(to, true) - bearing(from, false), 360);
        return right >= 45 ? turns_.right_ms : right <= -45 ? turns_.left_ms : 0;
    }

    std::size_t vertex(std::vector<std::uint32_t> history, int phase)
    {
        if (history.size() > look_back_) {
            history.erase(history.begin());
        }
        const auto [entry, is_new] = numbers_.try_emplace(Key{std::move(history), phase}, 0);
        if (is_new) {
            entry->second = add_vertex(graph_);
            open_.emplace_back(entry->first, entry->second);
        }
        return entry->second;
    }

    void direct(std::size_t from, std::size_t to)
    {
        const auto edge = stops_[from].edge;
        for (const auto d : {edge * 2, edge * 2 + 1}) {
            if (is_open(d) && (d % 2 == 0 ? stops_[from].along <= stops_[to].along
                                          : stops_[from].along >= stops_[to].along)) {
                add_edge(source(from), target(to), before(d, to) - before(d, from), graph_);
            }
        }
    }

    bool may(std::vector<std::uint32_t> driven, std::uint32_t next) const
    {
        driven.push_back(next);
        bool must = false;
        bool kept = false;
        for (const auto& rule : rules_) {
            if (driven.size() < rule.steps.size()) {
                continue;
            }
            const auto begin = driven.end() - static_cast<std::ptrdiff_t>(rule.steps.size());
            if (!std::equal(rule.steps.begin(), rule.steps.end() - 1, begin)) {
                continue;
            }
            const bool same = rule.steps.back() == next;
            if (!rule.only && same) {
                return false;
            }
            must = must || rule.only;
            kept = kept || (rule.only && same);
        }
        return !must || kept;
    }

    void expand(const Key& key, std::size_t number)
    {
        const auto& [history, phase] = key;
        for (const auto next : leaving_[head(history.back())]) {
            if (!may(history, next)) {
                continue;
            }
            const std::uint64_t turn = price(history.back(), next);
            auto longer = history;
            longer.push_back(next);
            const bool ends = ends_[next / 2] != 0;
            for (const int then : {0, 1, 2}) {
                const bool fits =
                    ends ? then == 2 || (then == 0 && phase == 0) : then == 1 && phase <= 1;
                if (!fits) {
                    continue;
                }
                add_edge(number, vertex(longer, then), turn + ms(next), graph_);
                if (const auto there = targets_.find(next / 2); there != targets_.end()) {
                    for (const auto stop : there->second) {
                        add_edge(number, target(stop), turn + before(next, stop), graph_);
                    }
                }
            }
        }
    }

    const roads::RoadNetwork* network_;
    std::vector<roads::RoadStop> stops_;
    roads::TurnCosts turns_;
    std::vector<char> ends_;
    std::vector<Rule> rules_;
    std::size_t look_back_ = 1;
    std::vector<std::vector<std::uint32_t>> leaving_;
    std::map<std::uint32_t, std::vector<std::size_t>> targets_;
    std::map<Key, std::size_t> numbers_;
    std::vector<std::pair<Key, std::size_t>> open_;
    Graph graph_;
};

}  // namespace nestround::test
