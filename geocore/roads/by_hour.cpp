#include "geocore/roads/by_hour.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

namespace nestround::roads {
namespace {

constexpr int kDayMin = 24 * 60;

std::string_view trimmed(std::string_view text)
{
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) {
        return {};
    }
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// Cuts off the text before the first `mark`, which is dropped.
std::string_view take_until(std::string_view& text, char mark)
{
    const auto end = std::min(text.find(mark), text.size());
    const auto part = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    return trimmed(part);
}

std::optional<unsigned> weekday_of(std::string_view word)
{
    constexpr std::array<std::string_view, 7> kDays{"Mo", "Tu", "We", "Th", "Fr", "Sa", "Su"};
    const auto at = std::find(kDays.begin(), kDays.end(), word);
    return at == kDays.end() ? std::nullopt
                             : std::optional{static_cast<unsigned>(at - kDays.begin())};
}

/// "07:30" to "24:00", and beyond, as 26:00 for two in the night.
std::optional<int> clock_of(std::string_view text)
{
    const auto colon = text.find(':');
    if (colon == std::string_view::npos || colon == 0 || colon > 2 || text.size() != colon + 3) {
        return std::nullopt;
    }
    int hour = 0;
    int minute = 0;
    const auto a = std::from_chars(text.data(), text.data() + colon, hour);
    const auto b = std::from_chars(text.data() + colon + 1, text.data() + text.size(), minute);
    const bool good = a.ec == std::errc{} && a.ptr == text.data() + colon && b.ec == std::errc{} &&
                      b.ptr == text.data() + text.size() && hour <= 48 && hour >= 0 &&
                      minute >= 0 && minute < 60;
    return good ? std::optional{hour * 60 + minute} : std::nullopt;
}

struct Span {
    int from = 0;
    int to = kDayMin;
};

std::optional<std::vector<Span>> spans_of(std::string_view text)
{
    std::vector<Span> spans;
    while (!text.empty()) {
        auto part = take_until(text, ',');
        const auto from = clock_of(take_until(part, '-'));
        const auto to = clock_of(part);
        if (!from || !to || *from >= kDayMin) {
            return std::nullopt;
        }
        spans.push_back({*from, *to <= *from ? *to + kDayMin : *to});
    }
    return spans;
}

/// Which minutes of the hours are taken, over the rules of opening hours.
class Covered {
public:
    explicit Covered(const DrivingHours& hours)
        : hours_{hours},
          minutes_(static_cast<std::size_t>(std::max(1, hours.to_min - hours.from_min)), 0)
    {
    }

    void take(std::uint8_t days, const Span& span)
    {
        // From the day before, for what runs past midnight, on to the last day driven.
        for (int day = -2; day * kDayMin < hours_.from_min + static_cast<int>(minutes_.size());
             ++day) {
            const auto weekday = (hours_.weekday + static_cast<unsigned>(day + 14)) % 7;
            if ((days >> weekday & 1U) == 0) {
                continue;
            }
            const int begin = std::max(0, day * kDayMin + span.from - hours_.from_min);
            const int end = std::min(static_cast<int>(minutes_.size()),
                                     day * kDayMin + span.to - hours_.from_min);
            for (int m = begin; m < end; ++m) {
                minutes_[static_cast<std::size_t>(m)] = 1;
            }
        }
    }

