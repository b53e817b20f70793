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

#include <string>
#include <string_view>

namespace nestround::sheets {

void write_file(const std::string& path, std::string_view bytes);

}  // namespace nestround::sheets
