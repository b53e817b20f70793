// The half of show.hpp that deals in characters; GLib (Pango's base) holds the Unicode tables.
#include <glib.h>

#include <string>

#include "planner/sheets/show.hpp"

namespace nestround::sheets {

namespace {

constexpr std::string_view kEllipsis = "\u2026";

/// The first character of `text`, which is not empty and valid UTF-8, and its bytes.
struct Character {
    gunichar code;
    std::string_view bytes;
};

Character first_of(std::string_view text)
{
    if (text.front() == '\0') {
        return {0, text.substr(0, 1)};  // which GLib takes for the end
    }
    const gunichar code = g_utf8_get_char_validated(text.data(), static_cast<gssize>(text.size()));
    if (code == static_cast<gunichar>(-1) || code == static_cast<gunichar>(-2)) {
        return {0xfffd, text.substr(0, 1)};
    }
    const char* next = g_utf8_next_char(text.data());
    return {code, text.substr(0, static_cast<std::size_t>(next - text.data()))};
}

int columns_of(gunichar code)
{
    if (g_unichar_iszerowidth(code)) {
        return 0;
    }
    return g_unichar_iswide(code) ? 2 : 1;
}

/// Controls, and the marks that turn the reading direction of what follows them.
bool unfit(gunichar code)
{
    if (g_unichar_iscntrl(code) || code == 0x2028 || code == 0x2029) {
        return true;
    }
    return (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069) ||
           (code & 0xfffeU) == 0xfffe;
}

/// The longest start of `text` within `width` columns.
std::string_view start_of(std::string_view text, int width)
{
    std::size_t bytes = 0;
    int used = 0;
    while (bytes < text.size()) {
        const Character c = first_of(text.substr(bytes));
        used += columns_of(c.code);
        if (used > width) {
            break;
        }
        bytes += c.bytes.size();
    }
    return text.substr(0, bytes);
}

}  // namespace

std::string clean(std::string_view text)
{
    std::string out;
    out.reserve(text.size());
    bool space = false;
    while (!text.empty()) {
        const Character c = first_of(text);
        text.remove_prefix(c.bytes.size());
        if (c.code == ' ' || unfit(c.code)) {
            space = !out.empty();
            continue;
        }
        if (space) {
            out += ' ';
            space = false;
        }
        if (c.code == 0xfffd) {
            out += "\ufffd";
        } else {
            out += c.bytes;
        }
    }
    return out;
}

int columns(std::string_view text)
{
    int used = 0;
    while (!text.empty()) {
        const Character c = first_of(text);
        used += columns_of(c.code);
        text.remove_prefix(c.bytes.size());
    }
    return used;
}

std::string fit(std::string_view text, int width)
{
    std::string out{text};
    int used = columns(out);
    if (used > width) {
        out = std::string{start_of(text, width - 1)} + std::string{kEllipsis};
        used = columns(out);
    }
    if (used < width) {
        out.append(static_cast<std::size_t>(width - used), ' ');
    }
    return out;
}

std::vector<std::string> wrap(std::string_view text, int width)
{
    std::vector<std::string> lines;
    std::string line;
    int used = 0;
    const auto end_line = [&] {
        lines.push_back(std::move(line));
        line.clear();
        used = 0;
    };
    while (!text.empty()) {
        const std::size_t space = text.find(' ');
        std::string_view word = text.substr(0, space);
        text.remove_prefix(space == std::string_view::npos ? text.size() : space + 1);
        if (word.empty()) {
            continue;
        }
        if (used > 0 && used + 1 + columns(word) > width) {
            end_line();
        }
        while (columns(word) > width) {
            std::string_view part = start_of(word, width);
            if (part.empty()) {
                part = first_of(word).bytes;  // not even one character fits
            }
            word.remove_prefix(part.size());
            line += part;
            end_line();
        }
        if (!word.empty()) {
            if (used > 0) {
                line += ' ';
                ++used;
            }
            line += word;
            used += columns(word);
        }
    }
    if (!line.empty() || lines.empty()) {
        end_line();
    }
    return lines;
}

}  // namespace nestround::sheets
