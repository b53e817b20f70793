/// \file sent_name.hpp
/// \brief Which wasp of the taxa table a name that somebody sent means.
///
/// Purpose:  names come with authors, subgenera, doubts, older genera and other endings.
/// Units:    none.
/// Range:    scientific names, codes and English names; never a guess at a misspelling.
/// Accuracy: an older genus or another ending is understood only where one taxon of the table fits.
/// Errors:   none.
/// Source:   International Code of Zoological Nomenclature, articles 5, 6, 22, 31.2 and 51 for the
///           form of names; the genera of Vespinae have been split and merged (Vespula arenaria in
///           S38 of the taxa table is Dolichovespula arenaria today).
#pragma once

#include <string>
#include <string_view>

#include "geocore/nature/taxa_table.hpp"

namespace nestround::partners {

enum class NameTells {
    Nothing,  ///< empty, "unknown", or so wide as a family
    Species,  ///< a taxon of the table
    Genus,    ///< a genus of the table
    Foreign,  ///< something that is not in the table
};

struct SentName {
    NameTells tells = NameTells::Nothing;
    std::string code;   ///< with Species
    std::string genus;  ///< with Species and Genus
    std::string note;   ///< how it was understood, where it was not taken as it stands
};

[[nodiscard]] SentName read_name(const nature::TaxaTable& table, std::string_view words);

}  // namespace nestround::partners
