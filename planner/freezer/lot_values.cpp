#include "planner/freezer/lot_values.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

namespace nestround::freezer {

namespace {

template <class Number>
std::optional<Number> number(std::string_view text)
{
    Number value{};
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (code != std::errc{} || end != text.data() + text.size()) {
        return std::nullopt;
    }
    return value;
}

}  // namespace

Result<std::string> read_correction(std::string_view field, std::string_view value)
{
    if (field == "mass") {
        if (value.ends_with('g')) {
            value.remove_suffix(1);
        }
        const auto grams = number<double>(value);
        if (!grams || !std::isfinite(*grams) || !(*grams > 0) || *grams > 100000) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("'{}' is no mass in grams above 0 and up to 100 kg", value));
        }
        return fmt::format("{}", *grams);
    }
    if (field == "count") {
        const auto count = number<int>(value);
        if (!count || *count < 0) {
            return fail(ErrorCode::InvalidInput, fmt::format("'{}' is no count of wasps", value));
        }
        return fmt::format("{}", *count);
    }
    if (field == "frozen_at") {
        return parse_instant(value).map([](Instant at) { return format_instant(at); });
    }
    if (field == "container" || field == "note") {
        if (value.empty()) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("{} cannot become empty; say what it is", field));
        }
        return std::string{value};
    }
    return fail(ErrorCode::InvalidInput,
                fmt::format("'{}' cannot be corrected; mass, count, frozen_at, container and note "
                            "can, and a lot can be withdrawn",
                            field));
}

std::string value_of(const Lot& lot, std::string_view field)
{
    if (field == "mass") {
        return lot.mass ? fmt::format("{}", lot.mass->value()) : "";
    }
    if (field == "count") {
        return lot.count ? fmt::format("{}", *lot.count) : "";
    }
    if (field == "frozen_at") {
        return format_instant(lot.frozen_at);
    }
    return field == "container" ? lot.container : field == "note" ? lot.note : "";
}

Lot as_corrected(Lot lot, std::span<const LotCorrection> corrections)
{
    for (const auto& correction : corrections) {
        const auto value = read_correction(correction.field, correction.becomes);
        if (!value) {
            continue;  // withdrawn, or words of an older program
        }
        if (correction.field == "mass") {
            lot.mass = Grams{number<double>(*value).value_or(0)};
        } else if (correction.field == "count") {
            lot.count = number<int>(*value);
        } else if (correction.field == "frozen_at") {
            lot.frozen_at = parse_instant(*value).value_or(lot.frozen_at);
        } else if (correction.field == "container") {
            lot.container = *value;
        } else {
            lot.note = *value;
        }
    }
    return lot;
}

}  // namespace nestround::freezer
