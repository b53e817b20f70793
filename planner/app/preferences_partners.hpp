/// \file preferences_partners.hpp
/// \brief The settings of partners: how much of the nests each of them is given. Private.
///
/// Purpose:  the names that begin with partners.
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

void read_partners(const std::map<std::string, std::string>& settings, Preferences& into);

}  // namespace nestround::app
