#include "geocore/roads/reached_roads.hpp"

#include <algorithm>
#include <array>

#include "geocore/place/geodesic.hpp"
#include "geocore/roads/small_heap.hpp"
#include "geocore/roads/stop_access.hpp"

namespace nestround::roads {
namespace {

/// Share of an edge of `whole` ms that is driven in `left` ms.
double share(std::uint64_t left, std::uint32_t whole)
{
    return left >= whole ? 1.0 : static_cast<double>(left) / whole;
}

/// The few parts of one edge, brought together.
class Parts {
public:
    void add(double begin, double end)
    {
        if (end > begin) {
            parts_[count_++] = {begin, end};
        }
    }
    void give(std::uint32_t edge, std::vector<ReachedSpan>& spans)
    {
        std::sort(parts_.begin(), parts_.begin() + count_);
        for (std::size_t i = 0; i < count_; ++i) {
            const auto [begin, end] = parts_[i];
            if (!spans.empty() && spans.back().edge == edge && begin <= spans.back().end) {
                spans.back().end = std::max(spans.back().end, end);
            } else {
                spans.push_back({edge, begin, end});
            }
        }
    }

private:
    std::array<std::pair<double, double>, 4> parts_{};
    std::size_t count_ = 0;
};

LonLat between(RoadPoint a, RoadPoint b, double t)
{
    const auto from = lon_lat(a);
    const auto to = lon_lat(b);
    return {from.lon + t * (to.lon - from.lon), from.lat + t * (to.lat - from.lat)};
}

}  // namespace

ReachedRoads::ReachedRoads(const RoadNetwork& network, const RoadStop& start,
                           std::uint64_t limit_ms, const EngineOptions& options)
    : network_{&network},
      start_{start},
      options_{options},
      limit_{std::min(limit_ms, kLongestReach)}
{
    const auto graph = network.graph();
    ms_.assign(graph.state_count(), kNotReached);
    SmallHeap queue;
    const auto reach = [&](std::uint32_t state, std::uint64_t ms) {
        if (ms <= limit_ && ms < ms_[state]) {
            ms_[state] = ms;
            queue.push(ms, state);
        }
    };
    for (const auto& link : ways_out(network, start, options)) {
        reach(link.state, link.cost.ms);
    }
    while (!queue.empty()) {
        const auto [ms, state] = queue.pop();
        if (ms != ms_[state]) {
            continue;
        }
        for (const auto& arc : graph.arcs(state)) {
            reach(arc.head, ms + arc.ms);
        }
    }
    node_ms_.assign(network.node_count(), kNotReached);
    const auto note = [&](std::uint32_t node, std::uint32_t state) {
        if (state != kNoState) {
            node_ms_[node] = std::min(node_ms_[node], ms_[state]);
        }
    };
    for (std::uint32_t i = 0; i < network.edge_count(); ++i) {
        const auto& edge = network.edge(i);
        note(edge.to, graph.arriving(i, true));
        note(edge.from, graph.arriving(i, false));
    }
}

std::vector<ReachedSpan> ReachedRoads::within(std::uint64_t limit_ms) const
{
    const auto limit = std::min(limit_ms, limit_);
    const auto graph = network_->graph();
    std::vector<ReachedSpan> spans;
    for (std::uint32_t i = 0; i < network_->edge_count(); ++i) {
        const auto& edge = network_->edge(i);
        Parts parts;
        const auto left = [&](bool forward) -> std::optional<std::uint64_t> {
            const auto state = graph.leaving(i, forward);
            if (state == kNoState || ms_[state] > limit) {
                return std::nullopt;
            }
            return limit - ms_[state];
        };
        if (const auto ms = left(true)) {
            parts.add(0, share(*ms, edge.forward_ms));
        }
        if (const auto ms = left(false)) {
            parts.add(1 - share(*ms, edge.backward_ms), 1);
        }
        if (i == start_.edge) {
            for (const auto& link : ways_out(*network_, start_, options_)) {
                if (link.forward) {
                    parts.add(start_.along,
                              std::min(1.0, start_.along + share(limit, edge.forward_ms)));
                } else {
                    parts.add(std::max(0.0, start_.along - share(limit, edge.backward_ms)),
                              start_.along);
                }
            }
        }
        parts.give(i, spans);
    }
    return spans;
}

std::vector<LonLat> line_of(const RoadNetwork& network, const ReachedSpan& span)
{
    const auto points = network.line(span.edge);
    std::vector<LonLat> line;
    if (span.begin <= 0 && span.end >= 1) {
        for (const auto point : points) {
            line.push_back(lon_lat(point));
        }
        return line;
    }
    std::vector<double> along{0};
    for (std::size_t i = 1; i < points.size(); ++i) {
        along.push_back(
            along.back() +
            place::geodesic_distance(lon_lat(points[i - 1]), lon_lat(points[i])).value());
    }
    const double begin = span.begin * along.back();
    const double end = span.end * along.back();
    const auto at = [&](double metres) {
        std::size_t i = 1;
        while (i + 1 < points.size() && along[i] < metres) {
            ++i;
        }
        const double step = along[i] - along[i - 1];
        return between(points[i - 1], points[i], step > 0 ? (metres - along[i - 1]) / step : 0);
    };
    line.push_back(at(begin));
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (along[i] > begin && along[i] < end) {
            line.push_back(lon_lat(points[i]));
        }
    }
    line.push_back(at(end));
    return line;
}

}  // namespace nestround::roads
