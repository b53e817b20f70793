/// \file partners.hpp
/// \brief Use case: what partners sent: taken in, compared with our nests, decided on.
///
/// Purpose:  `nestround partner import | list | matches | accept | refuse | reopen`.
/// Units:    as the records.
/// Range:    a file that was read before changes nothing; a newer one writes only rows that nobody
///           has decided on.
/// Accuracy: as planner/partners/likeness.hpp.
/// Errors:   Failure; the book is then as it was. NotFound or InvalidInput for a key that names no
///           row, or several.
/// Source:   own.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/intake/partner_layer.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "planner/partners/likeness.hpp"

namespace nestround::app {

struct PartnerTally {
    std::optional<PartnerImport> before;  ///< the same file was read then, and nothing was done
    std::size_t added = 0;
    std::size_t changed = 0;
    std::size_t same = 0;
    std::vector<std::string> differ;  ///< decided rows that now read otherwise: "row 7 (3fa2c1)"
    std::size_t missing = 0;          ///< rows of an earlier file of this layer, not in this one
    std::size_t without_key = 0;
    std::vector<intake::RefusedRow> refused;
    std::vector<std::string> notes;
};

/// `how`: whatever was typed that reads the same file otherwise.
[[nodiscard]] PartnerTally import_partner(book::Book& book, intake::PartnerBatch batch,
                                          const std::string& partner, const std::string& how,
                                          Day on, Instant now, const nature::TaxaTable& table);

struct PartnerMatch {
    PartnerNest sent;
    std::string partner;
    NestId nest;
    std::string nest_key;  ///< as a person may type it
    std::string label;     ///< how the crew names the place; private
    partners::Evidence evidence;
    double chance = 0;       ///< with each nest in one pair of a partner at most
    std::size_t rivals = 0;  ///< other nests of ours that it may be
};

/// A row that stands for several nests.
struct PartnerCount {
    PartnerNest sent;
    std::string partner;
    int ours = 0;  ///< of ours in its square, of its wasp and season
};

struct PartnerMatches {
    std::vector<PartnerMatch> likely;  ///< best first
    std::vector<PartnerCount> counts;
    std::size_t open = 0;                 ///< rows of single nests without a decision
    std::size_t below = 0;                ///< of these, paired with less chance than asked for
    std::size_t unpaired = 0;             ///< of these, with no nest of ours
    std::map<std::string, double> known;  ///< share of each partner's that we know, as learned
};

/// Pairs of open rows and nests, each nest once a partner; `partner` empty: of all.
[[nodiscard]] PartnerMatches partner_matches(const book::Book& book, const std::string& partner,
                                             double least, const nature::TaxaTable& table);

/// A row by its key, the last four or more characters of it, or the sender's own key.
[[nodiscard]] PartnerNest find_partner_nest(const book::Book& book, std::string_view key);
/// A nest by its key or its call's.
[[nodiscard]] NestId find_nest(const book::Book& book, std::string_view key);

/// Writes a decision; `nest` with the decision Same alone. RuleBroken when another row of the same
/// partner is that nest already, or when the row stands for several nests.
PartnerNest decide(book::Book& book, PartnerNest row, PartnerDecision decision,
                   std::optional<NestId> nest, const std::string& who, Instant now);

}  // namespace nestround::app
