/// \file settings_file.hpp
/// \brief Settings as a TOML file that a person edits.
///
/// Purpose:  the file's tables become dotted names with text values; the book keeps these.
/// Units:    the name's last part has them: access.hand_reach_m.
/// Range:    text, numbers, yes/no, dates and times; lists of these become "a;b;c". Tables in lists
///           are refused.
/// Accuracy: a map written and read again is the same map.
/// Errors:   Failure naming file and line.
/// Source:   TOML 1.0.0.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <string_view>

#include "geocore/base/error.hpp"

namespace nestround::intake {

using Settings = std::map<std::string, std::string>;

[[nodiscard]] Settings read_settings(const std::filesystem::path& file);
/// `name` is named in messages.
[[nodiscard]] Result<Settings> parse_settings(std::string_view toml,
                                              std::string_view name = "settings");
/// The same as text, one table for each first part of the names.
[[nodiscard]] std::string settings_toml(const Settings& settings);

}  // namespace nestround::intake
