#include "geocore/base/calendar.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <optional>

namespace nestround {

namespace {

using namespace std::chrono;

/// The whole number in exactly `text`, all digits.
std::optional<int> digits(std::string_view text)
{
    int value = 0;
    if (text.empty()) {
        return std::nullopt;
    }
    for (const char c : text) {
        if (c < '0' || c > '9') {
            return std::nullopt;
        }
        value = value * 10 + (c - '0');
    }
    return value;
}

std::optional<Day> day_in(std::string_view text)
{
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') {
        return std::nullopt;
    }
    const auto y = digits(text.substr(0, 4));
    const auto m = digits(text.substr(5, 2));
    const auto d = digits(text.substr(8, 2));
    if (!y || !m || !d || *y < 1) {
        return std::nullopt;
    }
    const year_month_day date{year{*y}, month{static_cast<unsigned>(*m)},
                              day{static_cast<unsigned>(*d)}};
    if (!date.ok()) {
        return std::nullopt;
    }
    return sys_days{date};
}

/// The offset from UTC in "Z", "+02:00", "-0530" or "+02".
std::optional<seconds> offset_in(std::string_view text)
{
    if (text == "Z" || text == "z") {
        return seconds{0};
    }
    if (text.size() < 3 || (text[0] != '+' && text[0] != '-')) {
        return std::nullopt;
    }
    const auto h = digits(text.substr(1, 2));
    std::string_view rest = text.substr(3);
    if (!rest.empty() && rest[0] == ':') {
        rest.remove_prefix(1);
    }
    const auto m = rest.empty() ? std::optional<int>{0} : digits(rest);
    if (!h || !m || *h > 23 || *m > 59 || (!rest.empty() && rest.size() != 2)) {
        return std::nullopt;
    }
    const seconds offset = hours{*h} + minutes{*m};
    return text[0] == '-' ? -offset : offset;
}

std::optional<Instant> instant_in(std::string_view text)
{
    if (text.size() == 10) {
        return day_in(text);
    }
    if (text.size() < 17 || (text[10] != 'T' && text[10] != ' ') || text[13] != ':') {
        return std::nullopt;
    }
    const auto date = day_in(text.substr(0, 10));
    const auto h = digits(text.substr(11, 2));
    const auto m = digits(text.substr(14, 2));
    std::string_view rest = text.substr(16);
    int second = 0;
    if (rest.size() >= 3 && rest[0] == ':') {
        const auto s = digits(rest.substr(1, 2));
        if (!s) {
            return std::nullopt;
        }
        second = *s;
        rest.remove_prefix(3);
        if (!rest.empty() && rest[0] == '.') {
            const auto end = rest.find_first_not_of("0123456789", 1);
            rest.remove_prefix(end == std::string_view::npos ? rest.size() : end);
        }
    }
    const auto offset = offset_in(rest);
    if (!date || !h || !m || !offset || *h > 23 || *m > 59 || second > 59) {
        return std::nullopt;
    }
    const Instant instant = Instant{*date} + hours{*h} + minutes{*m} + seconds{second} - *offset;
    // The offset may carry the first or the last day out of the years that can be written.
    const int year = year_of(floor<days>(instant));
    return year >= 1 && year <= 9999 ? std::optional{instant} : std::nullopt;
}

}  // namespace

Result<Day> parse_day(std::string_view text)
{
    if (const auto day = day_in(text)) {
        return *day;
    }
    return fail(ErrorCode::InvalidInput,
                fmt::format("'{}' is not a date (year-month-day, as 2026-08-04)", text));
}

std::string format_day(Day day)
{
    const year_month_day date{day};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

std::string format_day_long(Day day)
{
    static constexpr std::array weekdays{"Sunday",   "Monday", "Tuesday", "Wednesday",
                                         "Thursday", "Friday", "Saturday"};
    static constexpr std::array months{"January",   "February", "March",    "April",
                                       "May",       "June",     "July",     "August",
                                       "September", "October",  "November", "December"};
    const year_month_day date{day};
    return fmt::format(
        "{} {} {} {}", weekdays[weekday{day}.c_encoding()], static_cast<unsigned>(date.day()),
        months[static_cast<unsigned>(date.month()) - 1], static_cast<int>(date.year()));
}

int year_of(Day day) { return static_cast<int>(year_month_day{day}.year()); }

int day_of_year(Day day)
{
    const Day first{year_month_day{year_month_day{day}.year(), January, std::chrono::day{1}}};
    return static_cast<int>((day - first).count()) + 1;
}

Result<Instant> parse_instant(std::string_view text)
{
    if (const auto instant = instant_in(text)) {
        return *instant;
    }
    return fail(
        ErrorCode::InvalidInput,
        fmt::format("'{}' is not a moment (as 2026-08-04T06:30:00Z, with Z or an offset)", text));
}

std::string format_instant(Instant instant)
{
    const Day day = floor<days>(instant);
    const hh_mm_ss time{instant - day};
    return fmt::format("{}T{:02}:{:02}:{:02}.000Z", format_day(day), time.hours().count(),
                       time.minutes().count(), time.seconds().count());
}

Result<ClockTime> parse_clock(std::string_view text)
{
    const auto colon = text.find(':');
    if (colon != std::string_view::npos && colon <= 2 && text.size() == colon + 3) {
        const auto h = digits(text.substr(0, colon));
        const auto m = digits(text.substr(colon + 1));
        if (h && m && *m < 60 && *h * 60 + *m <= 48 * 60) {
            return ClockTime::at(*h, *m);
        }
    }
    return fail(ErrorCode::InvalidInput,
                fmt::format("'{}' is not a clock time (hours:minutes, as 07:30)", text));
}

std::string format_clock(ClockTime time)
{
    const auto total = floor<minutes>(time.since_midnight() + seconds{30}).count();
    return fmt::format("{:02}:{:02}", total / 60, total % 60);
}

Result<ClockSpan> parse_clock_span(std::string_view text)
{
    const auto dash = text.find('-');
    if (dash != std::string_view::npos) {
        const auto opens = parse_clock(text.substr(0, dash));
        const auto closes = parse_clock(text.substr(dash + 1));
        if (opens && closes && *opens < *closes) {
            return ClockSpan{*opens, *closes};
        }
    }
    return fail(ErrorCode::InvalidInput,
                fmt::format("'{}' is not a span of hours (as 08:00-12:00)", text));
}

std::string format_clock_span(const ClockSpan& span)
{
    return format_clock(span.opens) + "-" + format_clock(span.closes);
}

}  // namespace nestround
