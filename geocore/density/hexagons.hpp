/// \file hexagons.hpp
/// \brief Nests counted on hexagons of one size, with how much was searched and how sure a count
/// is.
///
/// Purpose:  a map that anyone can check by counting, and that tells no exact place when the cells
///           are large enough.
/// Units:    square metres of an equal-area plane (place/equal_area.hpp), nests per square
/// kilometre
///           and season; shares 0 to 1.
/// Range:    cells from 100 m2 to 1e10 m2; a cell is named by two whole numbers, counted from the
///           middle of the plane, so the same plane and size give the same cells.
/// Accuracy: the area of a cell is that of the plane. Bounds are exact for a Poisson count and for
/// a
///           binomial share; they say nothing of nests that nobody reported.
/// Errors:   InvalidInput for a size without sense, or too many cells for the land.
/// Source:   two-sided 80 % bounds of F. Garwood, Biometrika 28 (1936) 437 (counts) and C. Clopper,
///           E. Pearson, Biometrika 26 (1934) 404 (shares), by Boost.Math; clipping by a convex
///           window: I. Sutherland, G. Hodgman, Comm. ACM 17 (1974) 32.
#pragma once

#include <array>
#include <compare>
#include <span>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/base/spread.hpp"
#include "geocore/density/searched_area.hpp"

namespace nestround::density {

struct CellKey {
    int q = 0;  ///< eastwards
    int r = 0;  ///< north-eastwards

    friend auto operator<=>(const CellKey&, const CellKey&) = default;
};

/// Hexagons that stand on a corner.
class HexagonGrid {
public:
    static Result<HexagonGrid> of_area(double square_metres);

    [[nodiscard]] CellKey cell_at(PlanePoint point) const;
    [[nodiscard]] PlanePoint middle(CellKey key) const;
    /// Counterclockwise from the lowest corner to the right.
    [[nodiscard]] PlaneRing corners(CellKey key) const;
    [[nodiscard]] double square_metres() const { return square_metres_; }
    [[nodiscard]] double side() const { return side_; }

private:
    explicit HexagonGrid(double square_metres);
    double square_metres_;
    double side_;
};

/// A nest that became known by a call; `wanted` ones are counted, all of them show how much was
/// searched.
struct KnownNest {
    PlanePoint at;
    bool wanted = true;
};

struct CountedCell {
    CellKey key;
    int nests = 0;           ///< wanted
    int known = 0;           ///< all that became known here, the wanted ones among them
    double searched_m2 = 0;  ///< of the cell
    Spread<double> per_km2;  ///< wanted nests a square kilometre searched and season
    Spread<double> share;    ///< wanted among known
};

inline constexpr double kMostHexagons = 2e6;

/// Cells with a known nest, and empty ones whose middle was searched; by key. The land searched is
/// given by rings, holes clockwise. `seasons` is at least 1.
[[nodiscard]] Result<std::vector<CountedCell>> count_nests(std::span<const KnownNest> nests,
                                                           const HexagonGrid& grid,
                                                           std::span<const PlaneRing> searched,
                                                           int seasons);

/// 10 % and 90 % bounds of the mean of a Poisson count; the middle is the count itself.
[[nodiscard]] Spread<double> count_bounds(int count);
/// 10 % and 90 % bounds of a share; 0 of 0 gives 0, 0.5, 1.
[[nodiscard]] Spread<double> share_bounds(int part, int whole);

}  // namespace nestround::density
