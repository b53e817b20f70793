#include "geocore/roads/vehicle_limits.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <string>
#include <utility>

namespace nestround::roads {
namespace {

void skip_spaces(std::string_view& text)
{
    while (!text.empty() && text.front() == ' ') {
        text.remove_prefix(1);
    }
}

std::optional<double> take_number(std::string_view& text)
{
    skip_spaces(text);
    std::string plain{text};
    if (const auto comma = plain.find(','); comma != std::string::npos) {
        plain[comma] = '.';
    }
    double value = 0;
    const auto [end, problem] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
    if (problem != std::errc{} || !(value >= 0) || !std::isfinite(value)) {
        return std::nullopt;
    }
    text.remove_prefix(static_cast<std::size_t>(end - plain.data()));
    skip_spaces(text);
    return value;
}

/// Takes any of the words off the front.
template <std::size_t N>
bool take(std::string_view& text, const std::array<std::string_view, N>& words)
{
    for (const auto word : words) {
        if (text.starts_with(word)) {
            text.remove_prefix(word.size());
            skip_spaces(text);
            return true;
        }
    }
    return false;
}

std::optional<std::uint32_t> whole(double value)
{
    // A hair more, so that 2.3 m is 2,300 mm and not 2,299.
    return value > 0 && value < 1e9 ? std::optional{static_cast<std::uint32_t>(value + 1e-6)}
                                    : std::nullopt;
}

}  // namespace

std::optional<std::uint32_t> parse_length_limit(std::string_view text)
{
    const auto number = take_number(text);
    if (!number) {
        return std::nullopt;
    }
    if (text.empty() || text == "m") {
        return whole(*number * 1000);
    }
    if (text == "cm") {
        return whole(*number * 10);
    }
    constexpr std::array<std::string_view, 4> kFeet{"'", "feet", "foot", "ft"};
    constexpr std::array<std::string_view, 5> kInches{"\"", "''", "inches", "inch", "in"};
    if (take(text, kInches) && text.empty()) {
        return whole(*number * 25.4);
    }
    if (!take(text, kFeet)) {
        return std::nullopt;
    }
    double inches = 0;
    if (!text.empty()) {
        const auto more = take_number(text);
        if (!more || *more >= 12) {
            return std::nullopt;
        }
        take(text, kInches);
        inches = *more;
    }
    return text.empty() ? whole(*number * 304.8 + inches * 25.4) : std::nullopt;
}

std::optional<std::uint32_t> parse_weight_limit(std::string_view text)
{
    constexpr double kPound = 0.45359237;
    const auto number = take_number(text);
    if (!number) {
        return std::nullopt;
    }
    constexpr std::array<std::pair<std::string_view, double>, 9> kUnits{{{"", 1000},
                                                                         {"t", 1000},
                                                                         {"tonnes", 1000},
                                                                         {"kg", 1},
                                                                         {"st", 2000 * kPound},
                                                                         {"lt", 2240 * kPound},
                                                                         {"lbs", kPound},
                                                                         {"lb", kPound},
                                                                         {"cwt", 112 * kPound}}};
    for (const auto& [unit, kilograms] : kUnits) {
        if (text == unit) {
            return whole(*number * kilograms);
        }
    }
    return std::nullopt;
}

}  // namespace nestround::roads
