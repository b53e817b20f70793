/// \file chain.hpp
/// \brief The chain of hashes over the records of sealed lots. Private.
///
/// Purpose:  what was written down about a sealed lot cannot be altered, put in, taken out or put
///           in another order without a link that no longer fits. Whoever holds the hash of a link
///           (it is printed on each certificate) can tell that nothing before it was altered.
/// Units:    none.
/// Range:    seals, corrections, moves, shipments and excursions.
/// Promise:  a link is made in the transaction of its record. Nothing here reads the clock.
/// Errors:   Failure as Connection's; InvalidInput when the clock runs behind the last link.
/// Source:   own; the text that is hashed is laid down in docs/reference/lots.md. SHA-256: FIPS
///           PUB 180-4.
#pragma once

#include <string>
#include <vector>

#include "geocore/book/connection.hpp"
#include "geocore/records/freezer.hpp"

namespace nestround::book {

inline constexpr int kChainSchema = 4;

/// The record of a row as it stands now; empty when there is no such row.
[[nodiscard]] std::string chain_record(Connection& connection, ChainKind kind,
                                       const std::string& row);
/// What is hashed for a link.
[[nodiscard]] std::string chain_text(const ChainLink& link);
[[nodiscard]] std::string hash_of(const ChainLink& link);
/// The last link, if there is one.
[[nodiscard]] std::optional<ChainLink> chain_head(Connection& connection);
/// Columns number, at, kind, row_id, record, previous, hash.
[[nodiscard]] ChainLink read_link(Query& query);

/// Adds the link of a row. A clock that runs behind the last link is refused unless confirmed; what
/// was confirmed is said in the link.
/// `from` is the hash of the link that the record has in another book, which was taken in.
void add_link(Connection& connection, ChainKind kind, const std::string& row, Instant now,
              bool clock_is_right, std::string_view from = {});
/// Links for what was sealed before there was a chain, in the order in which it was written.
void chain_what_was_sealed(Connection& connection);

/// What is left of a link's record without what this program wrote above it.
[[nodiscard]] std::string_view bare_record(std::string_view record);
/// The number of the link with this hash, or of the link that took the one with this hash in from
/// another book; 0 when there is neither.
[[nodiscard]] int number_of_hash(Connection& connection, std::string_view hash);

/// Where the chain no longer holds.
struct BrokenLink {
    int number = 0;   ///< 0 when a record has no link
    std::string row;  ///< "lot K7F4-TQ7", "move of lot ..."
    std::string words;
};
/// All faults, the first broken link first.
[[nodiscard]] std::vector<BrokenLink> broken_links(Connection& connection);

}  // namespace nestround::book
