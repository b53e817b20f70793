#include "geocore/density/searched_area.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace nestround::density {
namespace {

constexpr int kScanLines = 8;  // a cell
constexpr int kCorners = 32;   // of the circle that the margin is

Result<Grid> sensible(const Grid& grid)
{
    if (!(grid.cell > 0) || !std::isfinite(grid.west) || !std::isfinite(grid.south) ||
        !std::isfinite(grid.cell) || grid.columns == 0 || grid.rows == 0) {
        return fail(ErrorCode::InvalidInput, "a grid needs a cell above 0 m and a place");
    }
    if (grid.columns > kMostCells / grid.rows) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("{} by {} cells are too many; make the cells larger", grid.columns,
                                grid.rows));
    }
    return grid;
}

/// Adds the part of each cell that lies between `from` and `to` on one scan line.
void add_span(std::span<float> row, const Grid& grid, double from, double to, double weight)
{
    const double columns = static_cast<double>(grid.columns);
    const double a = std::clamp((from - grid.west) / grid.cell, 0.0, columns);
    const double b = std::clamp((to - grid.west) / grid.cell, 0.0, columns);
    if (!(b > a)) {
        return;
    }
    const auto first = static_cast<std::size_t>(a);
    const auto last = std::min(static_cast<std::size_t>(b), grid.columns - 1);
    for (std::size_t column = first; column <= last; ++column) {
        const double left = static_cast<double>(column);
        const double part = std::min(b, left + 1) - std::max(a, left);
        row[column] += static_cast<float>(weight * std::max(part, 0.0));
    }
}

double cross(PlanePoint o, PlanePoint a, PlanePoint b)
{
    return (a.east - o.east) * (b.north - o.north) - (a.north - o.north) * (b.east - o.east);
}

/// Andrew's monotone chain.
PlaneRing hull(std::vector<PlanePoint> points)
{
    std::ranges::sort(points, [](const PlanePoint& a, const PlanePoint& b) {
        return a.east < b.east || (a.east == b.east && a.north < b.north);
    });
    points.erase(std::unique(points.begin(), points.end()), points.end());
    if (points.size() < 3) {
        return points;
    }
    PlaneRing ring;
    const auto add = [&ring](PlanePoint point, std::size_t keep) {
        while (ring.size() > keep && cross(ring[ring.size() - 2], ring.back(), point) <= 0) {
            ring.pop_back();
        }
        ring.push_back(point);
    };
    for (const auto& point : points) {
        add(point, 1);
    }
    const std::size_t lower = ring.size();
    for (auto point = points.rbegin() + 1; point != points.rend(); ++point) {
        add(*point, lower);
    }
    ring.pop_back();
    return ring;
}

}  // namespace

double SearchedArea::square_metres() const
{
    double cells = static_cast<double>(grid.size());
    if (!share.empty()) {
        cells = 0;
        for (const float part : share) {
            cells += part;
        }
    }
    return cells * grid.cell * grid.cell;
}

Result<SearchedArea> all_of(const Grid& grid)
{
    auto good = sensible(grid);
    if (!good) {
        return tl::unexpected{good.error()};
    }
    return SearchedArea{grid, {}};
}

Result<SearchedArea> within(const Grid& grid, std::span<const PlaneRing> rings)
{
    auto good = sensible(grid);
    if (!good) {
        return tl::unexpected{good.error()};
    }
    SearchedArea area{grid, std::vector<float>(grid.size(), 0.0F)};
    std::vector<double> crossings;
    for (std::size_t row = 0; row < grid.rows; ++row) {
        const std::span<float> cells{area.share.data() + row * grid.columns, grid.columns};
        for (int line = 0; line < kScanLines; ++line) {
            const double north = grid.south + grid.cell * (static_cast<double>(row) +
                                                           (line + 0.5) / double{kScanLines});
            crossings.clear();
            for (const auto& ring : rings) {
                for (std::size_t i = 0; i < ring.size(); ++i) {
                    const auto& a = ring[i];
                    const auto& b = ring[(i + 1) % ring.size()];
                    if ((a.north > north) != (b.north > north)) {
                        crossings.push_back(a.east + (b.east - a.east) * (north - a.north) /
                                                         (b.north - a.north));
                    }
                }
            }
            std::ranges::sort(crossings);
            for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
                add_span(cells, grid, crossings[i], crossings[i + 1], 1.0 / kScanLines);
            }
        }
    }
    for (float& part : area.share) {
        part = std::min(part, 1.0F);
    }
    return area;
}

PlaneRing ring_around(std::span<const PlanePoint> points, double margin)
{
    // A polygon around the circle, not in it: the margin holds everywhere.
    const double reach = margin / std::cos(std::numbers::pi / kCorners);
    std::vector<PlanePoint> all;
    for (const auto& point : hull({points.begin(), points.end()})) {
        for (int corner = 0; margin > 0 && corner < kCorners; ++corner) {
            const double angle = 2 * std::numbers::pi * corner / kCorners;
            all.push_back(
                {point.east + reach * std::cos(angle), point.north + reach * std::sin(angle)});
        }
        if (!(margin > 0)) {
            all.push_back(point);
        }
    }
    return hull(std::move(all));
}

double ring_area(const PlaneRing& ring)
{
    double twice = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const auto& a = ring[i];
        const auto& b = ring[(i + 1) % ring.size()];
        twice += a.east * b.north - b.east * a.north;
    }
    return twice / 2;
}

bool holds(std::span<const PlaneRing> rings, PlanePoint point)
{
    bool inside = false;
    for (const auto& ring : rings) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const auto& a = ring[i];
            const auto& b = ring[(i + 1) % ring.size()];
            if ((a.north > point.north) != (b.north > point.north) &&
                point.east <
                    a.east + (b.east - a.east) * (point.north - a.north) / (b.north - a.north)) {
                inside = !inside;
            }
        }
    }
    return inside;
}

Result<Grid> grid_around(std::span<const PlaneRing> rings, double cell)
{
    constexpr double far = std::numeric_limits<double>::infinity();
    double west = far;
    double south = far;
    double east = -far;
    double north = -far;
    for (const auto& ring : rings) {
        for (const auto& point : ring) {
            west = std::min(west, point.east);
            east = std::max(east, point.east);
            south = std::min(south, point.north);
            north = std::max(north, point.north);
        }
    }
    if (!(cell > 0) || !std::isfinite(cell) || !(west <= east) || !std::isfinite(east - west) ||
        !std::isfinite(north - south)) {
        return fail(ErrorCode::InvalidInput, "a grid needs a cell above 0 m and a place");
    }
    Grid grid;
    grid.cell = cell;
    grid.west = std::floor(west / cell) * cell;
    grid.south = std::floor(south / cell) * cell;
    const double columns = std::max(1.0, std::ceil((east - grid.west) / cell));
    const double rows = std::max(1.0, std::ceil((north - grid.south) / cell));
    if (columns * rows > static_cast<double>(kMostCells)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("{:.0f} by {:.0f} cells are too many; make the cells larger",
                                columns, rows));
    }
    grid.columns = static_cast<std::size_t>(columns);
    grid.rows = static_cast<std::size_t>(rows);
    return grid;
}

}  // namespace nestround::density
