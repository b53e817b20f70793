#include "geocore/intake/places.hpp"

#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "geocore/intake/fields.hpp"

namespace nestround::intake {

namespace {

/// A number, or one of N, S, E and W.
struct Token {
    char letter = 0;
    double value = 0;
    bool negative = false;
};

/// Degree, minute and second signs become blanks; the order of numbers tells them apart.
std::string without_signs(std::string_view text)
{
    std::string out{text};
    for (const std::string_view sign : {"°", "º", "′", "″", "’", "”", "'", "\""}) {
        for (auto at = out.find(sign); at != std::string::npos; at = out.find(sign, at)) {
            out.replace(at, sign.size(), " ");
        }
    }
    return out;
}

std::optional<std::vector<Token>> tokens_of(const std::string& text)
{
    static constexpr std::string_view kNumber = "0123456789.+-";
    std::vector<Token> out;
    for (std::size_t i = 0; i < text.size();) {
        const char c = text[i];
        const std::string letter = folded(text.substr(i, 1));
        if (c == ' ' || c == '\t' || c == ',' || c == ';') {
            ++i;
        } else if (kNumber.find(c) != std::string_view::npos) {
            const auto end = std::min(text.find_first_not_of(kNumber, i), text.size());
            const auto value = number(std::string_view{text}.substr(i, end - i));
            if (!value) {
                return std::nullopt;
            }
            out.push_back({0, std::abs(*value), c == '-'});
            i = end;
        } else if (letter == "n" || letter == "s" || letter == "e" || letter == "w") {
            out.push_back({letter[0], 0, false});
            ++i;
        } else {
            return std::nullopt;
        }
    }
    return out;
}

/// Degrees from one to three numbers, of which only the last may have a fraction.
std::optional<double> angle(const std::vector<Token>& parts)
{
    if (parts.empty() || parts.size() > 3) {
        return std::nullopt;
    }
    double value = 0;
    double scale = 1;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const bool last = i + 1 == parts.size();
        if ((i > 0 && (parts[i].negative || !(parts[i].value < 60))) ||
            (!last && parts[i].value != std::floor(parts[i].value))) {
            return std::nullopt;
        }
        value += parts[i].value * scale;
        scale /= 60;
    }
    return parts[0].negative ? -value : value;
}

/// One half of a place: its numbers and the letter that goes with them.
struct Half {
    std::vector<Token> numbers;
    char letter = 0;
};

/// Splits at the letters, which stand all before or all after their numbers; without letters the
/// numbers are halved.
std::optional<std::pair<Half, Half>> halves(const std::vector<Token>& tokens)
{
    Half first;
    Half second;
    std::vector<std::size_t> letters;
    for (std::size_t i = 0; i < tokens.size(); ++i) {
        if (tokens[i].letter != 0) {
            letters.push_back(i);
        }
    }
    std::size_t split = tokens.size() / 2;
    if (letters.size() == 2) {
        const bool before = letters[0] == 0;
        split = before ? letters[1] : letters[0] + 1;
        if (!before && letters[1] + 1 != tokens.size()) {
            return std::nullopt;
        }
        first.letter = tokens[letters[0]].letter;
        second.letter = tokens[letters[1]].letter;
    } else if (!letters.empty() || tokens.size() % 2 != 0) {
        return std::nullopt;
    }
    for (std::size_t i = 0; i < tokens.size(); ++i) {
        if (tokens[i].letter == 0) {
            (i < split ? first : second).numbers.push_back(tokens[i]);
        }
    }
    return std::pair{first, second};
}

std::optional<double> signed_angle(const Half& half)
{
    auto value = angle(half.numbers);
    if (!value || (half.letter != 0 && half.numbers[0].negative)) {
        return std::nullopt;
    }
    return half.letter == 's' || half.letter == 'w' ? -*value : *value;
}

std::optional<LonLat> place_in(std::string_view text)
{
    const auto tokens = tokens_of(without_signs(text));
    const auto both = tokens ? halves(*tokens) : std::nullopt;
    if (!both) {
        return std::nullopt;
    }
    auto [lat, lon] = *both;
    if (lat.letter == 'e' || lat.letter == 'w') {
        std::swap(lat, lon);
    }
    const bool letters_fit =
        (lat.letter == 0 && lon.letter == 0) ||
        ((lat.letter == 'n' || lat.letter == 's') && (lon.letter == 'e' || lon.letter == 'w'));
    const auto north = signed_angle(lat);
    const auto east = signed_angle(lon);
    if (!letters_fit || !north || !east) {
        return std::nullopt;
    }
    return LonLat{Longitude{*east}, Latitude{*north}};
}

}  // namespace

Result<LonLat> parse_place(std::string_view text)
{
    const auto place = place_in(text);
    if (!place) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is not a place; write latitude and longitude, as "
                                "'41.2,-77.1' or '41 12 30 N 77 6 0 W'",
                                shown(text)));
    }
    if (!is_on_earth(*place)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("latitude {:.10g}, longitude {:.10g} is not on Earth; latitude "
                                "comes first",
                                place->lat.value(), place->lon.value()));
    }
    return *place;
}

}  // namespace nestround::intake
