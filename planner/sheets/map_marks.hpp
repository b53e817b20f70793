/// \file map_marks.hpp
/// \brief The marks of the map: what each shape, filling and line says, and how it is drawn.
///
/// Purpose:  one place for the map's language, shared by the map and its legend. Every difference
///           is one of shape or filling as well as of colour: the shape names the kind of wasp, the
///           filling the stage of the colony, the letter and the line's make the crew.
/// Units:    millimetres.
/// Range:    four crews look different; more take turns, told apart by their letters.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own; inks chosen to differ in lightness and, for red- and green-blind eyes, in hue.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "planner/sheets/map.hpp"
#include "planner/sheets/map_canvas.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::sheets {

/// By genus: Vespula a disc, Dolichovespula a drop, Vespa a square, Polistes an open cell (a
/// hexagon), anything else a diamond.
enum class Shape { Disc, Drop, Square, Cell, Diamond };
/// Growing: empty. Raising queens and males: filled. Past its peak: empty with a broken rim.
enum class Filling { Empty, Full, Broken };

[[nodiscard]] Shape shape_of(const yield::NestOutlook& outlook);
[[nodiscard]] Filling filling_of(const yield::NestOutlook& outlook);
[[nodiscard]] std::string_view meaning(Shape shape);
[[nodiscard]] std::string_view meaning(Filling filling);

[[nodiscard]] Colour crew_colour(std::size_t crew);

inline constexpr double kMarkRadius = 2.7;
inline constexpr double kDepotRadius = 2.6;
inline constexpr double kTourWidth = 0.95;
inline constexpr Colour kInk{0x24282b};
inline constexpr Colour kQuietInk{0x5d6367};
inline constexpr Colour kPaper{0xffffff};

/// A stop's mark, about `radius` large, with `words` in it.
void draw_stop(Canvas& canvas, PagePoint at, Shape shape, Filling filling, Colour colour,
               std::string_view words, double radius = kMarkRadius);
void draw_depot(Canvas& canvas, PagePoint at, Colour colour, std::string_view letter,
                double radius = kDepotRadius);
void draw_left_out(Canvas& canvas, PagePoint at);
/// A tour's line as its crew's is made: plain, with a light core, dashed, dotted.
void draw_tour_line(Canvas& canvas, const PageLine& line, std::size_t crew);
/// A small wedge that points along the tour.
void draw_wedge(Canvas& canvas, const Heading& heading, Colour colour);
/// All roads of one rank, which lie in `lines`; `fineness` below 1 draws them thinner.
void draw_roads(Canvas& canvas, const std::vector<PageLine>& lines, RoadRank rank,
                double fineness = 1);

}  // namespace nestround::sheets
