#include "geocore/roads/stop_access.hpp"

#include <algorithm>
#include <cmath>

namespace nestround::roads {
namespace {

struct Directions {
    bool forward;
    bool backward;
};

/// In which directions the stop may be passed.
Directions directions_at(const RoadEdge& edge, const RoadStop& stop, const EngineOptions& options)
{
    Directions open{edge.forward_ms != kClosed, edge.backward_ms != kClosed};
    if (options.stop_side == StopSide::OwnOnly && open.forward && open.backward) {
        const bool near_forward = stop.right_side == (options.traffic == Traffic::KeepsRight);
        open = {near_forward, !near_forward};
    }
    return open;
}

/// The part of a whole before the stop, rounded; the rest is whole - part.
std::uint64_t part(std::uint32_t all, double along)
{
    return static_cast<std::uint64_t>(std::llround(all * along));
}

std::uint32_t whole(std::uint64_t thousandths)
{
    return static_cast<std::uint32_t>(
        std::min<std::uint64_t>((thousandths + 500) / 1000, kUnreachable - 1));
}

}  // namespace

std::uint32_t whole_seconds(TravelCost cost) { return whole(cost.ms); }

std::uint32_t whole_metres(TravelCost cost) { return whole(cost.mm); }

TravelMatrix matrix_of(std::span<const TravelCost> costs, std::size_t rows, std::size_t columns)
{
    TravelMatrix matrix{rows, columns, {}, {}};
    matrix.duration_s.reserve(costs.size());
    matrix.length_m.reserve(costs.size());
    for (const auto cost : costs) {
        matrix.duration_s.push_back(cost == kNever ? kUnreachable : whole_seconds(cost));
        matrix.length_m.push_back(cost == kNever ? kUnreachable : whole_metres(cost));
    }
    return matrix;
}

StopLinks ways_out(const RoadNetwork& network, const RoadStop& stop, const EngineOptions& options)
{
    const auto& edge = network.edge(stop.edge);
    const auto open = directions_at(edge, stop, options);
    const auto mm = part(edge.length_mm, stop.along);
    StopLinks links;
    if (open.forward) {
        links.link[links.count++] = {
            network.graph().arriving(stop.edge, true),
            {edge.forward_ms - part(edge.forward_ms, stop.along), edge.length_mm - mm},
            true};
    }
    if (open.backward) {
        links.link[links.count++] = {network.graph().arriving(stop.edge, false),
                                     {part(edge.backward_ms, stop.along), mm},
                                     false};
    }
    return links;
}

StopLinks ways_in(const RoadNetwork& network, const RoadStop& stop, const EngineOptions& options)
{
    const auto& edge = network.edge(stop.edge);
    const auto open = directions_at(edge, stop, options);
    const auto mm = part(edge.length_mm, stop.along);
    StopLinks links;
    if (open.forward) {
        links.link[links.count++] = {network.graph().leaving(stop.edge, true),
                                     {part(edge.forward_ms, stop.along), mm},
                                     true};
    }
    if (open.backward) {
        links.link[links.count++] = {
            network.graph().leaving(stop.edge, false),
            {edge.backward_ms - part(edge.backward_ms, stop.along), edge.length_mm - mm},
            false};
    }
    return links;
}

std::optional<DirectWay> direct_way(const RoadNetwork& network, const RoadStop& from,
                                    const RoadStop& to, const EngineOptions& options)
{
    if (from.edge != to.edge) {
        return std::nullopt;
    }
    const auto& edge = network.edge(from.edge);
    const auto leave = directions_at(edge, from, options);
    const auto arrive = directions_at(edge, to, options);
    const auto from_mm = part(edge.length_mm, from.along);
    const auto to_mm = part(edge.length_mm, to.along);
    if (from.along == to.along && from.right_side == to.right_side) {
        return DirectWay{{0, 0}, leave.forward};
    }
    if (from.along <= to.along && leave.forward && arrive.forward) {
        return DirectWay{
            {part(edge.forward_ms, to.along) - part(edge.forward_ms, from.along), to_mm - from_mm},
            true};
    }
    if (from.along >= to.along && leave.backward && arrive.backward) {
        return DirectWay{{part(edge.backward_ms, from.along) - part(edge.backward_ms, to.along),
                          from_mm - to_mm},
                         false};
    }
    return std::nullopt;
}

}  // namespace nestround::roads
