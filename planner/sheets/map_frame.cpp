#include "planner/sheets/map_frame.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace nestround::sheets {

namespace {

constexpr double kMargin = 8;          // mm, what office printers leave white and a little more
constexpr double kPanel = 70;          // mm
constexpr double kGutter = 5;          // mm
constexpr double kSmallestHalf = 400;  // metres from the middle to the edge, at least
constexpr double kMostLatitude = 85;   // the projection is of no use beyond

constexpr double kRadians = std::numbers::pi / 180;

double metres_per_latitude(double lat)
{
    constexpr double a = 6378137.0;
    constexpr double e2 = 0.00669437999014;
    const double s = std::sin(lat * kRadians);
    return kRadians * a * (1 - e2) / std::pow(1 - e2 * s * s, 1.5);
}

double metres_per_longitude(double lat)
{
    constexpr double a = 6378137.0;
    constexpr double e2 = 0.00669437999014;
    const double s = std::sin(lat * kRadians);
    return kRadians * a * std::cos(lat * kRadians) / std::sqrt(1 - e2 * s * s);
}

/// `lon` within half a turn of `near`, so that a window may lie over the 180th meridian.
double unrolled(double lon, double near) { return lon - 360 * std::round((lon - near) / 360); }

/// The smallest box of degrees around places, grown one by one.
class Extent {
public:
    void add(LonLat place)
    {
        if (!is_on_earth(place)) {
            return;
        }
        const double lat = std::clamp(place.lat.value(), -kMostLatitude, kMostLatitude);
        if (empty_) {
            window_ = {place.lon.value(), lat, place.lon.value(), lat};
            empty_ = false;
            return;
        }
        const double lon = unrolled(place.lon.value(), (window_.west + window_.east) / 2);
        window_ = {std::min(window_.west, lon), std::min(window_.south, lat),
                   std::max(window_.east, lon), std::max(window_.north, lat)};
    }
    void add(const std::vector<LonLat>& places)
    {
        for (const LonLat place : places) {
            add(place);
        }
    }
    [[nodiscard]] bool empty() const { return empty_; }
    [[nodiscard]] const MapWindow& window() const { return window_; }

private:
    MapWindow window_;
    bool empty_ = true;
};

double distance_to(PagePoint p, PagePoint a, PagePoint b)
{
    const double dx = b.x - a.x;
    const double dy = b.y - a.y;
    const double square = dx * dx + dy * dy;
    const double t =
        square > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / square, 0.0, 1.0) : 0;
    return std::hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

/// A window of the page's shape that holds `tight` with room around it.
MapWindow fitted(const MapWindow& tight, const PageBox& box)
{
    const double lon = (tight.west + tight.east) / 2;
    const double lat = (tight.south + tight.north) / 2;
    const double per_lat = metres_per_latitude(lat);
    const double per_lon = metres_per_longitude(lat);
    // Room for marks and labels around the outermost stops.
    double half_x = std::max(kSmallestHalf, (tight.east - tight.west) / 2 * per_lon) * 1.12;
    double half_y = std::max(kSmallestHalf, (tight.north - tight.south) / 2 * per_lat) * 1.12;
    half_x = std::max(half_x, half_y * box.width / box.height);
    half_y = std::max(half_y, half_x * box.height / box.width);
    return {lon - half_x / per_lon, lat - half_y / per_lat, lon + half_x / per_lon,
            lat + half_y / per_lat};
}

}  // namespace

PageLayout page_layout(const MapOptions& options)
{
    PageLayout layout;
    const double height = options.height_mm - 2 * kMargin;
    layout.panel = {options.width_mm - kMargin - kPanel, kMargin, kPanel, height};
    layout.map = {kMargin, kMargin, layout.panel.x - kGutter - kMargin, height};
    return layout;
}

MapWindow map_window(const day::DayPlan& plan, const MapOptions& options)
{
    return map_window(plan, page_layout(options).map);
}

MapWindow map_window(const day::DayPlan& plan, const PageBox& box)
{
    Extent extent;
    for (const day::CrewDay& crew : plan.crews) {
        extent.add(crew.crew.depot);
        for (const day::PlannedStop& stop : crew.stops) {
            extent.add(stop.call.sheet.site.place);
            extent.add(stop.drive_line);
        }
        extent.add(crew.drive_home_line);
    }
    if (extent.empty()) {
        for (const day::LeftOut& left : plan.left_out) {
            extent.add(left.call.sheet.site.place);
        }
    }
    return fitted(extent.window(), box);
}

MapWindow map_window(std::span<const LonLat> places, const MapOptions& options)
{
    Extent extent;
    for (const LonLat place : places) {
        extent.add(place);
    }
    return fitted(extent.window(), page_layout(options).map);
}

