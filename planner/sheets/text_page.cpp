#include "planner/sheets/text_page.hpp"

#include <algorithm>
#include <array>

#include "planner/sheets/show.hpp"

namespace nestround::sheets {

namespace {

constexpr std::string_view code_of(Ink ink)
{
    switch (ink) {
        case Ink::Plain:
            return "";
        case Ink::Strong:
            return "1";
        case Ink::Faint:
            return "2";
        case Ink::Warn:
            return "1;33";
        case Ink::CrewA:
            return "1;36";
        case Ink::CrewB:
            return "1;35";
        case Ink::CrewC:
            return "1;32";
        case Ink::CrewD:
            return "1;34";
    }
    return "";
}

}  // namespace

Ink crew_ink(std::size_t crew)
{
    static constexpr std::array inks{Ink::CrewA, Ink::CrewB, Ink::CrewC, Ink::CrewD};
    return inks[crew % inks.size()];
}

std::string crew_letter(std::size_t crew)
{
    std::string letters;
    for (std::size_t rest = crew + 1; rest > 0; rest = (rest - 1) / 26) {
        letters.insert(letters.begin(), static_cast<char>('A' + (rest - 1) % 26));
    }
    return letters;
}

TextPage::TextPage(int width, bool colour) : width_{std::clamp(width, 60, 200)}, colour_{colour} {}

std::string TextPage::in(Ink ink, std::string_view text) const
{
    const std::string_view code = code_of(ink);
    if (!colour_ || code.empty() || text.empty()) {
        return std::string{text};
    }
    std::string inked = "\x1b[";
    inked += code;
    inked += 'm';
    // Spaces at the end stay outside, where a line's end can drop them.
    const std::size_t end = std::min(text.find_last_not_of(' ') + 1, text.size());
    inked += text.substr(0, end);
    inked += "\x1b[0m";
    inked += text.substr(end);
    return inked;
}

void TextPage::end_line()
{
    while (!out_.empty() && out_.back() == ' ') {
        out_.pop_back();
    }
    out_ += '\n';
}

void TextPage::blank() { end_line(); }

void TextPage::line(std::string_view text, Ink ink)
{
    for (const std::string& part : wrap(text, width_)) {
        out_ += in(ink, part);
        end_line();
    }
}

void TextPage::line_as_is(std::string_view text)
{
    out_ += text;
    end_line();
}

void TextPage::spread(std::string_view left, Ink left_ink, std::string_view right, Ink right_ink)
{
    const int right_columns = columns(right);
    const int left_most = width_ - right_columns - (right_columns > 0 ? 2 : 0);
    if (left_most < width_ / 3) {
        line(left, left_ink);
        line(right, right_ink);
        return;
    }
    const std::string start = columns(left) > left_most ? fit(left, left_most) : std::string{left};
    out_ += in(left_ink, start);
    out_.append(static_cast<std::size_t>(width_ - columns(start) - right_columns), ' ');
    out_ += in(right_ink, right);
    end_line();
}

void TextPage::heading(std::string_view title, Ink ink)
{
    const std::string shown =
        columns(title) > width_ - 4 ? fit(title, width_ - 4) : std::string{title};
    out_ += in(ink, shown);
    std::string rule = " ";
    for (int at = columns(shown) + 1; at < width_; ++at) {
        rule += "\u2500";
    }
    out_ += in(Ink::Faint, rule);
    end_line();
}

void TextPage::block(std::string_view gutter, std::string_view hanging, Ink gutter_ink,
                     std::string_view text, Ink ink)
{
    const int room = std::max(10, width_ - columns(gutter));
    bool first = true;
    for (const std::string& part : wrap(text, room)) {
        out_ += in(gutter_ink, first ? gutter : hanging);
        out_ += in(ink, part);
        end_line();
        first = false;
    }
}

}  // namespace nestround::sheets
