/// \file naming.hpp
/// \brief Which wasp? Taxa ranked by chance from what was seen, where and when.
///
/// Purpose:  a name that a crew may work with, how sure it is, and what to look at next. The wasps
///           themselves settle a name; the nest alone never does.
/// Units:    chances 0 to 1; information in bits; dates and places as elsewhere.
/// Range:    any set of traits, also none; "unknown" is an answer to each. Both hemispheres.
/// Accuracy: no better than the shares, most of which are memory or assumption (naming.csv); traits
///           are taken as independent given the taxon, which overstates agreement, so that a slip
///           is allowed for each trait and a doubt for all of them.
/// Cost:     some milliseconds: one Season for each possible taxon.
/// Errors:   InvalidInput for an unknown trait or answer, or one that excludes another.
/// Source:   Bayes' rule; entropy as in C. E. Shannon, "A mathematical theory of communication",
///           Bell System Technical Journal 27 (1948); docs/science/which-wasp.md.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "geocore/nature/traits.hpp"
#include "geocore/units/units.hpp"

namespace nestround::nature {

/// One trait as seen. The answer is a key of the trait, or "unknown".
struct Seen {
    std::string trait;
    std::string answer;
};

struct TaxonChance {
    const Taxon* taxon = nullptr;
    double chance = 0;
    double before = 0;  ///< from place and day alone
    double alive = 0;   ///< chance that a colony of it lives on that day
};

struct GenusChance {
    std::string genus;
    double chance = 0;
};

/// A trait that was not seen yet, and what looking would tell.
struct NextLook {
    Trait trait;
    double bits = 0;  ///< expected fall of the entropy over the taxa
};

/// A taxon that may be taken for the leading one.
struct LookAlike {
    const Taxon* taxon = nullptr;
    std::string tells;  ///< what tells the two apart
    Mark mark = Mark::Assumption;
};

struct WaspName {
    std::vector<TaxonChance> taxa;    ///< greatest chance first; adds up to 1
    std::vector<GenusChance> genera;  ///< the same by genus
    std::vector<NextLook> looks;      ///< most telling first
    std::vector<LookAlike> look_alikes;
    std::vector<Seen> heeded;                ///< what was seen, with what it implies
    std::vector<std::string> against;        ///< traits that speak against the leading taxon
    bool contradiction = false;              ///< no taxon fits: the chances are those before
    std::vector<std::string> contradictory;  ///< the traits that least go together
    bool wasp_seen = false;                  ///< a mark of the wasps was given
    double trust = 1;                        ///< chance that the traits tell of this nest at all
    double entropy_bits = 0;
    std::size_t shares_used = 0;  ///< rows of traits that spoke about the leading taxon
    std::size_t shares_read = 0;  ///< of them published, secondhand or derived from such
};

/// Chance that a colony of that taxon lives on that day at that latitude, by the calendar.
[[nodiscard]] double chance_alive(const TaxaTable& table, const Taxon& taxon, Latitude latitude,
                                  Day on);

[[nodiscard]] Result<WaspName> name_wasp(const TaxaTable& table, std::span<const Seen> seen,
                                         LonLat place, Day on);

}  // namespace nestround::nature