MapFrame::MapFrame(const MapWindow& window, const PageBox& box)
    : box_{box},
      middle_lon_{(window.west + window.east) / 2},
      middle_lat_{(window.south + window.north) / 2},
      metres_per_lon_{metres_per_longitude(middle_lat_)},
      metres_per_lat_{metres_per_latitude(middle_lat_)},
      mm_per_metre_{std::min(box.width / ((window.east - window.west) * metres_per_lon_),
                             box.height / ((window.north - window.south) * metres_per_lat_))}
{
}

PagePoint MapFrame::at(LonLat place) const
{
    const double east = (unrolled(place.lon.value(), middle_lon_) - middle_lon_) * metres_per_lon_;
    const double north = (place.lat.value() - middle_lat_) * metres_per_lat_;
    return {box_.x + box_.width / 2 + east * mm_per_metre_,
            box_.y + box_.height / 2 - north * mm_per_metre_};
}

PageLine MapFrame::line(const std::vector<LonLat>& places) const
{
    PageLine line;
    line.reserve(places.size());
    for (const LonLat place : places) {
        if (is_on_earth(place)) {
            line.push_back(at(place));
        }
    }
    return line;
}

PageLine thinned(const PageLine& line, double tolerance)
{
    if (line.size() < 3) {
        return line;
    }
    std::vector<bool> kept(line.size(), false);
    kept.front() = kept.back() = true;
    std::vector<std::pair<std::size_t, std::size_t>> open{{0, line.size() - 1}};
    while (!open.empty()) {
        const auto [first, last] = open.back();
        open.pop_back();
        double furthest = tolerance;
        std::size_t where = first;
        for (std::size_t k = first + 1; k < last; ++k) {
            const double away = distance_to(line[k], line[first], line[last]);
            if (away > furthest) {
                furthest = away;
                where = k;
            }
        }
        if (where != first) {
            kept[where] = true;
            open.emplace_back(first, where);
            open.emplace_back(where, last);
        }
    }
    PageLine out;
    for (std::size_t k = 0; k < line.size(); ++k) {
        if (kept[k]) {
            out.push_back(line[k]);
        }
    }
    return out;
}

PageLine beside(const PageLine& line, double offset)
{
    PageLine out;
    for (std::size_t k = 0; k < line.size(); ++k) {
        // Unit directions before and after; a repeated point has none.
        double ax = 0;
        double ay = 0;
        double bx = 0;
        double by = 0;
        if (k > 0) {
            ax = line[k].x - line[k - 1].x;
            ay = line[k].y - line[k - 1].y;
        }
        if (k + 1 < line.size()) {
            bx = line[k + 1].x - line[k].x;
            by = line[k + 1].y - line[k].y;
        }
        const double a = std::hypot(ax, ay);
        const double b = std::hypot(bx, by);
        const double dx = (a > 0 ? ax / a : 0) + (b > 0 ? bx / b : 0);
        const double dy = (a > 0 ? ay / a : 0) + (b > 0 ? by / b : 0);
        const double d = std::hypot(dx, dy);
        if (d < 1e-6) {
            if (a > 0) {  // straight back: step over to the other side at the turn
                out.push_back({line[k].x - ay / a * offset, line[k].y + ax / a * offset});
                out.push_back({line[k].x + ay / a * offset, line[k].y - ax / a * offset});
            } else {
                out.push_back(line[k]);
            }
            continue;
        }
        // A mitre, at most twice as long as the offset. With y down, right is (-dy, dx).
        const double bend = a > 0 && b > 0 ? d / 2 : 1;
        const double reach = offset / std::max(bend, 0.5);
        out.push_back({line[k].x - dy / d * reach, line[k].y + dx / d * reach});
    }
    return out;
}

double length_of(const PageLine& line)
{
    double length = 0;
    for (std::size_t k = 1; k < line.size(); ++k) {
        length += std::hypot(line[k].x - line[k - 1].x, line[k].y - line[k - 1].y);
    }
    return length;
}

std::vector<Heading> headings(const PageLine& line, double first, double spacing)
{
    std::vector<Heading> out;
    double next = first;
    double gone = 0;
    for (std::size_t k = 1; k < line.size(); ++k) {
        const double dx = line[k].x - line[k - 1].x;
        const double dy = line[k].y - line[k - 1].y;
        const double step = std::hypot(dx, dy);
        for (; step > 0 && next <= gone + step; next += spacing) {
            const double t = (next - gone) / step;
            out.push_back({{line[k - 1].x + dx * t, line[k - 1].y + dy * t}, dx / step, dy / step});
        }
        gone += step;
    }
    return out;
}

}  // namespace nestround::sheets
