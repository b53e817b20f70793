/// \file merge_books.hpp
/// \brief Two books made one, as lines to read and as JSON.
///
/// Purpose:  `nestround book merge`, `book conflicts` and `book decide`.
/// Units:    instants in UTC.
/// Range:    as geocore/book/merge.hpp.
/// Promise:  as there: the second book is never written.
/// Errors:   as there.
/// Source:   own.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "geocore/book/merge.hpp"

namespace nestround::app {

/// What a merge did: tables, conflicts with both values, what a person should know.
[[nodiscard]] std::vector<std::string> merge_lines(const book::MergeReport& report,
                                                   const std::string& ours,
                                                   const std::string& theirs, bool look_only);
[[nodiscard]] nlohmann::ordered_json merge_json(const book::MergeReport& report);

/// A conflict in three lines: the row and field, then the two values, the standing one marked.
[[nodiscard]] std::vector<std::string> conflict_lines(const book::MergeConflict& conflict);
[[nodiscard]] nlohmann::ordered_json conflict_json(const book::MergeConflict& conflict);

/// A value as a person reads it: "12.5", "side gate", "empty", "47.101000 N, 9.510000 E".
[[nodiscard]] std::string plain_value(const std::string& literal);

}  // namespace nestround::app
