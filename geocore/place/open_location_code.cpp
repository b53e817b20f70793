#include "geocore/place/open_location_code.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace nestround::place {

namespace {

constexpr std::string_view kDigits = "23456789CFGHJMPQRVWX";
constexpr char kSeparator = '+';
constexpr char kPadding = '0';
constexpr std::size_t kSeparatorAt = 8;
constexpr int kPairDigits = 10;
constexpr int kMostDigits = 15;
// The fifteenth digit: pairs go down to 1/8000 degree, then five times into 5 rows and 4 columns.
constexpr std::int64_t kLatUnits = 8000 * 3125;
constexpr std::int64_t kLonUnits = 8000 * 1024;
/// Degrees spanned by one digit of each pair.
constexpr std::array<double, 5> kPairDegrees{20, 1, 0.05, 0.0025, 0.000125};
/// How far from the middle of its rectangle a code may be shortened, as a share of the rectangle
/// that then has to be guessed: below one half, with a margin.
constexpr double kShortenWithin = 0.3;

char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; }

std::string upper(std::string_view text)
{
    std::string out{text};
    std::transform(out.begin(), out.end(), out.begin(), [](char c) { return upper(c); });
    return out;
}

/// Whole units of `degrees`, rounded down; a hair below a whole number counts as it, because most
/// decimal fractions have no exact binary form.
std::int64_t units(double degrees, std::int64_t per_degree)
{
    const double value = degrees * static_cast<double>(per_degree);
    const double nearest = std::round(value);
    return static_cast<std::int64_t>(std::abs(value - nearest) < 1e-6 ? nearest
                                                                      : std::floor(value));
}

bool good_length(int digits) { return digits >= kPairDigits || (digits >= 2 && digits % 2 == 0); }

/// Zeros stand in pairs right before a separator that ends the code.
bool padding_fits(std::string_view text, std::size_t separator)
{
    const auto first = text.find(kPadding);
    if (first == std::string_view::npos) {
        return true;
    }
    const auto zeros = text.substr(first, separator - std::min(first, separator));
    return first >= 2 && first % 2 == 0 && separator == kSeparatorAt &&
           text.size() == separator + 1 && zeros.find_first_not_of(kPadding) == zeros.npos;
}

Error not_full(std::string_view text)
{
    return {ErrorCode::InvalidInput,
            fmt::format("'{}' is not a whole plus code; one looks like 87G8Q23G+2V", text),
            {}};
}

}  // namespace

PlusCode plus_code_kind(std::string_view text)
{
    const auto separator = text.find(kSeparator);
    if (separator == std::string_view::npos || separator > kSeparatorAt || separator % 2 != 0 ||
        text.size() == 1 || text.size() == separator + 2 || !padding_fits(text, separator)) {
        return PlusCode::None;
    }
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool digit = kDigits.find(upper(text[i])) != std::string_view::npos;
        if (!digit && i != separator && !(text[i] == kPadding && i < separator)) {
            return PlusCode::None;
        }
    }
    if (separator < kSeparatorAt) {
        return PlusCode::Short;
    }
    // The first pair must lie on Earth: 9 bands of 20 degrees north, 18 east.
    const bool on_earth = kDigits.find(upper(text[0])) < 9 && kDigits.find(upper(text[1])) < 18;
    return on_earth ? PlusCode::Full : PlusCode::None;
}

LonLat PlusCodeArea::centre() const
{
    return {Longitude{(west + east) / 2}, Latitude{(south + north) / 2}};
}

Result<std::string> encode_plus_code(LonLat place, int digits)
{
    const double lat = place.lat.value();
    const double lon = place.lon.value();
    if (!good_length(digits) || !std::isfinite(lat) || !std::isfinite(lon) || std::abs(lon) > 1e6) {
        return fail(
            ErrorCode::InvalidInput,
            "a plus code has 2, 4, 6, 8 or 10 to 15 digits and stands for a place on Earth");
    }
    digits = std::min(digits, kMostDigits);
    auto north = std::clamp<std::int64_t>(
        units(std::clamp(lat, -90.0, 90.0), kLatUnits) + 90 * kLatUnits, 0, 180 * kLatUnits - 1);
    constexpr std::int64_t kRound = 360 * kLonUnits;
    auto east = (units(lon, kLonUnits) + 180 * kLonUnits) % kRound;
    east += east < 0 ? kRound : 0;

    std::string all(kMostDigits, ' ');
    for (int i = kMostDigits - 1; i >= kPairDigits; --i) {
        all[i] = kDigits[(north % 5) * 4 + east % 4];
        north /= 5;
        east /= 4;
    }
    for (int i = kPairDigits - 2; i >= 0; i -= 2) {
        all[i] = kDigits[north % 20];
        all[i + 1] = kDigits[east % 20];
        north /= 20;
        east /= 20;
    }
    std::string code = all.substr(0, digits);
    if (code.size() < kSeparatorAt) {
        code.resize(kSeparatorAt, kPadding);
    }
    return code.insert(kSeparatorAt, 1, kSeparator);
}

