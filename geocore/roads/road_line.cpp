#include "geocore/roads/road_line.hpp"

#include <algorithm>

#include "geocore/place/geodesic.hpp"

namespace nestround::roads {
namespace {

/// Shares of the edge's length at which its vertices lie.
std::vector<double> shares_of(std::span<const RoadPoint> line)
{
    std::vector<double> shares{0};
    for (std::size_t i = 1; i < line.size(); ++i) {
        shares.push_back(shares.back() +
                         place::geodesic_distance(lon_lat(line[i - 1]), lon_lat(line[i])).value());
    }
    const double whole = shares.back();
    for (auto& share : shares) {
        share = whole > 0 ? share / whole : 0;
    }
    return shares;
}

/// Appends the vertices strictly between two shares, in the direction driven.
void append_between(std::vector<LonLat>& line, std::span<const RoadPoint> points, double begin,
                    double end, bool forward)
{
    const auto shares = shares_of(points);
    const auto low = std::min(begin, end);
    const auto high = std::max(begin, end);
    std::vector<LonLat> inner;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (shares[i] > low && shares[i] < high) {
            inner.push_back(lon_lat(points[i]));
        }
    }
    if (!forward) {
        std::reverse(inner.begin(), inner.end());
    }
    line.insert(line.end(), inner.begin(), inner.end());
}

LonLat end_of(const RoadNetwork& network, DrivenEdge driven)
{
    const auto& edge = network.edge(driven.edge);
    return lon_lat(network.node(driven.forward ? edge.to : edge.from));
}

}  // namespace

std::vector<LonLat> line_of(const RoadNetwork& network, const RoadStop& from,
                            std::span<const DrivenEdge> driven, const RoadStop& to)
{
    std::vector<LonLat> line{from.on_road};
    if (driven.size() == 1) {
        append_between(line, network.line(from.edge), from.along, to.along, driven.front().forward);
    } else if (!driven.empty()) {
        const auto first = driven.front();
        append_between(line, network.line(first.edge), from.along, first.forward ? 1.0 : 0.0,
                       first.forward);
        line.push_back(end_of(network, first));
        for (const auto step : driven.subspan(1, driven.size() - 2)) {
            append_between(line, network.line(step.edge), 0, 1, step.forward);
            line.push_back(end_of(network, step));
        }
        const auto last = driven.back();
        append_between(line, network.line(last.edge), last.forward ? 0.0 : 1.0, to.along,
                       last.forward);
    }
    line.push_back(to.on_road);
    const auto repeated = std::unique(line.begin(), line.end());
    line.erase(repeated, line.end());
    if (line.size() == 1) {
        line.push_back(line.front());
    }
    return line;
}

}  // namespace nestround::roads
