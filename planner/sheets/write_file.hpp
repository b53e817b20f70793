/// \file write_file.hpp
/// \brief Bytes into a file, whole or not at all.
///
/// Purpose:  a reader never meets half a sheet, and a full disk leaves the former file as it was.
/// Units:    bytes.
/// Range:    the folder must exist; a symbolic link is followed and its target replaced.
/// Promise:  written beside the target, synced, then renamed over it.
/// Errors:   throws Failure (OutputFailed) that names the file and what the system said; the
///           unfinished file is removed.
/// Source:   own; rename() of POSIX.1-2017.
#pragma once

#include <functional>
#include <string>
#include <string_view>

namespace nestround::sheets {

void write_file(const std::string& path, std::string_view bytes);

/// The same for what is too large to be held in memory: `make` makes the file of the name it is
/// given, in a folder beside `path` that nobody else may look into and that is gone afterwards.
/// The name ends as `path` does. What `make` throws is passed on.
void make_file(const std::string& path, const std::function<void(const std::string&)>& make);

}  // namespace nestround::sheets
