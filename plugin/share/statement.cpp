#include "plugin/share/statement.hpp"

#include <fmt/format.h>

namespace nestround::share {

std::string scientific_name(const nature::TaxaTable& table, const std::string& code)
{
    const auto* taxon = table.find(code);
    // A name that the table does not know is a person's free text: it may hold anything.
    return taxon == nullptr ? std::string{"Vespidae"} : taxon->name;
}

std::string title_of(const Statement& statement)
{
    return fmt::format("Nests of social wasps, {}, seasons: {}", statement.from, statement.seasons);
}

std::string held_back_words(const Shared& shared)
{
    std::string words;
    if (!shared.generalised.empty()) {
        words = "Generalised: " + shared.generalised + ". ";
    }
    words += "Held back: " + shared.withheld + ".";
    // How many were left out would itself be a count of few nests: only that some were.
    if (shared.tier == app::PrivacyTier::Cells && shared.held_back > 0) {
        words += " Some nests are in no square.";
    }
    return words + " Calls are no survey: where nobody called, nothing is known.";
}

}  // namespace nestround::share
