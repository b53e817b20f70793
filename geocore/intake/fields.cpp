#include "geocore/intake/fields.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstdint>

namespace nestround::intake {

std::string RefusedRow::text() const
{
    std::string out = fmt::format("row {}", row);
    if (!column.empty()) {
        out += ", column " + column;
    }
    out += ": " + reason;
    return way_out.empty() ? out : out + "; " + way_out;
}

std::string_view trimmed(std::string_view text)
{
    static constexpr std::string_view kBlank = " \t\r\n\v\f";
    const auto from = text.find_first_not_of(kBlank);
    if (from == std::string_view::npos) {
        return {};
    }
    return text.substr(from, text.find_last_not_of(kBlank) - from + 1);
}

std::string folded(std::string_view text)
{
    std::string out{trimmed(text)};
    for (char& c : out) {
        if (c >= 'A' && c <= 'Z') {
            c = static_cast<char>(c - 'A' + 'a');
        } else if (c == ' ' || c == '-') {
            c = '_';
        }
    }
    return out;
}

std::optional<double> number(std::string_view text, bool decimal_comma)
{
    std::string clean{trimmed(text)};
    if (const auto comma = clean.find(',');
        decimal_comma && comma != std::string::npos && clean.find('.') == std::string::npos) {
        clean[comma] = '.';
    }
    std::string_view rest = clean;
    if (rest.size() > 1 && rest[0] == '+' && rest[1] != '-') {
        rest.remove_prefix(1);
    }
    double value = 0;
    const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), value);
    if (error != std::errc{} || end != rest.data() + rest.size() || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

std::optional<bool> yes_no(std::string_view text)
{
    const std::string word = folded(text);
    for (const auto* yes : {"yes", "y", "true", "t", "1"}) {
        if (word == yes) {
            return true;
        }
    }
    for (const auto* no : {"no", "n", "false", "f", "0"}) {
        if (word == no) {
            return false;
        }
    }
    return std::nullopt;
}

std::optional<Day> loose_day(std::string_view text)
{
    std::string clean{trimmed(text)};
    if (clean.size() == 8 && clean.find_first_not_of("0123456789") == std::string::npos) {
        clean.insert(6, 1, '-');
        clean.insert(4, 1, '-');
    }
    if (clean.size() > 10 && (clean[10] == 'T' || clean[10] == ' ')) {
        // A clock time after the date must at least look like one.
        if (clean.find_first_not_of("0123456789:.+-Zz", 11) != std::string::npos ||
            clean.size() < 16 || clean[13] != ':') {
            return std::nullopt;
        }
        clean.resize(10);
    }
    if (clean.size() == 10 && clean[4] == '/' && clean[7] == '/') {
        clean[4] = clean[7] = '-';
    }
    const auto day = parse_day(clean);
    return day ? std::optional{*day} : std::nullopt;
}

std::string digest(std::string_view text)
{
    std::uint64_t h = 0xcbf29ce484222325U;
    for (const char c : text) {
        h = (h ^ static_cast<std::uint8_t>(c)) * 0x100000001b3U;
    }
    return fmt::format("{:016x}", h);
}

std::string shown(std::string_view text)
{
    constexpr std::size_t kMost = 40;
    std::string out{trimmed(text)};
    if (out.size() > kMost) {
        std::size_t end = kMost;
        while (end > 0 && (static_cast<std::uint8_t>(out[end]) & 0xc0U) == 0x80U) {
            --end;  // not through the middle of a character
        }
        out.resize(end);
        out += "...";
    }
    for (char& c : out) {
        if (static_cast<std::uint8_t>(c) < 0x20) {
            c = ' ';
        }
    }
    return out;
}

std::string joined(const std::vector<std::string>& names)
{
    return fmt::format("{}", fmt::join(names, ", "));
}

std::string RowReader::text(const std::string& column) const
{
    const auto index = columns_.index(column);
    return index ? std::string{trimmed(row_.cells[*index])} : std::string{};
}

std::optional<double> RowReader::number(const std::string& column)
{
    const std::string cell = text(column);
    if (cell.empty()) {
        return std::nullopt;
    }
    const auto value = intake::number(cell, columns_.grid().decimal_comma);
    if (!value) {
        refuse(column, fmt::format("'{}' is not a number", shown(cell)),
               "write digits alone, as 4.5; the unit belongs to the column's name");
    }
    return value;
}

std::optional<double> RowReader::number(const std::string& column, double low, double high,
                                        std::string_view unit)
{
    auto value = number(column);
    if (value && !(*value >= low && *value <= high)) {
        refuse(column, fmt::format("{} {} is outside {} to {}", *value, unit, low, high),
               "correct the number, or leave it empty");
        value.reset();
    }
    return value;
}

std::optional<int> RowReader::count(const std::string& column, int low, int high)
{
    const auto value = number(column, low, high, "");
    if (value && *value != std::floor(*value)) {
        refuse(column, fmt::format("{} is not a whole number", *value), "write a whole number");
        return std::nullopt;
    }
    return value ? std::optional{static_cast<int>(*value)} : std::nullopt;
}

std::optional<double> RowReader::measure(const std::string& name, double low, double high,
                                         std::string_view unit)
{
    const auto found = columns_.measure(name);
    if (!found) {
        return std::nullopt;
    }
    const auto value = number(found->name);
    if (!value) {
        return std::nullopt;
    }
    const double converted = *value * found->factor;
    if (!(converted >= low && converted <= high)) {
        refuse(found->name,
               fmt::format("{:.6g} {} is outside {} to {}", converted, unit, low, high),
               "correct it or the unit in the column's name, or leave it empty");
        return std::nullopt;
    }
    return converted;
}

std::optional<Day> RowReader::day(const std::string& column)
{
    const std::string cell = text(column);
    if (cell.empty()) {
        return std::nullopt;
    }
    const auto day = loose_day(cell);
    if (!day) {
        refuse(column, fmt::format("'{}' is not a date", shown(cell)),
               "write year-month-day, as 2026-08-04");
    }
    return day;
}

bool RowReader::yes(const std::string& column)
{
    const std::string cell = text(column);
    if (cell.empty()) {
        return false;
    }
    const auto answer = yes_no(cell);
    if (!answer) {
        refuse(column, fmt::format("'{}' is neither yes nor no", shown(cell)),
               "write yes, no, or nothing");
    }
    return answer.value_or(false);
}

void RowReader::refuse(const std::string& column, std::string reason, std::string way_out)
{
    if (!fault_) {
        fault_ = RefusedRow{row_.number, columns_.shown_name(column), std::move(reason),
                            std::move(way_out)};
    }
}

}  // namespace nestround::intake
