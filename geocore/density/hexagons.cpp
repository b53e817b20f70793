#include "geocore/density/hexagons.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

namespace nestround::density {
namespace {

constexpr double kTail = 0.1;
constexpr double kSquareKilometre = 1e6;

/// The part of `ring` left of the line from `a` to `b`.
PlaneRing left_of(const PlaneRing& ring, PlanePoint a, PlanePoint b)
{
    const auto side = [&](PlanePoint p) {
        return (b.east - a.east) * (p.north - a.north) - (b.north - a.north) * (p.east - a.east);
    };
    PlaneRing kept;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const auto& from = ring[i];
        const auto& to = ring[(i + 1) % ring.size()];
        const double at_from = side(from);
        const double at_to = side(to);
        if (at_from >= 0) {
            kept.push_back(from);
        }
        if ((at_from >= 0) != (at_to >= 0)) {
            const double part = at_from / (at_from - at_to);
            kept.push_back({from.east + part * (to.east - from.east),
                            from.north + part * (to.north - from.north)});
        }
    }
    return kept;
}

/// Of the rings' land inside the convex `window`; holes run the other way round and count off.
double area_inside(std::span<const PlaneRing> rings, const PlaneRing& window)
{
    double area = 0;
    for (PlaneRing ring : rings) {
        for (std::size_t i = 0; i < window.size() && !ring.empty(); ++i) {
            ring = left_of(ring, window[i], window[(i + 1) % window.size()]);
        }
        area += ring_area(ring);
    }
    return std::max(area, 0.0);
}

struct Tally {
    int nests = 0;
    int known = 0;
};

struct Box {
    double west = 0;
    double south = 0;
    double east = 0;
    double north = 0;
};

std::optional<Box> box_of(std::span<const PlaneRing> rings)
{
    std::optional<Box> box;
    for (const auto& ring : rings) {
        for (const auto& point : ring) {
            if (!box) {
                box = Box{point.east, point.north, point.east, point.north};
            }
            box->west = std::min(box->west, point.east);
            box->east = std::max(box->east, point.east);
            box->south = std::min(box->south, point.north);
            box->north = std::max(box->north, point.north);
        }
    }
    return box;
}

/// Cells in which nothing is known, but whose middle was searched.
void add_empty_cells(std::map<CellKey, Tally>& tallies, const HexagonGrid& grid,
                     std::span<const PlaneRing> searched, const Box& land)
{
    const double width = std::numbers::sqrt3 * grid.side();
    const int first = static_cast<int>(std::floor(land.south / (1.5 * grid.side())));
    const int last = static_cast<int>(std::ceil(land.north / (1.5 * grid.side())));
    for (int r = first; r <= last; ++r) {
        const int from = static_cast<int>(std::floor(land.west / width - r / 2.0));
        const int to = static_cast<int>(std::ceil(land.east / width - r / 2.0));
        for (int q = from; q <= to; ++q) {
            if (holds(searched, grid.middle({q, r}))) {
                tallies.try_emplace(CellKey{q, r});
            }
        }
    }
}

}  // namespace

HexagonGrid::HexagonGrid(double square_metres)
    : square_metres_{square_metres}, side_{std::sqrt(square_metres * 2 / (3 * std::numbers::sqrt3))}
{
}

Result<HexagonGrid> HexagonGrid::of_area(double square_metres)
{
    if (!(square_metres >= 100 && square_metres <= 1e10)) {
        return fail(ErrorCode::InvalidInput, "a cell is 0.0001 km2 to 10,000 km2");
    }
    return HexagonGrid{square_metres};
}

CellKey HexagonGrid::cell_at(PlanePoint point) const
{
    const double q = (std::numbers::sqrt3 / 3 * point.east - point.north / 3) / side_;
    const double r = 2.0 / 3 * point.north / side_;
    // Round the three coordinates that sum to nothing; the worst one gives way.
    double rq = std::round(q);
    double rr = std::round(r);
    const double rs = std::round(-q - r);
    const double dq = std::abs(rq - q);
    const double dr = std::abs(rr - r);
    const double ds = std::abs(rs + q + r);
    if (dq > dr && dq > ds) {
        rq = -rr - rs;
    } else if (dr > ds) {
        rr = -rq - rs;
    }
    return {static_cast<int>(rq), static_cast<int>(rr)};
}

PlanePoint HexagonGrid::middle(CellKey key) const
{
    return {side_ * std::numbers::sqrt3 * (key.q + key.r / 2.0), side_ * 1.5 * key.r};
}

PlaneRing HexagonGrid::corners(CellKey key) const
{
    const PlanePoint at = middle(key);
    PlaneRing ring;
    for (int corner = 0; corner < 6; ++corner) {
        const double angle = (60.0 * corner - 30) * std::numbers::pi / 180;
        ring.push_back({at.east + side_ * std::cos(angle), at.north + side_ * std::sin(angle)});
    }
    return ring;
}

Result<std::vector<CountedCell>> count_nests(std::span<const KnownNest> nests,
                                             const HexagonGrid& grid,
                                             std::span<const PlaneRing> searched, int seasons)
{
    if (seasons < 1) {
        return fail(ErrorCode::InvalidInput, "a density is over one season or more");
    }
    std::map<CellKey, Tally> tallies;
    for (const auto& nest : nests) {
        auto& tally = tallies[grid.cell_at(nest.at)];
        tally.known += 1;
        tally.nests += nest.wanted ? 1 : 0;
    }
    if (const auto land = box_of(searched)) {
        const double boxed = (land->east - land->west) * (land->north - land->south);
        if (!(boxed / grid.square_metres() <= kMostHexagons)) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("cells of {:g} km2 are too small for the land searched; at "
                                    "least {:g} km2 would do",
                                    grid.square_metres() / kSquareKilometre,
                                    boxed / kMostHexagons / kSquareKilometre));
        }
        add_empty_cells(tallies, grid, searched, *land);
    }
    std::vector<CountedCell> cells;
    cells.reserve(tallies.size());
    for (const auto& [key, tally] : tallies) {
        CountedCell cell;
        cell.key = key;
        cell.nests = tally.nests;
        cell.known = tally.known;
        cell.searched_m2 = std::min(area_inside(searched, grid.corners(key)), grid.square_metres());
        const double over = cell.searched_m2 / kSquareKilometre * seasons;
        if (over > 0) {
            const auto bounds = count_bounds(tally.nests);
            cell.per_km2 = {bounds.low / over, bounds.middle / over, bounds.high / over};
        }
        cell.share = share_bounds(tally.nests, tally.known);
        cells.push_back(cell);
    }
    return cells;
}

Spread<double> count_bounds(int count)
{
    return {count == 0 ? 0.0 : boost::math::gamma_p_inv(double(count), kTail), double(count),
            boost::math::gamma_q_inv(count + 1.0, kTail)};
}

Spread<double> share_bounds(int part, int whole)
{
    if (whole <= 0) {
        return {0, 0.5, 1};
    }
    const double a = part;
    const double b = whole - part;
    return {part == 0 ? 0.0 : boost::math::ibeta_inv(a, b + 1, kTail), a / whole,
            part == whole ? 1.0 : boost::math::ibetac_inv(a + 1, b, kTail)};
}

}  // namespace nestround::density
