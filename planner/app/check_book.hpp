/// \file check_book.hpp
/// \brief Whether a book keeps its rules, as lines to read.
///
/// Purpose:  `nestround book check`.
/// Units:    none.
/// Range:    as geocore/book/check.hpp.
/// Promise:  the book is not changed.
/// Errors:   Failure when the book cannot be opened; broken rules are lines.
/// Source:   own.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace nestround::app {

struct BookHealth {
    std::vector<std::string> broken;  ///< a line a broken rule: table, row, rule
    std::string summary;              ///< what was looked at
    std::string chain;                ///< of sealed lots; empty when there is none
};

/// With `link`, the hash that a certificate bears is looked for too.
[[nodiscard]] BookHealth check_book(const std::filesystem::path& path,
                                    const std::string& link = {});

}  // namespace nestround::app