    [[nodiscard]] Holds result() const
    {
        const auto taken = std::count(minutes_.begin(), minutes_.end(), 1);
        return taken == 0                                              ? Holds::Never
               : taken == static_cast<std::ptrdiff_t>(minutes_.size()) ? Holds::Throughout
                                                                       : Holds::Partly;
    }

private:
    DrivingHours hours_;
    std::vector<char> minutes_;
};

Holds within_opening_hours(std::string_view text, const DrivingHours& hours)
{
    Covered covered{hours};
    constexpr std::uint8_t kEveryDay = 0x7f;
    if (text.empty()) {
        return Holds::NotUnderstood;
    }
    while (!text.empty()) {
        const auto rule = take_until(text, ';');
        if (rule.empty()) {
            continue;
        }
        if (rule == "24/7") {
            covered.take(kEveryDay, {});
            continue;
        }
        const auto digit = std::min(rule.find_first_of("0123456789"), rule.size());
        const auto days = parse_weekdays(trimmed(rule.substr(0, digit)));
        const auto spans = spans_of(trimmed(rule.substr(digit)));
        if (!days || !spans) {
            return Holds::NotUnderstood;
        }
        if (spans->empty()) {
            covered.take(*days, {});
        }
        for (const auto& span : *spans) {
            covered.take(*days, span);
        }
    }
    return covered.result();
}

/// Of `weight>7.5`: nothing when it is no comparison at all.
std::optional<Holds> compares(std::string_view text, const Truck& truck)
{
    const auto sign = text.find_first_of("<>=");
    if (sign == std::string_view::npos) {
        return std::nullopt;
    }
    const auto key = trimmed(text.substr(0, sign));
    const bool with_equal = sign + 1 < text.size() && text[sign + 1] == '=';
    const auto number = trimmed(text.substr(sign + (with_equal ? 2 : 1)));
    const bool is_weight = key == "weight" || key == "axleload";
    const auto limit = is_weight ? parse_weight_limit(number) : parse_length_limit(number);
    std::optional<double> own;
    if (key == "weight") {
        own = truck.weight_t.value_or(3.5);
    } else if (key == "axleload") {
        own = truck.axle_t.value_or(0);
    } else if (key == "height") {
        own = truck.height_m.value_or(0);
    } else if (key == "width") {
        own = truck.width_m.value_or(0);
    }
    if (!limit || !own || text[sign] == '=') {
        return Holds::NotUnderstood;
    }
    const double mine = *own * 1000;
    const double theirs = *limit;
    const bool true_now =
        (with_equal && mine == theirs) || (text[sign] == '>' ? mine > theirs : mine < theirs);
    return true_now ? Holds::Throughout : Holds::Never;
}

}  // namespace

std::optional<std::uint8_t> parse_weekdays(std::string_view text)
{
    if (trimmed(text).empty()) {
        return std::uint8_t{0x7f};
    }
    unsigned days = 0;
    while (!text.empty()) {
        auto part = take_until(text, ',');
        const auto first = weekday_of(take_until(part, '-'));
        const auto last = part.empty() ? first : weekday_of(part);
        if (!first || !last) {
            return std::nullopt;
        }
        for (auto d = *first;; d = (d + 1) % 7) {
            days |= 1U << d;
            if (d == *last) {
                break;
            }
        }
    }
    return static_cast<std::uint8_t>(days);
}

Holds holds(std::string_view condition, const DrivingHours& hours, const Truck& truck)
{
    if (trimmed(condition).empty()) {
        return Holds::NotUnderstood;
    }
    auto all = Holds::Throughout;
    while (!condition.empty()) {
        const auto lower = condition.find(" and ");
        const auto end = std::min({condition.find(" AND "), lower, condition.size()});
        const auto part = trimmed(condition.substr(0, end));
        condition.remove_prefix(std::min(end + 5, condition.size()));
        const auto compared = compares(part, truck);
        const auto one = compared ? *compared : within_opening_hours(part, hours);
        if (one == Holds::NotUnderstood) {
            return one;
        }
        all = std::min(all, one);
    }
    return all;
}

std::vector<Conditional> conditionals(std::string_view text)
{
    std::vector<Conditional> list;
    while (!text.empty()) {
        int depth = 0;
        std::size_t end = 0;
        for (; end < text.size() && (text[end] != ';' || depth > 0); ++end) {
            depth += text[end] == '(' ? 1 : text[end] == ')' ? -1 : 0;
        }
        auto statement = trimmed(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
        if (statement.empty()) {
            continue;
        }
        const auto value = take_until(statement, '@');
        auto condition = trimmed(statement);
        if (condition.size() > 1 && condition.front() == '(' && condition.back() == ')') {
            condition = trimmed(condition.substr(1, condition.size() - 2));
        }
        list.push_back({value, condition});
    }
    return list;
}

}  // namespace nestround::roads
