#include "geocore/roads/contraction_engine.hpp"

#include <algorithm>
#include <mutex>
#include <utility>

#include "geocore/roads/road_line.hpp"

namespace nestround::roads {
namespace {

TravelCost cost_of(TravelWeight weight)
{
    return weight == kNoWeight ? kNever : TravelCost{ms_of(weight), mm_of(weight)};
}

}  // namespace

/// Queries that lie about, one for each thread that asks at once.
struct ContractionEngine::Queries {
    std::mutex guard;
    std::vector<std::unique_ptr<HierarchyQuery>> idle;
};

ContractionEngine::ContractionEngine(std::shared_ptr<const RoadNetwork> network,
                                     EngineOptions options)
    : network_{std::move(network)},
      options_{std::move(options)},
      many_{network_->hierarchy()},
      queries_{std::make_unique<Queries>()}
{
}

ContractionEngine::~ContractionEngine() = default;

std::vector<TravelWeight> ContractionEngine::weights(std::span<const RoadStop> sources,
                                                     std::span<const RoadStop> targets) const
{
    std::vector<StopLinks> out;
    std::vector<StopLinks> in;
    for (const auto& source : sources) {
        out.push_back(ways_out(*network_, source, options_));
    }
    for (const auto& target : targets) {
        in.push_back(ways_in(*network_, target, options_));
    }
    auto table = many_.table(out, in, options_.workers);
    for (std::size_t s = 0; s < sources.size(); ++s) {
        for (std::size_t t = 0; t < targets.size(); ++t) {
            if (sources[s].edge != targets[t].edge) {
                continue;
            }
            if (const auto direct = direct_way(*network_, sources[s], targets[t], options_)) {
                auto& weight = table[s * targets.size() + t];
                weight = std::min(weight, pack(direct->cost.ms, direct->cost.mm));
            }
        }
    }
    return table;
}

std::vector<TravelCost> ContractionEngine::exact_costs(std::span<const RoadStop> sources,
                                                       std::span<const RoadStop> targets) const
{
    std::vector<TravelCost> costs;
    for (const auto weight : weights(sources, targets)) {
        costs.push_back(cost_of(weight));
    }
    return costs;
}

TravelMatrix ContractionEngine::matrix(std::span<const RoadStop> sources,
                                       std::span<const RoadStop> targets) const
{
    const auto table = weights(sources, targets);
    TravelMatrix matrix{sources.size(), targets.size(), {}, {}};
    matrix.duration_s.resize(table.size());
    matrix.length_m.resize(table.size());
    for (std::size_t i = 0; i < table.size(); ++i) {
        const bool none = table[i] == kNoWeight;
        const auto cost = cost_of(table[i]);
        matrix.duration_s[i] = none ? kUnreachable : whole_seconds(cost);
        matrix.length_m[i] = none ? kUnreachable : whole_metres(cost);
    }
    return matrix;
}

std::optional<Route> ContractionEngine::route(const RoadStop& from, const RoadStop& to) const
{
    std::unique_ptr<HierarchyQuery> query;
    {
        const std::lock_guard lock{queries_->guard};
        if (!queries_->idle.empty()) {
            query = std::move(queries_->idle.back());
            queries_->idle.pop_back();
        }
    }
    if (!query) {
        query = std::make_unique<HierarchyQuery>(network_->hierarchy());
    }
    const auto out = ways_out(*network_, from, options_);
    const auto in = ways_in(*network_, to, options_);
    const auto way = query->way(out, in);
    {
        const std::lock_guard lock{queries_->guard};
        queries_->idle.push_back(std::move(query));
    }
    const auto direct = direct_way(*network_, from, to, options_);
    auto best = way ? cost_of(way->weight) : kNever;
    std::vector<DrivenEdge> driven;
    if (direct && direct->cost <= best) {
        best = direct->cost;
        driven.push_back({from.edge, direct->forward});
    } else if (way) {
        driven.push_back({from.edge, way->first->forward});
        const auto arcs = network_->graph().arcs();
        for (const auto arc : way->arcs) {
            if (!arcs[arc].is_turn()) {
                driven.push_back({arcs[arc].edge(), arcs[arc].forward()});
            }
        }
        driven.push_back({to.edge, way->last->forward});
    }
    if (best == kNever) {
        return std::nullopt;
    }
    return Route{seconds{whole_seconds(best)}, Metres{static_cast<double>(whole_metres(best))},
                 line_of(*network_, from, driven, to)};
}

}  // namespace nestround::roads
