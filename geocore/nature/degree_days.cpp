#include "geocore/nature/degree_days.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace nestround::nature {

namespace {

template <class Value>
using Names = std::pair<Value, std::string_view>;

constexpr std::array<Names<DegreeDayMethod>, 6> kMethods{{
    {DegreeDayMethod::Average, "average"},
    {DegreeDayMethod::ClippedAverage, "clipped-average"},
    {DegreeDayMethod::SingleTriangle, "single-triangle"},
    {DegreeDayMethod::DoubleTriangle, "double-triangle"},
    {DegreeDayMethod::SingleSine, "single-sine"},
    {DegreeDayMethod::DoubleSine, "double-sine"},
}};
constexpr std::array<Names<Cutoff>, 3> kCutoffs{{
    {Cutoff::Horizontal, "horizontal"},
    {Cutoff::Intermediate, "intermediate"},
    {Cutoff::Vertical, "vertical"},
}};

template <class List>
std::string_view name_in(const List& list, decltype(list[0].first) value)
{
    return std::find_if(list.begin(), list.end(),
                        [&](const auto& one) { return one.first == value; })
        ->second;
}

/// What lies above a threshold: the area in degree-days and the share of the day.
struct Above {
    double area = 0;
    double share = 0;
};

enum class Shape { Mean, Ends, Triangle, Sine };

/// `low` <= `high`.
Above above(Shape shape, double low, double high, double threshold)
{
    const double middle = (low + high) / 2;
    if (shape == Shape::Mean) {
        return {std::max(0.0, middle - threshold), middle > threshold ? 1.0 : 0.0};
    }
    if (high <= threshold) {
        return {};
    }
    if (low >= threshold) {
        return {middle - threshold, 1};
    }
    // From here the threshold lies between the two, so that they differ.
    switch (shape) {
        case Shape::Ends:
            return {(high - threshold) / 2, 0.5};
        case Shape::Triangle: {
            const double share = (high - threshold) / (high - low);
            return {share * (high - threshold) / 2, share};
        }
        default: {
            const double swing = (high - low) / 2;
            const double angle = std::asin(std::clamp((threshold - middle) / swing, -1.0, 1.0));
            const double rest = std::numbers::pi / 2 - angle;
            return {((middle - threshold) * rest + swing * std::cos(angle)) / std::numbers::pi,
                    rest / std::numbers::pi};
        }
    }
}

/// What a day has above the two thresholds.
struct Warmth {
    Above lower;
    Above upper;
};

Warmth warmth(const DegreeDayRule& rule, Shape shape, double a, double b)
{
    const double low = std::min(a, b);
    const double high = std::max(a, b);
    return {above(shape, low, high, rule.lower.value()),
            rule.upper ? above(shape, low, high, rule.upper->value()) : Above{}};
}

Above mean(Above a, Above b) { return {(a.area + b.area) / 2, (a.share + b.share) / 2}; }

double cut_off(const DegreeDayRule& rule, const Warmth& day)
{
    const double warm = day.lower.area;
    if (!rule.upper) {
        return warm;
    }
    const double hot = day.upper.area;
    if (rule.cutoff == Cutoff::Horizontal) {
        return std::max(0.0, warm - hot);
    }
    const double width = (*rule.upper - rule.lower).value();
    const double vertical = std::max(0.0, warm - hot - width * day.upper.share);
    if (rule.cutoff == Cutoff::Vertical) {
        return vertical;
    }
    // Heat above the upper threshold takes away at most what its own hours gave.
    return std::max(warm - 2 * hot, vertical);
}

Shape shape_of(DegreeDayMethod method)
{
    switch (method) {
        case DegreeDayMethod::Average:
            return Shape::Mean;
        case DegreeDayMethod::ClippedAverage:
            return Shape::Ends;
        case DegreeDayMethod::SingleTriangle:
        case DegreeDayMethod::DoubleTriangle:
            return Shape::Triangle;
        default:
            return Shape::Sine;
    }
}

}  // namespace

std::string_view text(DegreeDayMethod method) { return name_in(kMethods, method); }
std::string_view text(Cutoff cutoff) { return name_in(kCutoffs, cutoff); }

std::optional<DegreeDayMethod> degree_day_method(std::string_view text)
{
    for (const auto& [value, name] : kMethods) {
        if (name == text) {
            return value;
        }
    }
    return std::nullopt;
}

std::optional<Cutoff> cutoff(std::string_view text)
{
    for (const auto& [value, name] : kCutoffs) {
        if (name == text) {
            return value;
        }
    }
    return std::nullopt;
}

Result<DegreeDayRule> checked(const DegreeDayRule& rule)
{
    if (!std::isfinite(rule.lower.value()) || (rule.upper && !std::isfinite(rule.upper->value()))) {
        return fail(ErrorCode::InvalidInput, "a threshold is no number; give degrees");
    }
    if (rule.upper && *rule.upper < rule.lower) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("the upper threshold, {:.6g} C, is below the lower, {:.6g} C; swap "
                                "them",
                                rule.upper->value(), rule.lower.value()));
    }
    return rule;
}

DegreeDays degree_days(const DegreeDayRule& rule, DayRange day, std::optional<Celsius> next_minimum)
{
    const Shape shape = shape_of(rule.method);
    const double high = day.maximum.value();
    Warmth whole = warmth(rule, shape, day.minimum.value(), high);
    const bool two_halves = rule.method == DegreeDayMethod::DoubleTriangle ||
                            rule.method == DegreeDayMethod::DoubleSine;
    if (two_halves && next_minimum) {
        // The cutoff is judged on the whole day: the published tables do so too.
        const Warmth other = warmth(rule, shape, next_minimum->value(), high);
        whole = {mean(whole.lower, other.lower), mean(whole.upper, other.upper)};
    }
    return DegreeDays{cut_off(rule, whole)};
}

std::vector<DegreeDays> degree_days(const DegreeDayRule& rule, std::span<const DayRange> days)
{
    std::vector<DegreeDays> out;
    out.reserve(days.size());
    for (std::size_t i = 0; i < days.size(); ++i) {
        out.push_back(
            degree_days(rule, days[i],
                        i + 1 < days.size() ? std::optional{days[i + 1].minimum} : std::nullopt));
    }
    return out;
}

double share_above(DayRange day, Celsius threshold)
{
    const double low = std::min(day.minimum.value(), day.maximum.value());
    const double high = std::max(day.minimum.value(), day.maximum.value());
    return above(Shape::Sine, low, high, threshold.value()).share;
}

}  // namespace nestround::nature
