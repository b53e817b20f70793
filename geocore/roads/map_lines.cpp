#include "geocore/roads/map_lines.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace nestround::roads {
namespace {

constexpr double kEquator = 40'075'016.686;              // metres around WGS 84
constexpr double kMetresPerE7 = kEquator / 360.0 / 1e7;  // of latitude, near enough for drawing
constexpr std::uint32_t kNone = 0xffffffff;

/// Marks what stays of a polyline; uses `open` as its stack.
class Thinner {
public:
    explicit Thinner(double tolerance_m) : square_{tolerance_m * tolerance_m} {}

    void append(std::span<const RoadPoint> points, bool forward, std::vector<RoadPoint>& out)
    {
        kept_.assign(points.size(), false);
        kept_.front() = kept_.back() = true;
        const double shrink =
            std::cos(points.front().lat_e7 / 1e7 * std::numbers::pi / 180) * kMetresPerE7;
        open_.assign(1, {0, points.size() - 1});
        while (!open_.empty()) {
            const auto [first, last] = open_.back();
            open_.pop_back();
            double furthest = square_;
            std::size_t where = first;
            for (std::size_t k = first + 1; k < last; ++k) {
                const double away = square_distance(points[k], points[first], points[last], shrink);
                if (away > furthest) {
                    furthest = away;
                    where = k;
                }
            }
            if (where != first) {
                kept_[where] = true;
                open_.emplace_back(first, where);
                open_.emplace_back(where, last);
            }
        }
        for (std::size_t k = 0; k < points.size(); ++k) {
            const auto at = forward ? k : points.size() - 1 - k;
            if (kept_[at] && (out.empty() || !(out.back() == points[at]))) {
                out.push_back(points[at]);
            }
        }
    }

private:
    static double square_distance(RoadPoint p, RoadPoint a, RoadPoint b, double shrink)
    {
        const double dx = (double{1} * b.lon_e7 - a.lon_e7) * shrink;
        const double dy = (double{1} * b.lat_e7 - a.lat_e7) * kMetresPerE7;
        const double px = (double{1} * p.lon_e7 - a.lon_e7) * shrink;
        const double py = (double{1} * p.lat_e7 - a.lat_e7) * kMetresPerE7;
        const double whole = dx * dx + dy * dy;
        const double t = whole > 0 ? std::clamp((px * dx + py * dy) / whole, 0.0, 1.0) : 0;
        const double x = px - t * dx;
        const double y = py - t * dy;
        return x * x + y * y;
    }

    double square_;
    std::vector<bool> kept_;
    std::vector<std::pair<std::size_t, std::size_t>> open_;
};

/// One end of a drawn edge at a node.
struct EdgeEnd {
    std::uint32_t node = 0;
    std::uint32_t number = 0;  ///< among the drawn edges
};

/// Gives the pieces of a line that lie in the box.
class Cutter {
public:
    Cutter(RoadBox box, std::vector<MapLine>& out) : box_{box}, out_{&out} {}

    void cut(RoadClass road_class, const std::vector<RoadPoint>& line)
    {
        std::vector<RoadPoint> piece;
        const auto finish = [&] {
            if (piece.size() > 1) {
                out_->push_back({road_class, piece});
            }
            piece.clear();
        };
        for (std::size_t i = 1; i < line.size(); ++i) {
            const auto part = inside(line[i - 1], line[i]);
            if (!part) {
                finish();
                continue;
            }
            if (piece.empty() || !(piece.back() == part->first)) {
                finish();
                piece.push_back(part->first);
            }
            if (!(part->second == part->first)) {
                piece.push_back(part->second);
            }
        }
        finish();
    }

private:
    [[nodiscard]] bool holds(RoadPoint p) const
    {
        return p.lon_e7 >= box_.low.lon_e7 && p.lon_e7 <= box_.high.lon_e7 &&
               p.lat_e7 >= box_.low.lat_e7 && p.lat_e7 <= box_.high.lat_e7;
    }
    [[nodiscard]] std::optional<std::pair<RoadPoint, RoadPoint>> inside(RoadPoint a,
                                                                        RoadPoint b) const
    {
        if (holds(a) && holds(b)) {
            return std::pair{a, b};
        }
        const double dx = double{1} * b.lon_e7 - a.lon_e7;
        const double dy = double{1} * b.lat_e7 - a.lat_e7;
        double begin = 0;
        double end = 1;
        // Each edge of the box: `step` across it, `room` before it.
        const auto limit = [&](double step, double room) {
            if (step == 0) {
                return room >= 0;
            }
            const double t = room / step;
            if (step < 0) {
                begin = std::max(begin, t);
            } else {
                end = std::min(end, t);
            }
            return begin <= end;
        };
        if (!limit(-dx, double{1} * a.lon_e7 - box_.low.lon_e7) ||
            !limit(dx, double{1} * box_.high.lon_e7 - a.lon_e7) ||
            !limit(-dy, double{1} * a.lat_e7 - box_.low.lat_e7) ||
            !limit(dy, double{1} * box_.high.lat_e7 - a.lat_e7)) {
            return std::nullopt;
        }
        const auto at = [&](double t) {
            if (t <= 0 || t >= 1) {
                return t <= 0 ? a : b;
            }
            return RoadPoint{static_cast<std::int32_t>(std::llround(a.lon_e7 + t * dx)),
                             static_cast<std::int32_t>(std::llround(a.lat_e7 + t * dy))};
        };
        return std::pair{at(begin), at(end)};
    }

