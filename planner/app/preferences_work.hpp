/// \file preferences_work.hpp
/// \brief The settings of work at the nest: limits of the day and ways of access. Private.
///
/// Purpose:  the names that begin with limits. and access.
/// Units:    a name's last part has them.
/// Range:    as each setting; docs/reference/settings.md.
/// Accuracy: as entered.
/// Errors:   Failure{InvalidInput} naming the setting.
/// Source:   own.
#pragma once

#include <map>
#include <string>

#include "planner/app/preferences.hpp"

namespace nestround::app {

[[nodiscard]] bool is_work_setting(const std::string& name);
void read_work(const std::map<std::string, std::string>& settings, Preferences& into);

}  // namespace nestround::app
