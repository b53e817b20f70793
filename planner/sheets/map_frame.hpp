/// \file map_frame.hpp
/// \brief From places on Earth to places on the page, and lines made fit for the page.
///
/// Purpose:  the drawing parts speak of millimetres alone.
/// Units:    page in millimetres from its top left corner, y downwards; places WGS 84 degrees.
/// Range:    as map.hpp.
/// Accuracy: as map.hpp: one scale for the whole page, the ellipsoid's radii at its middle.
/// Errors:   none.
/// Source:   radii of curvature of the WGS 84 ellipsoid (NIMA TR8350.2, third edition); thinning:
///           D. Douglas, T. Peucker, "Algorithms for the reduction of the number of points required
///           to represent a digitized line", Cartographica 10 (1973) 112.
#pragma once

#include <vector>

#include "planner/sheets/map.hpp"

namespace nestround::sheets {

struct PagePoint {
    double x = 0;
    double y = 0;
};
using PageLine = std::vector<PagePoint>;

struct PageBox {
    double x = 0;
    double y = 0;
    double width = 0;
    double height = 0;

    [[nodiscard]] double right() const { return x + width; }
    [[nodiscard]] double bottom() const { return y + height; }
    [[nodiscard]] bool meets(const PageBox& o) const
    {
        return x < o.right() && o.x < right() && y < o.bottom() && o.y < bottom();
    }
    [[nodiscard]] bool holds(PagePoint p) const
    {
        return p.x >= x && p.x <= right() && p.y >= y && p.y <= bottom();
    }
    [[nodiscard]] bool holds(const PageBox& o) const
    {
        return o.x >= x && o.right() <= right() && o.y >= y && o.bottom() <= bottom();
    }
};

/// Where the map and the words beside it stand on the page.
struct PageLayout {
    PageBox map;
    PageBox panel;
};

[[nodiscard]] PageLayout page_layout(const MapOptions& options);
/// As map.hpp's, for a map of the box's shape.
[[nodiscard]] MapWindow map_window(const day::DayPlan& plan, const PageBox& box);

class MapFrame {
public:
    MapFrame(const MapWindow& window, const PageBox& box);

    [[nodiscard]] PagePoint at(LonLat place) const;
    [[nodiscard]] PageLine line(const std::vector<LonLat>& places) const;
    [[nodiscard]] double mm_per_metre() const { return mm_per_metre_; }
    [[nodiscard]] const PageBox& box() const { return box_; }

private:
    PageBox box_;
    double middle_lon_;
    double middle_lat_;
    double metres_per_lon_;
    double metres_per_lat_;
    double mm_per_metre_;
};

/// Fewer points, none of the left-out ones further than `tolerance` from the line.
[[nodiscard]] PageLine thinned(const PageLine& line, double tolerance);
/// The line that runs `offset` to the right of `line` (as seen in its direction).
[[nodiscard]] PageLine beside(const PageLine& line, double offset);

/// A point of a line and the line's direction there.
struct Heading {
    PagePoint at;
    double dx = 0;
    double dy = 0;
};

[[nodiscard]] double length_of(const PageLine& line);
/// Every `spacing` along the line, the first after `first`.
[[nodiscard]] std::vector<Heading> headings(const PageLine& line, double first, double spacing);

}  // namespace nestround::sheets
