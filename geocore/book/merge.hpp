/// \file merge.hpp
/// \brief Two books made one: rows by key, nothing lost.
///
/// Purpose:  two crews work with copies of a book, or with books of their own, and bring them
///           together. What one of them changed is taken; what both changed is decided field by
///           field and listed, and both values stay in the book, so that a person can decide
///           otherwise later.
/// Units:    instants in UTC.
/// Range:    books of any schema up to this program's. Rows are the same when their UUIDs are, and
///           so are calls with one key of the caller's system and weather stations with one code,
///           with all that hangs on them. Settings and deeds belong to each book and stay.
/// Promise:  only `ours` is written, in one transaction; merging the same book again changes
///           nothing, not a byte. With the rule Newer two books that take each other in hold the
///           same rows afterwards. Chains of sealed lots go on in ours, and every hash of theirs is
///           still found.
/// Errors:   Failure as Book::open for either file; InvalidInput for a book merged with itself or
///           a clock behind the last sealed record; RuleBroken, with both books as they were, when
///           together they break a rule that no one broke alone: venom from a nest of which the
///           other book says that it had insecticide, a catch in two bags, two lots with one code.
/// Source:   own; docs/reference/merging.md.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/row_merge.hpp"

namespace nestround::book {

struct MergeSettings {
    MergeRule rule = MergeRule::Newer;  ///< for fields that both changed
    bool look_only = false;             ///< say what would happen, write nothing
    bool clock_is_right = false;        ///< as Change::clock_is_right
};

/// What happened to one table.
struct MergeTally {
    std::string table;
    std::size_t added = 0;
    std::size_t changed = 0;
    std::size_t removed = 0;  ///< the other book had removed it
};

/// A field that two books had changed.
struct MergeConflict {
    std::string id;   ///< UUID of the conflict; the same in both books
    std::string row;  ///< "call 7C01D2", "lot K7F4-TQ7"
    std::string table;
    std::string row_id;
    std::string field;   ///< empty when it is of the row as a whole, which cannot be decided again
    std::string first;   ///< as SQL writes values; private
    std::string second;  ///< private
    std::string first_at;
    std::string second_at;
    std::string stands;   ///< first, second, neither
    std::string grounds;  ///< newer, rule, says more, sealed, hand
};

struct MergeReport {
    std::vector<MergeTally> tables;        ///< those with something to tell
    std::vector<MergeConflict> conflicts;  ///< new ones
    std::vector<std::string> notes;        ///< for a person, in words
    std::vector<std::string> settings;     ///< keys that differ; each book keeps its own
    std::size_t links = 0;                 ///< sealed records that joined our chain
    bool changed_anything = false;
};

[[nodiscard]] MergeReport merge_books(const std::filesystem::path& ours,
                                      const std::filesystem::path& theirs, Instant now,
                                      const MergeSettings& settings);

/// All conflicts of a book, or those that nobody has decided by hand, in the order of their rows.
[[nodiscard]] std::vector<MergeConflict> merge_conflicts(const std::filesystem::path& path,
                                                         bool all);

enum class Choice { First, Second };

/// Lets the other value stand, or confirms the one that stands; gives the conflict as it is then.
/// `key` is the id or at least the last four characters of it. NotFound or InvalidInput when it
/// names none or several; RuleBroken when the field was changed since, or the book's rules refuse.
MergeConflict decide_conflict(const std::filesystem::path& path, const std::string& key,
                              Choice choice, const std::string& who, Instant now);

}  // namespace nestround::book
