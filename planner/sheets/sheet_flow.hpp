/// \file sheet_flow.hpp
/// \brief Words down a page and on to the next, each page with its foot; or only measured.
///
/// Purpose:  the layout of the printed sheet: run once to measure, once to draw.
/// Units:    millimetres.
/// Range:    a block higher than a page is cut at the foot's rule.
/// Accuracy: measured and drawn heights are the same.
/// Errors:   as map_canvas.hpp.
/// Source:   own.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "planner/sheets/map_canvas.hpp"

namespace nestround::sheets {

inline constexpr Colour kBlack{0x000000, 1};
inline constexpr double kSheetMargin = 10;

struct SheetFoot {
    std::string left;
    int pages = 0;  ///< of the whole; 0: not known yet
};

class SheetFlow {
public:
    SheetFlow(Canvas& canvas, double width_mm, double height_mm, SheetFoot foot, bool draws);

    [[nodiscard]] Canvas& canvas() { return canvas_; }
    [[nodiscard]] bool draws() const { return draws_; }
    void set_draws(bool draws) { draws_ = draws; }
    [[nodiscard]] int page() const { return page_; }
    [[nodiscard]] double left() const { return kSheetMargin; }
    [[nodiscard]] double width() const { return width_ - 2 * kSheetMargin; }
    [[nodiscard]] double room() const { return bottom() - y; }
    [[nodiscard]] double bottom() const;
    /// Letters of the running text; everything else follows it.
    void set_letters(double size) { letters_ = size; }
    [[nodiscard]] double letters() const { return letters_; }

    /// A fresh page; what is written on top when the text goes on to another by itself.
    void open_page(const std::string& continued);
    void close_page();
    /// Goes on to the next page when less than `height` is left.
    void need(double height);

    // Each gives the height it takes from `top`, and draws when this flow draws.
    double line(PagePoint top, std::string_view text, double size, Weight weight,
                Align align = Align::Left, double most = 0);
    double words(PagePoint top, double width, std::string_view text, double size,
                 Weight weight = Weight::Normal);
    double heading(PagePoint top, double width, std::string_view text);
    /// A box to tick, a dot or a number, then words.
    double item(PagePoint top, double width, std::string_view mark, std::string_view text,
                Weight weight = Weight::Normal);
    void rule(PagePoint from, double width, double thick);
    void frame(const PageBox& box, double thick);

    double y = 0;  ///< where the next block begins

private:
    Canvas& canvas_;
    double width_;
    double height_;
    SheetFoot foot_;
    bool draws_;
    int page_ = 0;
    double letters_ = 3.7;
    std::string continued_;
};

/// The mark of an item that is to be ticked.
inline constexpr std::string_view kTickBox = "[]";

}  // namespace nestround::sheets
