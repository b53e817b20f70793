/// \file statement.hpp
/// \brief Who gives what to whom: the words that go with each share. Pure.
///
/// Purpose:  one statement for the metadata of a GeoPackage and of an archive.
/// Units:    not applicable.
/// Range:    any.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>

#include "geocore/base/calendar.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "plugin/share/withhold.hpp"

namespace nestround::share {

struct Statement {
    std::string from;     ///< the region of the book; no person
    std::string to;       ///< how the partner is called
    std::string licence;  ///< empty: none was stated
    Day on{};             ///< the day the share speaks of; never the clock
    std::string seasons;  ///< "2026", "2024..2026", "all"
};

/// A scientific name, or that of the family where the wasp is not known.
[[nodiscard]] std::string scientific_name(const nature::TaxaTable& table, const std::string& code);
[[nodiscard]] std::string title_of(const Statement& statement);
/// What was made coarser and what is held back, and how many nests are in no row.
[[nodiscard]] std::string held_back_words(const Shared& shared);

}  // namespace nestround::share
