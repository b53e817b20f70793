#include "plugin/driver/open_words.hpp"

#include <fmt/format.h>

#include <cctype>
#include <charconv>

namespace nestround::driver {
namespace {

constexpr std::string_view kKnown = "on, roads, taxa, species, season, cell_km2";

std::string lower(std::string_view text)
{
    std::string out{text};
    for (char& letter : out) {
        letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    }
    return out;
}

int hex_digit(char letter)
{
    if (letter >= '0' && letter <= '9') {
        return letter - '0';
    }
    const char small = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    return small >= 'a' && small <= 'f' ? small - 'a' + 10 : -1;
}

std::string decoded(std::string_view text)
{
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '%' && i + 2 < text.size() && hex_digit(text[i + 1]) >= 0 &&
            hex_digit(text[i + 2]) >= 0) {
            out += static_cast<char>(hex_digit(text[i + 1]) * 16 + hex_digit(text[i + 2]));
            i += 2;
        } else {
            out += text[i];
        }
    }
    return out;
}

}  // namespace

bool has_prefix(std::string_view name)
{
    return name.size() >= kPrefix.size() && lower(name.substr(0, kPrefix.size())) == lower(kPrefix);
}

bool is_word(std::string_view key)
{
    app::LiveWishes unused;
    // A number, because one of the words wants one.
    return set_word(unused, key, "1").has_value();
}

Result<bool> set_word(app::LiveWishes& wishes, std::string_view key, const std::string& value)
{
    const std::string known = lower(key);
    if (known == "on") {
        wishes.on = value;
    } else if (known == "roads") {
        wishes.roads = value;
    } else if (known == "taxa") {
        wishes.taxa = value;
    } else if (known == "season") {
        wishes.season = value;
    } else if (known == "species") {
        wishes.species.clear();
        std::string_view rest = value;
        while (!rest.empty()) {
            const auto comma = rest.find(',');
            wishes.species.emplace_back(rest.substr(0, comma));
            rest = comma == std::string_view::npos ? std::string_view{} : rest.substr(comma + 1);
        }
    } else if (known == "cell_km2") {
        const auto* end = value.data() + value.size();
        const auto read = std::from_chars(value.data(), end, wishes.cell_km2);
        if (read.ec != std::errc{} || read.ptr != end) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("'{}' is no number of square kilometres", value), "cell_km2");
        }
    } else {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is not a word the driver knows; it knows {}", key, kKnown));
    }
    return true;
}

Result<app::LiveWishes> read_name(std::string_view name)
{
    if (!has_prefix(name)) {
        return fail(ErrorCode::InvalidInput, fmt::format("does not begin with {}", kPrefix),
                    std::string{name});
    }
    app::LiveWishes wishes;
    std::string_view rest = name.substr(kPrefix.size());
    const auto mark = rest.rfind('?');
    if (mark != std::string_view::npos && rest.find('=', mark) != std::string_view::npos) {
        std::string_view words = rest.substr(mark + 1);
        rest = rest.substr(0, mark);
        while (!words.empty()) {
            const auto end = words.find('&');
            const std::string_view word = words.substr(0, end);
            words = end == std::string_view::npos ? std::string_view{} : words.substr(end + 1);
            if (word.empty()) {
                continue;
            }
            const auto equals = word.find('=');
            if (equals == std::string_view::npos) {
                return fail(ErrorCode::InvalidInput,
                            fmt::format("'{}' has no value; write {}=...", word, word),
                            std::string{rest});
            }
            const auto set =
                set_word(wishes, word.substr(0, equals), decoded(word.substr(equals + 1)));
            if (!set) {
                return tl::unexpected{set.error()};
            }
        }
    }
    if (rest.empty()) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("names no book; write {}book.gpkg", kPrefix));
    }
    wishes.book = std::string{rest};
    return wishes;
}

}  // namespace nestround::driver
