/// \file tour_fields.hpp
/// \brief One value of a tour problem's JSON, with the way to it for messages.
///
/// Purpose:  reads texts, numbers and lists, and refuses what is none by the name of the field.
/// Units:    numbers as whole ones of a last decimal.
/// Range:    numbers below 9e15 of the last decimal.
/// Accuracy: a number with more decimals than asked for is refused, never rounded.
/// Errors:   Failure: InvalidInput naming the source, the field and the way out.
/// Source:   own.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace nestround::app {

[[nodiscard]] std::int64_t power_of_ten(int exponent);

class TourField {
public:
    /// Keeps references to both `value` and `source`.
    TourField(const nlohmann::json& value, std::string path, const std::string& source);

    [[noreturn]] void refuse(const std::string& message) const;

    [[nodiscard]] std::optional<TourField> find(const char* key) const;
    [[nodiscard]] TourField need(const char* key) const;
    /// Refuses members of other names.
    void only(std::initializer_list<const char*> keys) const;
    [[nodiscard]] bool is_list() const;
    [[nodiscard]] std::vector<TourField> list() const;
    [[nodiscard]] std::vector<std::pair<std::string, TourField>> members() const;
    [[nodiscard]] std::string text() const;
    [[nodiscard]] bool truth() const;
    [[nodiscard]] bool is_hole() const;
    [[nodiscard]] double number() const;
    /// A whole number of 10^-decimals.
    [[nodiscard]] std::int64_t scaled(int decimals) const;
    [[nodiscard]] std::int64_t whole(std::int64_t low, std::int64_t high) const;

private:
    const nlohmann::json& value_;
    std::string path_;
    const std::string& source_;
};

}  // namespace nestround::app
