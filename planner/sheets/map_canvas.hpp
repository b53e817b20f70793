/// \file map_canvas.hpp
/// \brief Pages to draw on in millimetres, given out as PNG, SVG or PDF.
///
/// Purpose:  Cairo and Pango behind the few strokes the map needs; nothing else includes them.
/// Units:    millimetres; letters by the height of their em square.
/// Range:    one page; any number as PDF.
/// Promise:  no hinting, no screen's colour fringes, one named font family (DejaVu Sans): the same
///           strokes give the same bytes.
/// Errors:   throws Failure (OutputFailed) when Cairo reports one.
/// Source:   own.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "planner/sheets/map_frame.hpp"

namespace nestround::sheets {

struct Colour {
    std::uint32_t rgb = 0;  ///< 0xrrggbb
    double opacity = 1;
};

struct Pen {
    Colour colour;
    double width = 0.2;
    std::vector<double> dashes;
};

enum class Weight { Normal, Bold, Slanted };
enum class Align { Left, Middle, Right };

struct Font {
    double size = 2.6;
    Weight weight = Weight::Normal;
    Colour colour;
    double halo = 0;  ///< width of a light rim around the letters
};

class Canvas {
public:
    Canvas(MapFormat format, double width_mm, double height_mm, double dots_per_inch);
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;

    // A path is begun, grown, then filled and stroked; strokes use it up.
    void move_to(PagePoint p);
    void line_to(PagePoint p);
    void curve_to(PagePoint c1, PagePoint c2, PagePoint p);
    void close();
    void circle(PagePoint middle, double radius);
    void rectangle(const PageBox& box);
    void rounded(const PageBox& box, double radius);
    void polyline(const PageLine& line);
    void fill_keep(Colour colour);
    void fill(Colour colour);
    void stroke(const Pen& pen);

    /// Until `unclip`, nothing is drawn outside `box`.
    void clip(const PageBox& box);
    void unclip();

    /// Width of a line of text.
    [[nodiscard]] double text_width(std::string_view text, const Font& font);
    /// One line; `p` is on its base line. Cut with an ellipsis at `most` when that is not 0.
    void text(PagePoint p, std::string_view text, const Font& font, Align align = Align::Left,
              double most = 0);
    /// Wrapped text with its top left corner at `p`; gives its height.
    double paragraph(PagePoint p, double width, std::string_view text, const Font& font);
    /// What `paragraph` would give.
    [[nodiscard]] double paragraph_height(double width, std::string_view text, const Font& font);

    /// PDF alone: the page is done, the next one begins.
    void next_page();
    /// PDF alone: what a reader's window and a search show; `instant` as of ISO 8601.
    void describe(const std::string& title, const std::string& instant);

    /// The finished bytes; the canvas is used up.
    [[nodiscard]] std::string finish();

private:
    struct Cairo;
    std::unique_ptr<Cairo> cairo_;
};

}  // namespace nestround::sheets
