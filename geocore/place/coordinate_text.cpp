#include "geocore/place/coordinate_text.hpp"

#include <fmt/format.h>

#include <GeographicLib/MGRS.hpp>
#include <GeographicLib/UTMUPS.hpp>
#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <utility>
#include <vector>

namespace nestround::place {

namespace {

using Reading = std::optional<CoordinateReading>;

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::optional<double> number(std::string_view text)
{
    if (text.starts_with('+')) {
        text.remove_prefix(1);
    }
    double value = 0;
    const auto [end, problem] =
        std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
    const bool whole = problem == std::errc{} && end == text.data() + text.size();
    return whole && std::isfinite(value) ? std::optional{value} : std::nullopt;
}

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
        const char letter = lower(c);
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
        } else if (letter == 'n' || letter == 's' || letter == 'e' || letter == 'w') {
            out.push_back({letter, 0, false});
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

/// Two angles in degrees, minutes and seconds.
Reading angles_in(std::string_view text)
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
    const bool letters = lat.letter != 0;
    const bool letters_fit =
        (!letters && lon.letter == 0) ||
        ((lat.letter == 'n' || lat.letter == 's') && (lon.letter == 'e' || lon.letter == 'w'));
    const auto north = signed_angle(lat);
    const auto east = signed_angle(lon);
    if (!letters_fit || !north || !east) {
        return std::nullopt;
    }
    CoordinateReading reading;
    reading.at = {Longitude{*east}, Latitude{*north}};
    reading.notation = lat.numbers.size() == 1   ? Notation::Degrees
                       : lat.numbers.size() == 2 ? Notation::DegreesMinutes
                                                 : Notation::DegreesMinutesSeconds;
    const LonLat swapped{Longitude{*north}, Latitude{*east}};
    if (!letters && is_on_earth(swapped) && !(swapped == reading.at)) {
        reading.swapped = swapped;
    }
    return reading;
}

/// RFC 5870: geo:LAT,LON[,HEIGHT][;crs=wgs84][;u=METRES][;...]
Reading geo_uri_in(std::string_view text)
{
    const auto parameters = std::min(text.find(';'), text.size());
    std::vector<double> numbers;
    for (std::size_t from = 4; from <= parameters;) {
        const auto end = std::min(text.find(',', from), parameters);
        const auto value = number(text.substr(from, end - from));
        if (!value) {
            return std::nullopt;
        }
        numbers.push_back(*value);
        from = end + 1;
    }
    if (numbers.size() != 2 && numbers.size() != 3) {
        return std::nullopt;
    }
    CoordinateReading reading;
    reading.notation = Notation::GeoUri;
    reading.at = {Longitude{numbers[1]}, Latitude{numbers[0]}};
    std::string rest;
    for (const char c : text.substr(parameters)) {
        rest += lower(c);
    }
    for (std::size_t from = 0; from < rest.size();) {
        const auto end = std::min(rest.find(';', from + 1), rest.size());
        const std::string part = rest.substr(from + 1, end - from - 1);
        if (part.starts_with("crs=") && part != "crs=wgs84") {
            return std::nullopt;
        }
        if (part.starts_with("u=")) {
            const auto metres = number(std::string_view{part}.substr(2));
            if (!metres || *metres < 0) {
                return std::nullopt;
            }
            reading.uncertainty = Metres{*metres};
        }
        from = end;
    }
    return reading;
}

/// The parts of "18T 290000 4560000" or "18 north 290000 4560000": zone, letters, numbers.
struct GridWords {
    int zone = 0;
    std::string letters;
    std::vector<std::string> numbers;
};

std::optional<GridWords> grid_words(std::string_view text)
{
    GridWords words;
    std::size_t i = 0;
    std::string zone;
    while (i < text.size() && is_digit(text[i]) && zone.size() < 2) {
        zone += text[i++];
    }
    if (zone.empty()) {
        return std::nullopt;
    }
    words.zone = std::stoi(zone);
    for (; i < text.size() && (text[i] == ' ' || std::isalpha(static_cast<unsigned char>(text[i])));
         ++i) {
        if (text[i] != ' ') {
            words.letters += lower(text[i]);
        }
    }
    while (i < text.size()) {
        const auto end = std::min(text.find_first_of(" ,;", i), text.size());
        if (end > i) {
            words.numbers.emplace_back(text.substr(i, end - i));
        }
        i = end + 1;
    }
    const bool good =
        words.zone >= 1 && words.zone <= 60 && !words.letters.empty() && words.numbers.size() <= 2;
    return good ? std::optional{words} : std::nullopt;
}

/// Military grid reference: zone, band, square of 100 km, then as many digits east as north.
Reading mgrs_in(const GridWords& words)
{
    std::string digits;
    for (const auto& part : words.numbers) {
        if (!std::all_of(part.begin(), part.end(), is_digit)) {
            return std::nullopt;
        }
        digits += part;
    }
    const bool halves_match =
        words.numbers.size() != 2 || words.numbers[0].size() == words.numbers[1].size();
    if (words.letters.size() != 3 || digits.size() % 2 != 0 || digits.size() > 10 ||
        !halves_match) {
        return std::nullopt;
    }
    int zone = 0;
    bool north = true;
    double x = 0;
    double y = 0;
    int precision = 0;
    double lat = 0;
    double lon = 0;
    GeographicLib::MGRS::Reverse(fmt::format("{}{}{}", words.zone, words.letters, digits), zone,
                                 north, x, y, precision);
    GeographicLib::UTMUPS::Reverse(zone, north, x, y, lat, lon);
    CoordinateReading reading;
    reading.notation = Notation::Mgrs;
    reading.at = {Longitude{lon}, Latitude{lat}};
    reading.uncertainty = Metres{std::pow(10.0, 5 - precision) / std::sqrt(2.0)};
    return reading;
}

Reading utm_in(const GridWords& words)
{
    if (words.numbers.size() != 2) {
        return std::nullopt;
    }
    const auto east = number(words.numbers[0]);
    const auto north = number(words.numbers[1]);
    if (!east || !north) {
        return std::nullopt;
    }
    bool northern = true;
    if (words.letters == "north" || words.letters == "south") {
        northern = words.letters == "north";
    } else if (words.letters.size() == 1 && words.letters != "i" && words.letters != "o" &&
               words.letters[0] >= 'c' && words.letters[0] <= 'x') {
        // S is the band from 32 to 40 degrees north, and to others the southern half.
        northern = words.letters[0] >= 'n';
    } else {
        return std::nullopt;
    }
    const auto place_of = [&](bool of_north) {
        double lat = 0;
        double lon = 0;
        GeographicLib::UTMUPS::Reverse(words.zone, of_north, *east, *north, lat, lon);
        return LonLat{Longitude{lon}, Latitude{lat}};
    };
    CoordinateReading reading;
    reading.notation = Notation::Utm;
    reading.at = place_of(northern);
    if (words.letters == "s") {
        const double lat = reading.at.lat.value();
        const auto southern = place_of(false);
        if (lat >= 32 && lat < 40) {
            reading.swapped = southern;
        } else {
            reading.at = southern;
        }
    }
    return reading;
}

Reading grid_in(std::string_view text)
{
    try {
        const auto words = grid_words(text);
        if (!words) {
            return std::nullopt;
        }
        auto reading = mgrs_in(*words);
        return reading ? reading : utm_in(*words);
    } catch (const GeographicLib::GeographicErr&) {
        return std::nullopt;  // looks like a grid reference, but there is no such square
    }
}

}  // namespace

std::string_view text(Notation notation)
{
    switch (notation) {
        case Notation::Degrees:
            return "degrees";
        case Notation::DegreesMinutes:
            return "degrees and minutes";
        case Notation::DegreesMinutesSeconds:
            return "degrees, minutes and seconds";
        case Notation::GeoUri:
            return "geo URI";
        case Notation::Utm:
            return "UTM";
        case Notation::Mgrs:
            break;
    }
    return "MGRS";
}

std::optional<CoordinateReading> read_coordinates(std::string_view text)
{
    while (text.starts_with(' ')) {
        text.remove_prefix(1);
    }
    while (text.ends_with(' ')) {
        text.remove_suffix(1);
    }
    std::string scheme;
    for (const char c : text.substr(0, 4)) {
        scheme += lower(c);
    }
    auto reading = scheme == "geo:" ? geo_uri_in(text) : angles_in(text);
    if (!reading) {
        reading = grid_in(text);
    }
    if (!reading) {
        return std::nullopt;
    }
    if (!is_on_earth(reading->at) && reading->swapped) {
        // Only one order makes a place.
        reading->at = *std::exchange(reading->swapped, std::nullopt);
        reading->longitude_first = true;
    }
    return reading;
}

}  // namespace nestround::place
