#include "planner/app/tour_fields.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"

namespace nestround::app {

std::int64_t power_of_ten(int exponent)
{
    std::int64_t value = 1;
    for (int i = 0; i < exponent; ++i) {
        value *= 10;
    }
    return value;
}

TourField::TourField(const nlohmann::json& value, std::string path, const std::string& source)
    : value_{value}, path_{std::move(path)}, source_{source}
{
}

void TourField::refuse(const std::string& message) const
{
    throw Failure{ErrorCode::InvalidInput, message,
                  path_.empty() ? source_ : source_ + ", " + path_};
}

std::optional<TourField> TourField::find(const char* key) const
{
    const auto at = value_.find(key);
    if (at == value_.end() || at->is_null()) {
        return std::nullopt;
    }
    return TourField{*at, path_.empty() ? key : path_ + "." + key, source_};
}

TourField TourField::need(const char* key) const
{
    auto field = find(key);
    if (!field) {
        refuse(fmt::format("'{}' is missing", key));
    }
    return *field;
}

void TourField::only(std::initializer_list<const char*> keys) const
{
    if (!value_.is_object()) {
        refuse("an object { } is needed here");
    }
    for (const auto& item : value_.items()) {
        if (std::none_of(keys.begin(), keys.end(),
                         [&](const char* key) { return item.key() == key; })) {
            refuse(
                fmt::format("'{}' is not known here; known are: {}", item.key(),
                            fmt::join(std::vector<std::string>(keys.begin(), keys.end()), ", ")));
        }
    }
}

bool TourField::is_list() const { return value_.is_array(); }

std::vector<TourField> TourField::list() const
{
    if (!value_.is_array()) {
        refuse("a list [ ] is needed here");
    }
    std::vector<TourField> result;
    for (std::size_t i = 0; i < value_.size(); ++i) {
        result.emplace_back(value_[i], fmt::format("{}[{}]", path_, i), source_);
    }
    return result;
}

std::vector<std::pair<std::string, TourField>> TourField::members() const
{
    if (!value_.is_object()) {
        refuse("an object { } is needed here");
    }
    std::vector<std::pair<std::string, TourField>> result;
    for (const auto& item : value_.items()) {
        result.emplace_back(item.key(), TourField{item.value(), path_ + "." + item.key(), source_});
    }
    return result;
}

std::string TourField::text() const
{
    if (!value_.is_string()) {
        refuse("a text \"...\" is needed here");
    }
    return value_.get<std::string>();
}

bool TourField::truth() const
{
    if (!value_.is_boolean()) {
        refuse("true or false is needed here");
    }
    return value_.get<bool>();
}

bool TourField::is_hole() const { return value_.is_null(); }

double TourField::number() const
{
    if (!value_.is_number()) {
        refuse("a number is needed here");
    }
    return value_.get<double>();
}

std::int64_t TourField::scaled(int decimals) const
{
    const double wanted = number() * static_cast<double>(power_of_ten(decimals));
    if (!(std::abs(wanted) < 9e15)) {
        refuse("this number is too large");
    }
    const double whole = std::round(wanted);
    if (std::abs(whole - wanted) > 1e-6 * std::max(1.0, std::abs(wanted) * 1e-6)) {
        refuse(
            fmt::format("{} has more than {} decimals; state more with 'decimals' or "
                        "'prize_decimals'",
                        number(), decimals));
    }
    return static_cast<std::int64_t>(whole);
}

std::int64_t TourField::whole(std::int64_t low, std::int64_t high) const
{
    const std::int64_t value = scaled(0);
    if (value < low || value > high) {
        refuse(fmt::format("{} lies outside {} to {}", value, low, high));
    }
    return value;
}

}  // namespace nestround::app
