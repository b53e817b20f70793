/// \file kernel.hpp
/// \brief How densely nests lie: a smooth surface from points, with its doubt, and its smoothing.
///
/// Purpose:  nests per square kilometre anywhere in the land that was searched.
/// Units:    metres of an equal-area plane in, nests per square kilometre out.
/// Range:    any number of points; a smoothing above 0.
/// Accuracy: kernels are cut at six times the smoothing, which leaves out 1.5e-8 of each. When
///           points times cells are many, points are first shared out to the four nearest cells;
///           then the surface differs by about an eighth of (cell / smoothing) squared of its peak.
/// Promise:  each nest adds one nest to the land searched: a kernel that reaches over the edge is
///           raised by what it lost there. The same input gives the same bits on any number of
///           workers.
/// Cost:     (points x reach^2) or (cells x reach), whichever is less; reach is six smoothings in
///           cells.
/// Errors:   InvalidInput for a smoothing that is not above 0, or too few points to choose one.
/// Source:   Gaussian kernels; edge weights of P. Diggle, "A kernel method for smoothing point
///           process data", Applied Statistics 34 (1985) 138; variance of a sum over a Poisson
///           process (Campbell's theorem); smoothing by leave-one-out likelihood: C. Loader, "Local
///           regression and likelihood" (1999), section 5.3, or the normal rule of D. Scott,
///           "Multivariate density estimation" (1992): mean spread times n^(-1/6) in the plane.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/base/workers.hpp"
#include "geocore/density/searched_area.hpp"

namespace nestround::density {

struct Surface {
    Grid grid;
    std::vector<float> per_km2;         ///< at the middle of each cell
    std::vector<float> standard_error;  ///< of per_km2, per square kilometre
    double smoothing = 0;               ///< standard deviation of the kernel, metres
    std::size_t points = 0;
    bool shared_out = false;  ///< points were shared out to cells first
};

/// Where nothing was searched both figures are NaN. Points outside the searched land are left out
/// and not counted.
[[nodiscard]] Result<Surface> kernel_surface(std::span<const PlanePoint> points,
                                             const SearchedArea& searched, double smoothing,
                                             const Workers& workers = {});

enum class SmoothingChoice { LikelihoodLeftOut, NormalRule };

struct Smoothing {
    double metres = 0;
    SmoothingChoice choice = SmoothingChoice::NormalRule;
    std::size_t points_used = 0;  ///< fewer than given when there are many
};

struct SmoothingLimits {
    double least = 50;
    double most = 100'000;
    std::size_t most_points = 4000;  ///< of many, every n-th is compared
};

/// The smoothing under which each point is best foretold by the others. With fewer than ten points
/// the normal rule serves instead.
[[nodiscard]] Result<Smoothing> choose_smoothing(std::span<const PlanePoint> points,
                                                 const SearchedArea& searched,
                                                 const SmoothingLimits& limits = {});

/// The share of a kernel at `point` that falls on searched land, 0 to 1.
[[nodiscard]] double kernel_inside(PlanePoint point, const SearchedArea& searched,
                                   double smoothing);

}  // namespace nestround::density
