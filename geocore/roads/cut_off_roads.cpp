#include "geocore/roads/cut_off_roads.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <numeric>
#include <utility>

#include "geocore/place/geodesic.hpp"

namespace nestround::roads {
namespace {

constexpr double kDegree = 6371008.8 * std::numbers::pi / 180;  // metres, mean radius of WGS 84

/// Metres east and north of `place` by 1e-7 degree.
struct Scale {
    explicit Scale(LonLat place)
        : lon{kDegree * std::cos(place.lat.value() * std::numbers::pi / 180)},
          at_lon{place.lon.value()},
          at_lat{place.lat.value()}
    {
    }
    [[nodiscard]] double x(RoadPoint p) const { return (p.lon_e7 * 1e-7 - at_lon) * lon; }
    [[nodiscard]] double y(RoadPoint p) const { return (p.lat_e7 * 1e-7 - at_lat) * kDegree; }
    double lon;
    double at_lon;
    double at_lat;
};

RoadBox box_of(std::span<const RoadPoint> line)
{
    if (line.empty()) {
        return {};  // a made-up file
    }
    RoadBox box{line.front(), line.front()};
    for (const auto point : line) {
        box.low.lon_e7 = std::min(box.low.lon_e7, point.lon_e7);
        box.low.lat_e7 = std::min(box.low.lat_e7, point.lat_e7);
        box.high.lon_e7 = std::max(box.high.lon_e7, point.lon_e7);
        box.high.lat_e7 = std::max(box.high.lat_e7, point.lat_e7);
    }
    return box;
}

double length_of(std::span<const RoadPoint> line)
{
    double metres = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        metres += place::geodesic_distance(lon_lat(line[i - 1]), lon_lat(line[i])).value();
    }
    return metres;
}

}  // namespace

CutOffRoads::CutOffRoads(std::shared_ptr<const RoadNetwork> network) : network_{std::move(network)}
{
    const auto count = network_->cut_off_count();
    std::vector<std::uint32_t> parent(count);
    std::iota(parent.begin(), parent.end(), 0U);
    const auto root = [&](std::uint32_t i) {
        while (parent[i] != i) {
            i = parent[i] = parent[parent[i]];
        }
        return i;
    };
    std::map<RoadPoint, std::uint32_t> at_end;
    for (std::uint32_t i = 0; i < count; ++i) {
        const auto line = network_->cut_off_line(i);
        boxes_.push_back(box_of(line));
        if (line.empty()) {
            continue;
        }
        for (const auto end : {line.front(), line.back()}) {
            const auto [entry, is_new] = at_end.try_emplace(end, i);
            if (!is_new) {
                parent[root(i)] = root(entry->second);
            }
        }
    }
    part_of_.resize(count);
    parts_.resize(count);
    for (std::uint32_t i = 0; i < count; ++i) {
        part_of_[i] = root(i);
        parts_[part_of_[i]].metres += length_of(network_->cut_off_line(i));
        ++parts_[part_of_[i]].lines;
    }
}

std::optional<CutOffRoad> CutOffRoads::nearest(LonLat place, Metres limit) const
{
    const Scale scale{place};
    double best = limit.value();
    std::optional<CutOffRoad> found;
    for (std::uint32_t i = 0; i < boxes_.size(); ++i) {
        const auto& box = boxes_[i];
        const double dx = std::max({scale.x(box.low), -scale.x(box.high), 0.0});
        const double dy = std::max({scale.y(box.low), -scale.y(box.high), 0.0});
        if (std::hypot(dx, dy) > best) {
            continue;
        }
        const auto line = network_->cut_off_line(i);
        for (std::size_t k = 1; k < line.size(); ++k) {
            const double ax = scale.x(line[k - 1]);
            const double ay = scale.y(line[k - 1]);
            const double bx = scale.x(line[k]) - ax;
            const double by = scale.y(line[k]) - ay;
            const double square = bx * bx + by * by;
            const double share =
                square > 0 ? std::clamp(-(ax * bx + ay * by) / square, 0.0, 1.0) : 0.0;
            const double distance = std::hypot(ax + share * bx, ay + share * by);
            if (distance < best) {
                best = distance;
                const auto a = lon_lat(line[k - 1]);
                const auto b = lon_lat(line[k]);
                const auto& part = parts_[part_of_[i]];
                found =
                    CutOffRoad{Metres{distance},
                               Metres{part.metres},
                               part.lines,
                               {a.lon + share * (b.lon - a.lon), a.lat + share * (b.lat - a.lat)}};
            }
        }
    }
    return found;
}

std::optional<std::string> CutOffRoads::warning(LonLat place, const RoadStop& stop,
                                                std::string_view what) const
{
    const auto nearer = nearest(place, stop.off_road - kToldFrom);
    if (!nearer) {
        return std::nullopt;
    }
    const auto name = network_->name(stop.edge);
    return fmt::format(
        "{}: the nearest road, {:.0f} m away at {:.5f},{:.5f}, is cut off from all others ({:.1f} "
        "km of road); the next best is taken, {:.0f} m away{}: check whether it leads there",
        what, nearer->away.value(), nearer->nearest.lon.value(), nearer->nearest.lat.value(),
        nearer->part_length.value() / 1000, stop.off_road.value(),
        name.empty() ? "" : fmt::format(" on {}", name));
}

}  // namespace nestround::roads
