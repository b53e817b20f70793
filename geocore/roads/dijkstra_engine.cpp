#include "geocore/roads/dijkstra_engine.hpp"

#include <algorithm>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <boost/graph/two_bit_color_map.hpp>
#include <utility>

#include "geocore/roads/road_line.hpp"

namespace nestround::roads {
namespace {

struct ArcCost {
    TravelCost cost;
    std::uint32_t what = kTurn;  ///< as in TravelArc
};

using Graph = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, ArcCost,
                                                 boost::no_property, std::uint32_t, std::uint32_t>;
using ArcOf = boost::graph_traits<Graph>::edge_descriptor;

/// How a state was reached in a search.
struct Reached {
    std::uint32_t from = kNoState;  ///< kNoState: straight from the source
    std::uint32_t what = kTurn;
};

/// Thrown by the visitor to leave Boost's loop, which has no other way out.
struct AllSettled {};

/// Ends the search once every state that matters is settled.
class StopWhenSettled : public boost::dijkstra_visitor<> {
public:
    StopWhenSettled(const std::vector<char>& wanted, std::size_t count, std::vector<Reached>* tree,
                    std::size_t& settled)
        : wanted_{&wanted}, left_{count}, tree_{tree}, settled_{&settled}
    {
    }

    template <class Vertex, class G>
    void examine_vertex(Vertex vertex, const G& /*graph*/)
    {
        ++*settled_;
        if ((*wanted_)[vertex] != 0 && --left_ == 0) {
            throw AllSettled{};
        }
    }
    template <class Arc, class G>
    void edge_relaxed(const Arc& arc, const G& graph)
    {
        if (tree_ != nullptr) {
            (*tree_)[target(arc, graph)] = {source(arc, graph), graph[arc].what};
        }
    }

private:
    const std::vector<char>* wanted_;
    std::size_t left_;
    std::vector<Reached>* tree_;
    std::size_t* settled_;
};

Graph graph_of(TravelGraph roads)
{
    std::vector<std::pair<std::uint32_t, std::uint32_t>> ends;
    std::vector<ArcCost> costs;
    ends.reserve(roads.arcs().size());
    costs.reserve(roads.arcs().size());
    for (std::uint32_t state = 0; state < roads.state_count(); ++state) {
        for (const auto& arc : roads.arcs(state)) {
            ends.emplace_back(state, arc.head);
            costs.push_back({{arc.ms, arc.mm}, arc.what});
        }
    }
    return Graph{boost::edges_are_sorted, ends.begin(), ends.end(), costs.begin(),
                 roads.state_count()};
}

}  // namespace

struct DijkstraEngine::Search {
    Graph graph;

