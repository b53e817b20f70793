/// \file text_page.hpp
/// \brief Lines of a terminal sheet: gutters, wrapped text, and ink that adds no meaning.
///
/// Purpose:  what the text sheets share.
/// Units:    columns of a terminal.
/// Range:    width 60 to 200.
/// Promise:  no line is wider than the page, but for one character that alone is wider.
/// Errors:   none.
/// Source:   own; SGR codes of ECMA-48.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>

namespace nestround::sheets {

enum class Ink { Plain, Strong, Faint, Warn, CrewA, CrewB, CrewC, CrewD };

/// The ink of the crew with that number; four take turns.
[[nodiscard]] Ink crew_ink(std::size_t crew);
/// "A", "B", ..., "Z", "AA", ...
[[nodiscard]] std::string crew_letter(std::size_t crew);

class TextPage {
public:
    TextPage(int width, bool colour);

    [[nodiscard]] int width() const { return width_; }
    /// `text` in `ink`; takes no more columns than `text`.
    [[nodiscard]] std::string in(Ink ink, std::string_view text) const;

    void blank();
    void line(std::string_view text, Ink ink = Ink::Plain);
    /// A line that is laid out already: neither wrapped nor cut.
    void line_as_is(std::string_view text);
    /// Left and right on one line; the left gives way where both do not fit.
    void spread(std::string_view left, Ink left_ink, std::string_view right, Ink right_ink);
    /// A title with a rule to the page's edge.
    void heading(std::string_view title, Ink ink);
    /// Wrapped text behind `gutter`; later lines stand behind `hanging`, which is as wide.
    void block(std::string_view gutter, std::string_view hanging, Ink gutter_ink,
               std::string_view text, Ink ink = Ink::Plain);

    [[nodiscard]] std::string take() { return std::move(out_); }

private:
    void end_line();

    std::string out_;
    int width_;
    bool colour_;
};

}  // namespace nestround::sheets
