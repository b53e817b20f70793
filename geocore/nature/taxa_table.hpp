/// \file taxa_table.hpp
/// \brief What is known of each kind of wasp: a table of figures with sources and marks.
///
/// Purpose:  the model reads every biological number from here. A species is a set of rows; what a
///           species lacks it takes from its group (genus), then from the group's group.
/// Units:    each row names its own.
/// Range:    taxa are the subjects that have a `name` row; groups are the other subjects; every
///           chain of groups ends at "all".
/// Accuracy: as each row's mark says.
/// Errors:   parse_taxa gives InvalidInput naming file, line and column.
/// Source:   geocore/nature/taxa/*.csv, compiled in.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/figure.hpp"

namespace nestround::nature {

struct Taxon {
    std::string code;     ///< four letters: "VMAC"
    std::string name;     ///< scientific: "Vespula maculifrons"
    std::string english;  ///< "eastern yellowjacket"
    std::string genus;
    std::string group;  ///< the subject it inherits figures from
};

class TaxaTable {
public:
    /// Refuses a table without taxa, a taxon without name or genus, a group that is missing or
    /// runs in a circle.
    [[nodiscard]] static Result<TaxaTable> make(std::vector<Figure> figures,
                                                std::vector<SourceEntry> sources);

    [[nodiscard]] std::span<const Taxon> taxa() const { return taxa_; }
    [[nodiscard]] std::span<const Figure> figures() const { return figures_; }
    [[nodiscard]] std::span<const SourceEntry> sources() const { return sources_; }

    /// The taxon with that code, or nothing.
    [[nodiscard]] const Taxon* find(std::string_view code) const;
    /// As a person would write it, without regard to case: code, scientific or English name.
    [[nodiscard]] const Taxon* recognise(std::string_view text) const;

    /// The first row of `parameter` for `subject`, its group, its group's group, ...; or nothing.
    [[nodiscard]] const Figure* figure(std::string_view subject, std::string_view parameter) const;
    /// All rows of `parameter` at the nearest level that has any (dates at several latitudes).
    [[nodiscard]] std::vector<const Figure*> rows(std::string_view subject,
                                                  std::string_view parameter) const;
    /// Rows of `subject` itself, in file order.
    [[nodiscard]] std::vector<const Figure*> own_rows(std::string_view subject) const;
    /// `subject`, its group, its group's group, ...
    [[nodiscard]] std::vector<std::string> chain(std::string_view subject) const;
    /// The citation of a source key; empty when there is none.
    [[nodiscard]] std::string_view citation(std::string_view key) const;

private:
    /// Rows of just this subject and parameter, as indices into figures_, in the order of the file.
    [[nodiscard]] std::span<const std::uint32_t> named(std::string_view subject,
                                                       std::string_view parameter) const;
    /// The group that a subject names; nothing for the outermost.
    [[nodiscard]] const Figure* group_of(std::string_view subject) const;

    std::vector<Figure> figures_;
    std::vector<std::uint32_t> by_name_;  ///< figures_ by subject, then parameter
    std::vector<SourceEntry> sources_;
    std::vector<Taxon> taxa_;
};

/// A table from text: the figures and the list of their sources.
[[nodiscard]] Result<TaxaTable> parse_taxa(std::string_view figures_csv,
                                           std::string_view sources_csv);

/// The table that is compiled in.
[[nodiscard]] const TaxaTable& standard_taxa();

}  // namespace nestround::nature
