#include "planner/sheets/sheet_flow.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "planner/sheets/day_sheet.hpp"

namespace nestround::sheets {

namespace {

constexpr double kFoot = 11.5;  // caution and page number

Font font_of(double size, Weight weight) { return {size, weight, kBlack, 0}; }

}  // namespace

SheetFlow::SheetFlow(Canvas& canvas, double width_mm, double height_mm, SheetFoot foot, bool draws)
    : canvas_{canvas}, width_{width_mm}, height_{height_mm}, foot_{std::move(foot)}, draws_{draws}
{
}

double SheetFlow::bottom() const { return height_ - kSheetMargin - kFoot; }

void SheetFlow::open_page(const std::string& continued)
{
    ++page_;
    continued_ = continued;
    y = kSheetMargin;
    if (draws_) {
        canvas_.rectangle({0, 0, width_, height_});
        canvas_.fill({0xffffff, 1});
    }
}

void SheetFlow::close_page()
{
    const double top = height_ - kSheetMargin - kFoot + 2;
    rule({left(), top}, width(), 0.6);
    words({left(), top + 1.2}, width() - 30, sheet_caution(), 2.9, Weight::Bold);
    line({left() + width(), top + 1.2},
         foot_.pages > 0 ? fmt::format("page {} of {}", page_, foot_.pages)
                         : fmt::format("page {}", page_),
         2.9, Weight::Bold, Align::Right);
    line({left() + width(), top + 5.2}, foot_.left, 2.5, Weight::Normal, Align::Right, 60);
    if (draws_ && page_ < foot_.pages) {
        canvas_.next_page();
    }
}

void SheetFlow::need(double height)
{
    if (height <= room() || y <= kSheetMargin + 12) {
        return;
    }
    const std::string continued = continued_;
    close_page();
    open_page(continued);
    y += line({left(), y}, continued, 5, Weight::Bold) + 3;
}

double SheetFlow::line(PagePoint top, std::string_view text, double size, Weight weight,
                       Align align, double most)
{
    if (draws_) {
        canvas_.text({top.x, top.y + size * 0.93}, text, font_of(size, weight), align, most);
    }
    return size * 1.25;
}

double SheetFlow::words(PagePoint top, double width, std::string_view text, double size,
                        Weight weight)
{
    const Font font = font_of(size, weight);
    return draws_ ? canvas_.paragraph(top, width, text, font)
                  : canvas_.paragraph_height(width, text, font);
}

double SheetFlow::heading(PagePoint top, double width, std::string_view text)
{
    const double size = letters_ * 1.12;
    rule({top.x, top.y}, width, 0.35);
    return 1.2 + line({top.x, top.y + 1.0}, text, size, Weight::Bold) + 0.4;
}

double SheetFlow::item(PagePoint top, double width, std::string_view mark, std::string_view text,
                       Weight weight)
{
    const double indent = letters_ * 1.55;
    if (mark == kTickBox) {
        if (draws_) {
            canvas_.rectangle({top.x + 0.3, top.y + 0.55, letters_ * 0.88, letters_ * 0.88});
            canvas_.stroke({kBlack, 0.4, {}});
        }
    } else {
        line({top.x, top.y + 0.1}, mark, letters_, Weight::Bold);
    }
    return words({top.x + indent, top.y}, width - indent, text, letters_, weight) + letters_ * 0.22;
}

void SheetFlow::rule(PagePoint from, double width, double thick)
{
    if (draws_) {
        canvas_.move_to(from);
        canvas_.line_to({from.x + width, from.y});
        canvas_.stroke({kBlack, thick, {}});
    }
}

void SheetFlow::frame(const PageBox& box, double thick)
{
    if (draws_) {
        canvas_.rectangle(box);
        canvas_.stroke({kBlack, thick, {}});
    }
}

}  // namespace nestround::sheets
