/// \file searched_area.hpp
/// \brief The land from which a nest could have become known, on a grid of square cells.
///
/// Purpose:  a density needs the area it is over, and its edge: beyond it there are no nests known,
///           which does not mean that there are none.
/// Units:    metres of an equal-area plane (place/equal_area.hpp); shares of a cell, 0 to 1.
/// Range:    up to kMostCells cells.
/// Accuracy: the share of a cell by eight scan lines, each exact along itself: areas of a shape
/// much
///           larger than a cell are true to about a thousandth of its edge's cells.
/// Errors:   InvalidInput for a grid without sense.
/// Source:   own; the even-odd rule for rings.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/place/equal_area.hpp"

namespace nestround::density {

using place::PlanePoint;
using PlaneRing = std::vector<PlanePoint>;

inline constexpr std::size_t kMostCells = 100'000'000;

struct Grid {
    double west = 0;   ///< left edge
    double south = 0;  ///< lower edge
    double cell = 0;   ///< side of a cell
    std::size_t columns = 0;
    std::size_t rows = 0;  ///< the first row is the southernmost

    [[nodiscard]] std::size_t size() const { return columns * rows; }
    [[nodiscard]] double east() const { return west + cell * static_cast<double>(columns); }
    [[nodiscard]] double north() const { return south + cell * static_cast<double>(rows); }
    [[nodiscard]] PlanePoint middle(std::size_t column, std::size_t row) const
    {
        return {west + cell * (static_cast<double>(column) + 0.5),
                south + cell * (static_cast<double>(row) + 0.5)};
    }
};

struct SearchedArea {
    Grid grid;
    std::vector<float> share;  ///< of each cell, row by row; empty: all of the grid was searched

    [[nodiscard]] double square_metres() const;
    [[nodiscard]] double share_at(std::size_t cell) const
    {
        return share.empty() ? 1 : share[cell];
    }
};

/// The grid wholly searched.
[[nodiscard]] Result<SearchedArea> all_of(const Grid& grid);

/// What lies within the rings, holes by the even-odd rule. Rings need not repeat their first point.
[[nodiscard]] Result<SearchedArea> within(const Grid& grid, std::span<const PlaneRing> rings);

/// The smallest convex ring around all points, counterclockwise, each corner moved outwards so that
/// every point lies at least `margin` inside. Empty without points.
[[nodiscard]] PlaneRing ring_around(std::span<const PlanePoint> points, double margin);

/// Signed by direction: counterclockwise is positive.
[[nodiscard]] double ring_area(const PlaneRing& ring);

/// Whether the land of these rings holds the point; holes by the even-odd rule.
[[nodiscard]] bool holds(std::span<const PlaneRing> rings, PlanePoint point);

/// A grid of square cells that holds all of these points, its edges whole multiples of the cell.
[[nodiscard]] Result<Grid> grid_around(std::span<const PlaneRing> rings, double cell);

}  // namespace nestround::density
