/// \file settings_reader.hpp
/// \brief Reads a book's settings by name, each as the type of the value it fills. Private.
///
/// Purpose:  one way to read a number, a span, a switch or a word, with one way to refuse.
/// Units:    a name's last part has them.
/// Range:    a setting that is absent leaves the value as it is.
/// Accuracy: as entered.
/// Errors:   Failure{InvalidInput} naming the setting.
/// Source:   own.
#pragma once

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "geocore/base/calendar.hpp"
#include "geocore/base/error.hpp"

namespace nestround::app {

using Settings = std::map<std::string, std::string>;

[[noreturn]] inline void refuse(const std::string& name, const std::string& value,
                                std::string_view wanted)
{
    throw Failure{ErrorCode::InvalidInput,
                  fmt::format("'{}' is not {}; mend it with: nestround settings set BOOK {} VALUE",
                              value, wanted, name),
                  "setting " + name};
}

/// Looks settings up by name and reads each as the type of the value it fills.
class Reader {
public:
    explicit Reader(const Settings& settings) : settings_{settings} {}

    void text(const std::string& name, std::string& value) const
    {
        if (const auto* found = find(name)) {
            value = *found;
        }
    }
    /// A number from `low` up.
    void number(const std::string& name, double& value, double low = 0) const
    {
        if (const auto* found = find(name)) {
            value = parse(name, *found, low);
        }
    }
    template <class Whole>
    void whole(const std::string& name, Whole& value) const
    {
        if (const auto* found = find(name)) {
            const double number = parse(name, *found, 0);
            if (number != std::floor(number) || number > 1e9) {
                refuse(name, *found, "a whole number from 0 up");
            }
            value = static_cast<Whole>(number);
        }
    }
    void minutes(const std::string& name, seconds& value) const
    {
        if (const auto* found = find(name)) {
            value = seconds{std::llround(parse(name, *found, 0) * 60)};
        }
    }
    template <class Value, class Parse>
    void parsed(const std::string& name, std::optional<Value>& value, Parse parse_text,
                const char* wanted) const
    {
        if (const auto* found = find(name)) {
            const auto result = parse_text(*found);
            if (!result) {
                refuse(name, *found, wanted);
            }
            value = *result;
        }
    }
    void on_off(const std::string& name, bool& value) const
    {
        if (const auto* found = find(name)) {
            if (*found != "on" && *found != "off" && *found != "true" && *found != "false") {
                refuse(name, *found, "'on' or 'off'");
            }
            value = *found == "on" || *found == "true";
        }
    }
    /// One of some words.
    template <class Value>
    void word(const std::string& name, Value& value,
              std::initializer_list<std::pair<const char*, Value>> words) const
    {
        const auto* found = find(name);
        if (found == nullptr) {
            return;
        }
        std::string wanted;
        for (const auto& [word, meaning] : words) {
            if (*found == word) {
                value = meaning;
                return;
            }
            wanted += (wanted.empty() ? "'" : ", '") + std::string{word} + "'";
        }
        refuse(name, *found, ("one of " + wanted).c_str());
    }
    [[nodiscard]] const std::string* find(const std::string& name) const
    {
        const auto at = settings_.find(name);
        return at == settings_.end() ? nullptr : &at->second;
    }
    [[nodiscard]] const Settings& all() const { return settings_; }

    [[nodiscard]] static double parse(const std::string& name, const std::string& text, double low)
    {
        double value = 0;
        const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (code != std::errc{} || end != text.data() + text.size() || !(value >= low) ||
            !std::isfinite(value)) {
            refuse(name, text, fmt::format("a number from {} up", low));
        }
        return value;
    }

private:
    const Settings& settings_;
};

}  // namespace nestround::app
