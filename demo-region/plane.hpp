/// \file plane.hpp
/// \brief Points, segments and polylines of the stage on which the county is drawn.
///
/// Purpose:  the county is laid out on a flat sheet and only then put on the ellipsoid.
/// Units:    metres east (x) and north (y) of the middle of the county.
/// Range:    within 40 km of the middle.
/// Accuracy: on_earth is a local sheet, metres true to 1 % of each other; it draws, it does not
///           measure.
/// Errors:   none.
/// Source:   own; degrees to metres by the WGS 84 series at the stage's latitude.
#pragma once

#include <cmath>
#include <optional>
#include <vector>

#include "geocore/units/units.hpp"

namespace nestround::demo {

struct Vec {
    double x = 0;
    double y = 0;

    friend constexpr Vec operator+(Vec a, Vec b) { return {a.x + b.x, a.y + b.y}; }
    friend constexpr Vec operator-(Vec a, Vec b) { return {a.x - b.x, a.y - b.y}; }
    friend constexpr Vec operator*(Vec a, double k) { return {a.x * k, a.y * k}; }
    friend constexpr bool operator==(Vec, Vec) = default;
};

using Line = std::vector<Vec>;

[[nodiscard]] constexpr double dot(Vec a, Vec b) { return a.x * b.x + a.y * b.y; }
[[nodiscard]] constexpr double cross(Vec a, Vec b) { return a.x * b.y - a.y * b.x; }
[[nodiscard]] inline double length(Vec a) { return std::sqrt(dot(a, a)); }
[[nodiscard]] inline double distance(Vec a, Vec b) { return length(a - b); }
[[nodiscard]] inline Vec unit(Vec a) { return a * (1 / length(a)); }
[[nodiscard]] constexpr Vec left_of(Vec a) { return {-a.y, a.x}; }
[[nodiscard]] constexpr Vec between(Vec a, Vec b, double t) { return a + (b - a) * t; }
[[nodiscard]] Vec turned(Vec a, double radians);

/// Where along p-q (0 to 1) it meets a-b, or nothing. Ends count as meeting.
[[nodiscard]] std::optional<double> meeting(Vec p, Vec q, Vec a, Vec b);
/// Share of a-b, 0 to 1, nearest to p.
[[nodiscard]] double nearest_share(Vec p, Vec a, Vec b);
[[nodiscard]] double distance_to(Vec p, Vec a, Vec b);
[[nodiscard]] double length_of(const Line& line);
/// The same line with a point at least every `step` metres.
[[nodiscard]] Line densified(const Line& line, double step);
/// The part of a convex polygon on the side of `inside` of the line through `on` across `normal`.
[[nodiscard]] Line clipped(const Line& polygon, Vec on, Vec normal);
/// Whether p lies in the convex polygon drawn counter-clockwise.
[[nodiscard]] bool is_inside(Vec p, const Line& polygon);
/// A convex polygon drawn in by `margin` metres; may be empty.
[[nodiscard]] Line drawn_in(const Line& polygon, double margin);
/// A cubic curve from a to b leaving along `at_a` and arriving along `at_b` (unit vectors).
[[nodiscard]] Line curve(Vec a, Vec at_a, Vec b, Vec at_b, double step);

/// The stage: an arbitrary inland spot, so that sun and calendar have a latitude.
[[nodiscard]] LonLat on_earth(Vec p);

}  // namespace nestround::demo
