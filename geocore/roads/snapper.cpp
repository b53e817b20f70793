#include "geocore/roads/snapper.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "geocore/place/geodesic.hpp"
#include "geocore/roads/cut_off_roads.hpp"

namespace nestround::roads {
namespace {

struct Segment {
    std::uint32_t edge = 0;
    std::uint32_t number = 0;  ///< of the edge's segments
};
/// Metres a degree at a latitude, in a plane that touches the Earth there.
struct Scale {
    double lon;
    double lat;
};

Scale scale_at(double latitude)
{
    constexpr double kEquator = 6378137.0;               // WGS 84
    constexpr double kFlattening = 1.0 / 298.257223563;  // WGS 84
    constexpr double kSquare = kFlattening * (2 - kFlattening);
    constexpr double kDegree = std::numbers::pi / 180;
    const double s = std::sin(latitude * kDegree);
    const double w = std::sqrt(1 - kSquare * s * s);
    return {kDegree * kEquator * std::cos(latitude * kDegree) / w,
            kDegree * kEquator * (1 - kSquare) / (w * w * w)};
}

struct Candidate {
    double square = 0;  ///< of the distance in metres
    Segment segment;
    double share = 0;  ///< of the segment
    double side = 0;   ///< above 0 when the place lies left of it

    [[nodiscard]] auto key() const { return std::tie(square, segment.edge, segment.number); }
};

/// The point of the segment a-b nearest to the origin, all in metres.
Candidate nearest_on(double ax, double ay, double bx, double by, Segment segment)
{
    const double dx = bx - ax;
    const double dy = by - ay;
    const double square = dx * dx + dy * dy;
    const double share = square > 0 ? std::clamp(-(ax * dx + ay * dy) / square, 0.0, 1.0) : 0.0;
    const double px = ax + share * dx;
    const double py = ay + share * dy;
    return {px * px + py * py, segment, share, -(dx * ay - dy * ax)};
}

/// Whole units of 1e-7 degree, rounded away from the middle of a window.
std::int32_t edge_of_window(double degrees, double (*round)(double))
{
    return static_cast<std::int32_t>(std::clamp(round(degrees * 1e7), -1.9e9, 1.9e9));
}

/// The nearest segment within `radius` metres, if any.
std::optional<Candidate> nearest_within(const RoadNetwork& network, LonLat place, double radius)
{
    const double lon = place.lon.value();
    const double lat = place.lat.value();
    const auto scale = scale_at(lat);
    // A little wider than the radius, so that rounding loses nothing.
    const double reach_lat = radius * 1.01 / scale.lat;
    const double reach_lon = radius * 1.01 / scale.lon;
    const RoadBox window{
        {edge_of_window(lon - reach_lon, std::floor), edge_of_window(lat - reach_lat, std::floor)},
        {edge_of_window(lon + reach_lon, std::ceil), edge_of_window(lat + reach_lat, std::ceil)}};
    std::optional<Candidate> best;
    for (const auto edge : network.edges_within(window)) {
        const auto line = network.line(edge);
        for (std::uint32_t i = 0; i + 1 < line.size(); ++i) {
            const auto a = lon_lat(line[i]);
            const auto b = lon_lat(line[i + 1]);
            const auto candidate = nearest_on(
                (a.lon.value() - lon) * scale.lon, (a.lat.value() - lat) * scale.lat,
                (b.lon.value() - lon) * scale.lon, (b.lat.value() - lat) * scale.lat, {edge, i});
            if (!best || candidate.key() < best->key()) {
                best = candidate;
            }
        }
    }
    return best && best->square <= radius * radius ? best : std::nullopt;
}

std::optional<Candidate> nearest(const RoadNetwork& network, LonLat place, double limit)
{
    // Doubled each time: the last window is never much larger than the distance found in it.
    for (double radius = 25; radius < limit; radius *= 2) {
        if (const auto found = nearest_within(network, place, radius)) {
            return found;
        }
    }
    return nearest_within(network, place, limit);
}

RoadStop stop_at(const RoadNetwork& network, LonLat place, const Candidate& found)
{
    const auto line = network.line(found.segment.edge);
    double before = 0;
    double whole = 0;
    for (std::uint32_t i = 0; i + 1 < line.size(); ++i) {
        const double length =
            place::geodesic_distance(lon_lat(line[i]), lon_lat(line[i + 1])).value();
        if (i < found.segment.number) {
            before += length;
        } else if (i == found.segment.number) {
            before += length * found.share;
        }
        whole += length;
    }
    const auto a = lon_lat(line[found.segment.number]);
    const auto b = lon_lat(line[found.segment.number + 1]);
    RoadStop stop;
    stop.edge = found.segment.edge;
    stop.along = whole > 0 ? std::clamp(before / whole, 0.0, 1.0) : 0.0;
    stop.on_road = {a.lon + found.share * (b.lon - a.lon), a.lat + found.share * (b.lat - a.lat)};
    stop.off_road = place::geodesic_distance(place, stop.on_road);
    stop.right_side = !(found.side > 0);
    return stop;
}

}  // namespace

Snapper::Snapper(std::shared_ptr<const RoadNetwork> network) : network_{std::move(network)} {}

Result<RoadStop> Snapper::snap(LonLat place, std::string_view what, Metres limit) const
{
    if (!is_on_earth(place)) {
        return fail(ErrorCode::InvalidInput, "its coordinates are not on Earth", std::string{what});
    }
    const auto found = nearest(*network_, place, limit.value());
    if (found) {
        return stop_at(*network_, place, *found);
    }
    const auto anywhere = nearest(*network_, place, std::max(limit.value(), 1.0) * 50);
    std::string distance = "far from";
    if (anywhere) {
        distance = fmt::format("{:.1f} km from", std::sqrt(anywhere->square) / 1000);
    }
    std::string island;
    if (const auto near = CutOffRoads{network_}.nearest(place, limit)) {
        island =
            fmt::format("; a road {:.0f} m away is cut off from all others", near->away.value());
    }
    return fail(
        ErrorCode::InvalidInput,
        fmt::format("{:.6f},{:.6f} lies {} the nearest road that can be reached (limit "
                    "{:.1f} km){}; check the coordinates, or build roads that cover it",
                    place.lon.value(), place.lat.value(), distance, limit.value() / 1000, island),
        std::string{what});
}

}  // namespace nestround::roads
