/// \file write_settings.hpp
/// \brief Use case: settings into the book, all or none.
///
/// Purpose:  a setting that cannot be read is refused before anything is written.
/// Units:    as preferences.hpp.
/// Range:    an empty value removes the setting.
/// Accuracy: not applicable.
/// Errors:   Failure naming the setting; the book is then as it was.
/// Source:   own.
#pragma once

#include <map>
#include <string>

#include "geocore/book/book.hpp"

namespace nestround::app {

void write_settings(book::Book& book, const std::map<std::string, std::string>& changes,
                    Instant now);

}  // namespace nestround::app
