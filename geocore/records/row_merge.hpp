/// \file row_merge.hpp
/// \brief Two versions of one row, from two books, made one.
///
/// Purpose:  two crews change copies of a book; whatever only one of them changed is taken, and
///           what both changed is decided by a rule and named, so that nothing is lost unseen.
/// Units:    none; values are compared as the book holds them, instants as its text in UTC.
/// Range:    any row. Past versions may lack columns that came later; those are not compared.
/// Promise:  pure. With the rule Newer the outcome does not depend on which book is ours, so that
///           two books that take each other in come to the same rows; only a row that was closed in
///           both, each in its own way, stays as each has it.
/// Errors:   values_of gives InvalidInput for text that holds no row.
/// Source:   own; three-way comparison with the last common version, field by field.
#pragma once

#include <compare>
#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "geocore/base/error.hpp"

namespace nestround {

struct Blob {
    std::string bytes;

    friend auto operator<=>(const Blob&, const Blob&) = default;
};
/// What a field may hold: nothing, a whole number, a number, text or bytes.
using FieldValue = std::variant<std::monostate, std::int64_t, double, std::string, Blob>;
using FieldValues = std::map<std::string, FieldValue, std::less<>>;

struct RowVersion {
    std::string changed_at;  ///< instant in UTC as the book writes it
    FieldValues cells;

    friend bool operator==(const RowVersion&, const RowVersion&) = default;
};

enum class MergeRule {
    Newer,  ///< of the row that was changed later
    Ours,
    Theirs
};

struct RowCase {
    RowVersion ours;
    RowVersion theirs;
    std::span<const RowVersion> our_past;    ///< versions that ours came from or was set above
    std::span<const RowVersion> their_past;  ///< the same of theirs
    /// Up to this instant both books were one; empty when that is not known, or when the two rows
    /// were made apart (they have a key of the trade in common, not the key of the row).
    std::string shared_until;
    /// A column that, once filled, closes the row for good (the seal of a lot); may be empty.
    std::string_view closing;
    /// Columns of ours that may not change, because something sealed here rests on them.
    std::span<const std::string> fixed;
    MergeRule rule = MergeRule::Newer;
};

/// Why a value stands.
enum class Grounds {
    Newer,   ///< its row was changed later
    Rule,    ///< ours or theirs was asked for
    Says,    ///< the other says nothing: empty, unknown, waiting, open, or no to a caution
    Sealed,  ///< something sealed rests on it
};

struct FieldConflict {
    std::string column;
    bool theirs_stands = false;
    Grounds grounds = Grounds::Newer;
};

struct RowMerge {
    enum class Outcome {
        Same,    ///< nothing to do
        Ours,    ///< our row stands as it is
        Theirs,  ///< their row stands as it is
        Mixed    ///< `cells` hold something of both
    };
    Outcome outcome = Outcome::Same;
    FieldValues cells;                     ///< of the row that stands
    std::vector<FieldConflict> conflicts;  ///< by column
};

[[nodiscard]] RowMerge merge_versions(const RowCase& row);

/// Whether all columns that both know are equal.
[[nodiscard]] bool same_content(const FieldValues& a, const FieldValues& b);
/// Whether one of the versions is this one, written at the same instant.
[[nodiscard]] bool holds(std::span<const RowVersion> versions, const RowVersion& version);
/// Which of two versions was written later; of two at one instant always the same one.
[[nodiscard]] bool is_later(const RowVersion& a, const RowVersion& b);

/// A value as SQLite's quote() writes it: NULL, 12, 1.5, 'text', X'00FF'.
[[nodiscard]] std::string literal(const FieldValue& cell);
[[nodiscard]] Result<FieldValue> field_value_of(std::string_view literal);
/// "name literal name literal ...", as the book keeps a past version.
[[nodiscard]] Result<FieldValues> values_of(std::string_view text);

[[nodiscard]] std::string_view text(Grounds grounds);

}  // namespace nestround