    /// Costs from the source to every state that matters, kNever where there is no way. Other
    /// states may hold a cost that is not final.
    void run(const StopLinks& out, const std::vector<char>& wanted, std::size_t wanted_count,
             std::vector<TravelCost>& cost, std::vector<Reached>* tree, std::size_t& settled) const
    {
        cost.assign(num_vertices(graph), kNever);
        if (tree != nullptr) {
            tree->assign(num_vertices(graph), Reached{});
        }
        std::vector<std::uint32_t> seeds;
        for (const auto& link : out) {
            if (link.cost < cost[link.state]) {
                cost[link.state] = link.cost;
            }
            if (std::find(seeds.begin(), seeds.end(), link.state) == seeds.end()) {
                seeds.push_back(link.state);
            }
        }
        const auto index = get(boost::vertex_index, graph);
        boost::two_bit_color_map<decltype(index)> colour{num_vertices(graph), index};
        try {
            boost::dijkstra_shortest_paths_no_init(
                graph, seeds.begin(), seeds.end(), boost::dummy_property_map{},
                boost::make_iterator_property_map(cost.begin(), index), get(&ArcCost::cost, graph),
                index, std::less<>{}, std::plus<>{}, TravelCost{},
                StopWhenSettled{wanted, wanted_count, tree, settled}, colour);
        } catch (const AllSettled&) {
        }
    }
};

DijkstraEngine::DijkstraEngine(std::shared_ptr<const RoadNetwork> network, EngineOptions options)
    : network_{std::move(network)},
      options_{options},
      search_{std::make_unique<Search>(Search{graph_of(network_->graph())})}
{
}

DijkstraEngine::~DijkstraEngine() = default;

std::vector<TravelCost> DijkstraEngine::exact_costs(std::span<const RoadStop> sources,
                                                    std::span<const RoadStop> targets,
                                                    std::size_t* settled) const
{
    std::size_t uncounted = 0;
    std::vector<StopLinks> in;
    std::vector<char> wanted(num_vertices(search_->graph), 0);
    std::size_t wanted_count = 0;
    for (const auto& target : targets) {
        in.push_back(ways_in(*network_, target, options_));
        for (const auto& link : in.back()) {
            wanted_count += wanted[link.state] == 0 ? 1 : 0;
            wanted[link.state] = 1;
        }
    }
    std::vector<TravelCost> table;
    table.reserve(sources.size() * targets.size());
    std::vector<TravelCost> cost;
    for (const auto& source : sources) {
        search_->run(ways_out(*network_, source, options_), wanted, wanted_count, cost, nullptr,
                     settled != nullptr ? *settled : uncounted);
        for (std::size_t i = 0; i < targets.size(); ++i) {
            auto best = kNever;
            if (const auto direct = direct_way(*network_, source, targets[i], options_)) {
                best = direct->cost;
            }
            for (const auto& link : in[i]) {
                if (cost[link.state] != kNever) {
                    best = std::min(best, cost[link.state] + link.cost);
                }
            }
            table.push_back(best);
        }
    }
    return table;
}

TravelMatrix DijkstraEngine::matrix(std::span<const RoadStop> sources,
                                    std::span<const RoadStop> targets) const
{
    return matrix_of(exact_costs(sources, targets), sources.size(), targets.size());
}

std::optional<Route> DijkstraEngine::route(const RoadStop& from, const RoadStop& to) const
{
    const auto out = ways_out(*network_, from, options_);
    const auto in = ways_in(*network_, to, options_);
    std::vector<char> wanted(num_vertices(search_->graph), 0);
    std::size_t wanted_count = 0;
    for (const auto& link : in) {
        wanted_count += wanted[link.state] == 0 ? 1 : 0;
        wanted[link.state] = 1;
    }
    std::vector<TravelCost> cost;
    std::vector<Reached> tree;
    std::size_t uncounted = 0;
    search_->run(out, wanted, wanted_count, cost, &tree, uncounted);

    auto best = kNever;
    const StopLink* last = nullptr;
    const auto direct = direct_way(*network_, from, to, options_);
    if (direct) {
        best = direct->cost;
    }
    for (const auto& link : in) {
        if (cost[link.state] != kNever && cost[link.state] + link.cost < best) {
            best = cost[link.state] + link.cost;
            last = &link;
        }
    }
    if (best == kNever) {
        return std::nullopt;
    }
    std::vector<DrivenEdge> driven;
    if (last == nullptr) {
        driven.push_back({from.edge, direct->forward});
    } else {
        driven.push_back({to.edge, last->forward});
        auto state = last->state;
        while (tree[state].from != kNoState) {
            if (const auto what = tree[state].what; what != kTurn) {
                driven.push_back({what / 2, what % 2 == 0});
            }
            state = tree[state].from;
        }
        const auto* first = std::find_if(out.begin(), out.end(), [&](const StopLink& link) {
            return link.state == state && link.cost == cost[state];
        });
        driven.push_back({from.edge, first->forward});
        std::reverse(driven.begin(), driven.end());
    }
    return Route{seconds{whole_seconds(best)}, Metres{static_cast<double>(whole_metres(best))},
                 line_of(*network_, from, driven, to)};
}

}  // namespace nestround::roads