Result<PlusCodeArea> decode_plus_code(std::string_view full_code)
{
    if (plus_code_kind(full_code) != PlusCode::Full) {
        return tl::unexpected{not_full(full_code)};
    }
    std::string code;
    for (const char c : full_code) {
        if (c != kSeparator && c != kPadding && code.size() < kMostDigits) {
            code += upper(c);
        }
    }
    std::int64_t north = 0;
    std::int64_t east = 0;
    std::int64_t tall = 20 * kLatUnits;
    std::int64_t wide = 20 * kLonUnits;
    for (std::size_t i = 0; i < code.size(); ++i) {
        const auto digit = static_cast<std::int64_t>(kDigits.find(code[i]));
        if (i < kPairDigits) {
            if (i > 0 && i % 2 == 0) {
                tall /= 20;
                wide /= 20;
            }
            (i % 2 == 0 ? north : east) += digit * (i % 2 == 0 ? tall : wide);
        } else {
            tall /= 5;
            wide /= 4;
            north += digit / 4 * tall;
            east += digit % 4 * wide;
        }
    }
    const auto lat = [](std::int64_t v) { return static_cast<double>(v) / kLatUnits - 90; };
    const auto lon = [](std::int64_t v) { return static_cast<double>(v) / kLonUnits - 180; };
    return PlusCodeArea{lat(north), lon(east), lat(north + tall), lon(east + wide),
                        static_cast<int>(code.size())};
}

Result<std::string> shorten_plus_code(std::string_view full_code, LonLat near)
{
    auto area = decode_plus_code(full_code);
    if (!area) {
        return tl::unexpected{std::move(area).error()};
    }
    const std::string code = upper(full_code);
    if (code.find(kPadding) != std::string::npos) {
        return code;
    }
    const auto centre = area->centre();
    const double lat = std::clamp(near.lat.value(), -90.0, 90.0);
    const double away =
        std::max(std::abs(centre.lat.value() - lat),
                 std::abs(std::remainder(centre.lon.value() - near.lon.value(), 360)));
    for (std::size_t pair = kPairDegrees.size() - 2; pair >= 1; --pair) {
        auto rest = code.substr((pair + 1) * 2);
        // Of eight digits none would be left but the separator.
        if (away < kPairDegrees[pair] * kShortenWithin && rest.size() > 1) {
            return rest;
        }
    }
    return code;
}

Result<std::string> recover_plus_code(std::string_view code, LonLat near)
{
    const auto kind = plus_code_kind(code);
    if (kind == PlusCode::Full) {
        return upper(code);
    }
    if (kind == PlusCode::None) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is not a plus code; a short one looks like Q23G+2V", code));
    }
    const auto missing = kSeparatorAt - code.find(kSeparator);
    const double size = kPairDegrees[missing / 2 - 1];
    const double lat = std::clamp(near.lat.value(), -90.0, 90.0);
    const double lon = std::remainder(near.lon.value(), 360);
    const auto around = encode_plus_code({Longitude{lon}, Latitude{lat}});
    if (!around) {
        return tl::unexpected{around.error()};
    }
    // The same last digits recur every `size` degrees; the nearest recurrence is meant.
    const auto area = decode_plus_code(around->substr(0, missing) + upper(code));
    if (!area) {
        return tl::unexpected{area.error()};
    }
    double north = area->centre().lat.value();
    double east = area->centre().lon.value();
    if (lat + size / 2 < north && north - size >= -90) {
        north -= size;
    } else if (lat - size / 2 > north && north + size <= 90) {
        north += size;
    }
    if (lon + size / 2 < east) {
        east -= size;
    } else if (lon - size / 2 > east) {
        east += size;
    }
    return encode_plus_code({Longitude{east}, Latitude{north}}, area->digits);
}

}  // namespace nestround::place
