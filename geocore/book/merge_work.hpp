/// \file merge_work.hpp
/// \brief The parts of a merge, in the order in which they run. Private.
///
/// Purpose:  merge.cpp holds the transaction; merge_rows.cpp brings the rows together, and
///           merge_sealed.cpp what is sealed; merge_aliases.cpp finds rows with two keys, and
///           merge_past.cpp sees to readings, removals and past versions.
/// Units:    none.
/// Range:    the other book is attached as "theirs", with today's schema. Triggers are off
/// meanwhile:
///           our rules are asked at the end, and past versions are kept here.
/// Promise:  writes to "main" and "temp" only.
/// Errors:   Failure as merge.hpp.
/// Source:   own.
#pragma once

#include <map>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "geocore/book/connection.hpp"
#include "geocore/book/merge.hpp"
#include "geocore/book/schema.hpp"

namespace nestround::book {

/// What all parts of a merge share.
struct MergeWork {
    Connection& connection;
    std::string now;
    MergeSettings settings;
    MergeReport report;
    std::map<std::string, MergeTally, std::less<>> tallies;
    std::set<std::string> touched;  ///< tables that were written to

    MergeTally& tally(const std::string& table);
    /// Runs a statement that writes to `table` and counts its rows.
    std::size_t count(const std::string& table, Query&& query);
};

/// "x.a, x.b", and whether any of them differs between "m" and "x".
[[nodiscard]] std::string list_of(std::span<const std::string> columns, std::string_view row);
[[nodiscard]] std::string any_differs(std::span<const std::string> columns);
/// Columns of a table that refer to rows of others.
[[nodiscard]] std::vector<Relation> references_of(std::string_view table);

/// Says which of their rows are ours under another key (temp.merge_alias), and shows their tables
/// with our keys in their place (temp views theirs_TABLE).
void find_aliases(MergeWork& work);
/// Shows one of their tables so.
void make_view(Connection& connection, const std::string& table, bool has_key);
/// All tables with a UUID, then readings by station and time.
void merge_rows(MergeWork& work);
/// Of two readings of one instant the one that was written later stands.
void merge_readings(MergeWork& work);
/// Rows that the other book removed, and that nothing here rests on.
void take_removals(MergeWork& work);
/// Keeps what their rows said before as the past of ours.
void take_history(MergeWork& work);

/// Notes which lots are sealed on which side (temp.merge_sealed); before the rows are merged.
void note_sealed_lots(MergeWork& work);
/// Columns that a sealed lot rests on, and on which side it was sealed.
struct Fixed {
    std::vector<std::string> columns;
    bool as_theirs = false;
};
[[nodiscard]] Fixed fixed_columns(MergeWork& work, const std::string& table, const std::string& id,
                                  const std::string& their_id,
                                  std::span<const std::string> columns);
/// Parts of lots that were closed without them: listed and left out, or taken out.
void settle_lot_parts(MergeWork& work);
/// Which lots left with which shipment, and which were warm in which excursion.
void merge_lot_lists(MergeWork& work);
/// Throws when together the books break a rule about lots.
void refuse_clashing_lots(MergeWork& work);
/// Adds their sealed records to our chain and keeps their links.
void merge_chains(MergeWork& work);

/// Deletes the rows of ours that a condition on "m" names, and keeps them as past; how many.
std::size_t remove_where(MergeWork& work, const std::string& table, const std::string& condition);

/// "call 7C01D2"; the code of a lot and the name of a crew.
[[nodiscard]] std::string row_words(Connection& connection, const std::string& table,
                                    const std::string& id);
/// Writes a conflict down unless it is there; lists it when it is new. Without a field the values
/// are words.
void note_conflict(MergeWork& work, const std::string& table, const std::string& id,
                   const std::string& field, const RowVersion& ours, const RowVersion& theirs,
                   bool theirs_stands, Grounds grounds);

}  // namespace nestround::book