    RoadBox box_;
    std::vector<MapLine>* out_;
};

/// The drawn edges of a window, and which of them goes on from which.
class Web {
public:
    Web(const RoadNetwork& network, RoadBox box, int zoom) : network_{&network}
    {
        for (const auto index : network.edges_within(box)) {
            if (first_zoom(network.edge(index).road_class) <= zoom) {
                edges_.push_back(index);
            }
        }
        std::vector<EdgeEnd> ends;
        ends.reserve(edges_.size() * 2);
        for (std::uint32_t i = 0; i < edges_.size(); ++i) {
            const auto& edge = network.edge(edges_[i]);
            ends.push_back({edge.from, i});
            ends.push_back({edge.to, i});
        }
        std::sort(ends.begin(), ends.end(), [](const EdgeEnd& a, const EdgeEnd& b) {
            return std::pair{a.node, a.number} < std::pair{b.node, b.number};
        });
        next_.assign(edges_.size() * 2, kNone);
        for (std::size_t i = 0; i < ends.size();) {
            auto last = i + 1;
            while (last < ends.size() && ends[last].node == ends[i].node) {
                ++last;
            }
            const auto a = ends[i].number;
            const auto b = ends[last - 1].number;
            if (last - i == 2 && a != b && edge(a).road_class == edge(b).road_class) {
                next_[slot(a, ends[i].node)] = b;
                next_[slot(b, ends[i].node)] = a;
            }
            i = last;
        }
    }

    [[nodiscard]] std::size_t size() const { return edges_.size(); }
    [[nodiscard]] std::uint32_t index(std::uint32_t number) const { return edges_[number]; }
    [[nodiscard]] const RoadEdge& edge(std::uint32_t number) const
    {
        return network_->edge(edges_[number]);
    }
    /// The edge that goes on at that end, or kNone.
    [[nodiscard]] std::uint32_t beyond(std::uint32_t number, std::uint32_t node) const
    {
        return next_[slot(number, node)];
    }

private:
    [[nodiscard]] std::size_t slot(std::uint32_t number, std::uint32_t node) const
    {
        return number * std::size_t{2} + (edge(number).from == node ? 0 : 1);
    }

    const RoadNetwork* network_;
    std::vector<std::uint32_t> edges_;
    std::vector<std::uint32_t> next_;  ///< by drawn edge, then its first and its last node
};

}  // namespace

Metres tolerance(int zoom) { return Metres{kEquator / 256 / 2 / std::exp2(zoom)}; }

int zoom_for(Metres wanted)
{
    int zoom = 0;
    while (zoom < kFinestZoom && tolerance(zoom) > wanted) {
        ++zoom;
    }
    return zoom;
}

int first_zoom(RoadClass road_class)
{
    switch (road_class) {
        case RoadClass::Motorway:
            return 0;
        case RoadClass::Trunk:
            return 5;
        case RoadClass::Primary:
        case RoadClass::Ferry:
            return 7;
        case RoadClass::Secondary:
            return 9;
        case RoadClass::MotorwayLink:
        case RoadClass::TrunkLink:
        case RoadClass::PrimaryLink:
        case RoadClass::SecondaryLink:
        case RoadClass::TertiaryLink:
        case RoadClass::Tertiary:
            return 10;
        case RoadClass::Unclassified:
        case RoadClass::Residential:
        case RoadClass::LivingStreet:
            return 11;
        case RoadClass::Service:
        case RoadClass::Track:
            break;
    }
    return 12;
}

std::vector<MapLine> lines_in(const RoadNetwork& network, RoadBox box, int zoom)
{
    const Web web{network, box, zoom};
    std::vector<MapLine> lines;
    Cutter cutter{box, lines};
    Thinner thinner{tolerance(zoom).value()};
    std::vector<bool> done(web.size(), false);
    std::vector<RoadPoint> line;
    for (std::uint32_t number = 0; number < web.size(); ++number) {
        if (done[number]) {
            continue;
        }
        // Back to where the line begins, or once around.
        auto first = number;
        auto start = web.edge(number).from;
        for (auto before = web.beyond(first, start); before != kNone && before != number;
             before = web.beyond(first, start)) {
            first = before;
            start = web.edge(first).from == start ? web.edge(first).to : web.edge(first).from;
        }
        line.clear();
        auto node = start;
        for (auto at = first; at != kNone && !done[at];) {
            done[at] = true;
            const auto& edge = web.edge(at);
            const bool forward = edge.from == node;
            thinner.append(network.line(web.index(at)), forward, line);
            node = forward ? edge.to : edge.from;
            at = web.beyond(at, node);
        }
        cutter.cut(web.edge(number).road_class, line);
    }
    return lines;
}

}  // namespace nestround::roads
