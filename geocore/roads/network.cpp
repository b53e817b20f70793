#include "geocore/roads/network.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <limits>

namespace nestround::roads {
namespace {

/// Offsets that start at 0, never fall, and end at `end`.
bool are_offsets(std::span<const std::uint32_t> offsets, std::size_t end)
{
    return !offsets.empty() && offsets.front() == 0 && offsets.back() == end &&
           std::is_sorted(offsets.begin(), offsets.end());
}

bool is_time(std::uint32_t ms) { return ms == kClosed || (ms >= 1 && ms <= kLongestEdge); }

bool is_on_earth(RoadPoint p) { return nestround::is_on_earth(lon_lat(p)); }

/// What is wrong with the arrays, or an empty text.
std::string fault_of(const NetworkData& data)
{
    constexpr std::size_t kMost = std::numeric_limits<std::int32_t>::max();
    if (data.nodes.empty() || data.edges.empty()) {
        return "it has no roads";
    }
    if (data.nodes.size() > kMost || data.edges.size() > kMost || data.points.size() > kMost) {
        return "it is too big";
    }
    if (data.first_point.size() != data.edges.size() + 1 ||
        !are_offsets(data.first_point, data.points.size())) {
        return "the offsets of its lines are damaged";
    }
    if (data.first_letter.size() < 2 || !are_offsets(data.first_letter, data.letters.size())) {
        return "the offsets of its names are damaged";
    }
    if (!std::all_of(data.nodes.begin(), data.nodes.end(), is_on_earth) ||
        !std::all_of(data.points.begin(), data.points.end(), is_on_earth)) {
        return "a point lies outside the Earth";
    }
    for (std::size_t i = 0; i < data.edges.size(); ++i) {
        const auto& edge = data.edges[i];
        const auto begin = data.first_point[i];
        const auto end = data.first_point[i + 1];
        const bool good = edge.from < data.nodes.size() && edge.to < data.nodes.size() &&
                          end - begin >= 2 && data.points[begin] == data.nodes[edge.from] &&
                          data.points[end - 1] == data.nodes[edge.to] && is_time(edge.forward_ms) &&
                          is_time(edge.backward_ms) &&
                          (edge.forward_ms != kClosed || edge.backward_ms != kClosed) &&
                          edge.name + 1 < data.first_letter.size() &&
                          static_cast<std::size_t>(edge.road_class) < kRoadClasses &&
                          edge.spare == 0;
        if (!good) {
            return fmt::format("road {} is damaged", i);
        }
    }
    return {};
}

}  // namespace

Result<RoadNetwork> RoadNetwork::make(NetworkData data)
{
    auto fault = fault_of(data);
    if (fault.empty() && data.graph == TravelGraphData{}) {
        data.graph = plain_graph(static_cast<std::uint32_t>(data.nodes.size()), data.edges);
    } else if (fault.empty()) {
        fault = fault_of(TravelGraph{data.graph}, data.edges);
    }
    if (!fault.empty()) {
        return fail(ErrorCode::InvalidInput, fmt::format("not a usable road network: {}", fault));
    }
    return RoadNetwork{std::move(data)};
}

RoadNetwork::RoadNetwork(NetworkData data) : data_{std::move(data)}
{
    box_ = {data_.points.front(), data_.points.front()};
    for (const auto& point : data_.points) {
        box_.low.lon_e7 = std::min(box_.low.lon_e7, point.lon_e7);
        box_.low.lat_e7 = std::min(box_.low.lat_e7, point.lat_e7);
        box_.high.lon_e7 = std::max(box_.high.lon_e7, point.lon_e7);
        box_.high.lat_e7 = std::max(box_.high.lat_e7, point.lat_e7);
    }
}

std::string_view RoadNetwork::name(std::uint32_t edge) const
{
    const auto name = data_.edges[edge].name;
    return std::string_view{data_.letters}.substr(
        data_.first_letter[name], data_.first_letter[name + 1] - data_.first_letter[name]);
}

std::vector<std::uint32_t> RoadNetwork::edges_within(RoadBox box) const
{
    std::vector<std::uint32_t> found;
    for (std::uint32_t i = 0; i < edge_count(); ++i) {
        const auto points = line(i);
        const auto [west, east] =
            std::minmax_element(points.begin(), points.end(),
                                [](RoadPoint a, RoadPoint b) { return a.lon_e7 < b.lon_e7; });
        const auto [south, north] =
            std::minmax_element(points.begin(), points.end(),
                                [](RoadPoint a, RoadPoint b) { return a.lat_e7 < b.lat_e7; });
        if (west->lon_e7 <= box.high.lon_e7 && east->lon_e7 >= box.low.lon_e7 &&
            south->lat_e7 <= box.high.lat_e7 && north->lat_e7 >= box.low.lat_e7) {
            found.push_back(i);
        }
    }
    return found;
}

}  // namespace nestround::roads
