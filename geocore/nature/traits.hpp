/// \file traits.hpp
/// \brief What can be seen of a nest and its wasps, and how often each kind of wasp shows it.
///
/// Purpose:  the questions, their answers and their shares, all read from rows of the taxa table,
///           so that a trait is added by rows and no trait is named in code but the site.
/// Units:    shares 0 to 1; measured traits have bins in the unit of their rows (m, cm, mm).
/// Range:    rows trait.nest.KEY, trait.wasp.KEY, their answers, "if" and bin rows of subject
///           "all"; rows of taxa and groups. Where none speaks, every answer is as likely.
/// Accuracy: most shares are memory or assumption and marked so.
/// Errors:   InvalidInput from check_traits naming file, line and column.
/// Source:   geocore/nature/taxa/naming.csv.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/nature/taxa_table.hpp"

namespace nestround::nature {

struct TraitAnswer {
    std::string key;             ///< "gray"
    std::string words;           ///< "gray, of sound wood"
    std::optional<double> from;  ///< of a measured trait: from here, included ...
    std::optional<double> to;    ///< ... to here, excluded
};

struct Trait {
    std::string key;       ///< "paper"
    bool of_wasp = false;  ///< seen on the wasps themselves, not on the nest
    std::string question;  ///< "What colour is the paper?"
    std::vector<TraitAnswer> answers;
    std::string unit;   ///< of a measured trait: "m", "cm" or "mm"; else empty
    std::string needs;  ///< key of another trait that this one hangs on, or empty
    std::vector<std::string> needs_one_of;  ///< answers of that trait with which this one has sense

    /// Place of the answer in `answers`, or nothing.
    [[nodiscard]] std::optional<std::size_t> answer(std::string_view answer_key) const;
    /// The same for a length, which must be in the trait's unit.
    [[nodiscard]] std::optional<std::size_t> answer_for(double measured) const;
};

/// The traits that the table asks for, in its order.
[[nodiscard]] std::vector<Trait> naming_traits(const TaxaTable& table);

/// Shares of the answers, and how far they may be trusted.
struct TraitShares {
    std::vector<double> share;  ///< in the order of Trait::answers; adds up to 1
    std::optional<Mark> mark;   ///< the weakest of the rows used; nothing where no row speaks
};

/// Looks shares up; made once for many questions.
class ShareTable {
public:
    explicit ShareTable(const TaxaTable& table);

    /// Shares of `trait` for a taxon, from the nearest level of its chain that has any.
    [[nodiscard]] TraitShares shares(std::string_view taxon, const Trait& trait) const;

private:
    const TaxaTable* table_;
    std::map<std::string_view, std::vector<const Figure*>> rows_;  ///< of each subject
};

/// Each trait has two answers or more, bins that follow each other, a condition that exists, and
/// shares that name its answers and add up to no more than 1.
[[nodiscard]] Result<void> check_traits(const TaxaTable& table);

}  // namespace nestround::nature
