#include "planner/partners/sent_name.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

#include "geocore/base/ascii.hpp"

namespace nestround::partners {

namespace {

constexpr std::size_t kLongest = 200;  // a name with authors; longer is no name

constexpr std::array<std::string_view, 17> kWide{
    "unknown", "?",         "-",           "none",    "wasp", "wasps",        "social wasp",
    "nest",    "wasp nest", "hymenoptera", "insecta", "n/a",  "yellowjacket", "yellow jacket",
    "hornet",  "vespidae",  "vespinae"};

/// Genera that species of Vespinae have been put in.
constexpr std::array<std::string_view, 8> kVespinae{
    "vespa",         "vespula",     "dolichovespula", "paravespula",
    "pseudovespula", "rugovespula", "allovespula",    "boreovespula"};

constexpr std::array<std::string_view, 9> kDoubts{"cf.", "cf", "aff.", "aff",  "nr.",
                                                  "nr",  "?",  "near", "prob."};
constexpr std::array<std::string_view, 7> kNoSpecies{"sp.",  "sp",     "spp.",   "spp",
                                                     "sp.?", "indet.", "species"};
/// Lower-case words that begin an author's name and not a subspecies.
constexpr std::array<std::string_view, 9> kParticles{"du", "de", "van", "von", "der",
                                                     "la", "et", "in",  "and"};
constexpr std::array<std::string_view, 6> kRanks{"subsp.", "ssp.", "var.", "f.", "agg.", "s.l."};

template <class List>
bool among(const List& list, std::string_view word)
{
    return std::find(list.begin(), list.end(), word) != list.end();
}

bool is_lower_word(std::string_view word)
{
    return word.size() > 1 && std::all_of(word.begin(), word.end(), [](char c) {
               return (c >= 'a' && c <= 'z') || c == '-' || static_cast<unsigned char>(c) >= 0x80;
           });
}

/// Words between blanks; control characters are blanks.
std::vector<std::string> words_of(std::string_view text)
{
    std::vector<std::string> out;
    std::string word;
    for (const char c : text) {
        if (static_cast<unsigned char>(c) <= ' ') {
            if (!word.empty()) {
                out.push_back(std::move(word));
                word.clear();
            }
        } else {
            word += c;
        }
    }
    if (!word.empty()) {
        out.push_back(std::move(word));
    }
    return out;
}

/// A species named for its genus agrees with it: dominulus and dominula are one.
std::string stem(std::string_view epithet)
{
    for (const std::string_view ending : {"us", "um", "a"}) {
        if (epithet.size() > ending.size() + 2 && epithet.ends_with(ending)) {
            return std::string{epithet.substr(0, epithet.size() - ending.size())};
        }
    }
    return std::string{epithet};
}

struct Split {
    std::string genus;    ///< lower case
    std::string epithet;  ///< lower case; may be empty
    std::string below;    ///< what stands below the species
    bool doubt = false;
};

Split split(const std::vector<std::string>& words)
{
    Split out;
    out.genus = ascii_lower(words.front());
    std::size_t at = 1;
    if (at < words.size() && words[at].size() > 2 && words[at].front() == '(' &&
        words[at].back() == ')') {
        ++at;  // a subgenus
    }
    for (; at < words.size() && among(kDoubts, ascii_lower(words[at])); ++at) {
        out.doubt = true;
    }
    if (at < words.size() && !among(kNoSpecies, ascii_lower(words[at])) &&
        !among(kParticles, words[at]) && is_lower_word(words[at])) {
        out.epithet = words[at++];
    }
    while (at < words.size() && among(kRanks, words[at])) {
        ++at;
    }
    if (!out.epithet.empty() && at < words.size() && is_lower_word(words[at]) &&
        !among(kParticles, words[at])) {
        out.below = words[at];
    }
    return out;
}

std::string epithet_of(const nature::Taxon& taxon)
{
    const auto space = taxon.name.find(' ');
    return space == std::string::npos ? std::string{} : ascii_lower(taxon.name.substr(space + 1));
}

/// Taxa whose species has that stem, in the genus or in any that it may have been in.
std::vector<const nature::Taxon*> fitting(const nature::TaxaTable& table, const Split& name,
                                          bool any_genus)
{
    std::vector<const nature::Taxon*> out;
    for (const auto& taxon : table.taxa()) {
        const auto genus = ascii_lower(taxon.genus);
        const bool fits = any_genus ? among(kVespinae, genus) && among(kVespinae, name.genus)
                                    : genus == name.genus;
        if (fits && stem(epithet_of(taxon)) == stem(name.epithet)) {
            out.push_back(&taxon);
        }
    }
    return out;
}

SentName species(const nature::Taxon& taxon, std::string note)
{
    return {NameTells::Species, taxon.code, taxon.genus, std::move(note)};
}

}  // namespace

SentName read_name(const nature::TaxaTable& table, std::string_view text)
{
    if (text.size() > kLongest) {
        return {NameTells::Foreign, "", "", "a name of more than 200 bytes was not read"};
    }
    const auto words = words_of(text);
    std::string plain;
    for (const auto& word : words) {
        plain += (plain.empty() ? "" : " ") + word;
    }
    if (plain.empty() || among(kWide, ascii_lower(plain)) ||
        ascii_lower(plain).starts_with("vespidae ") ||
        ascii_lower(plain).starts_with("vespinae ")) {
        return {};
    }
    if (const auto* taxon = table.recognise(plain)) {
        return species(*taxon, "");
    }
    const auto name = split(words);
    const auto understood = [&](const nature::Taxon& taxon) {
        return fmt::format("'{}' understood as {}", plain, taxon.name);
    };
    const auto below = name.below.empty()
                           ? std::string{}
                           : fmt::format("'{}' below the species left out", name.below);
    if (!name.epithet.empty() && !name.doubt) {
        if (const auto own = fitting(table, name, false); own.size() == 1) {
            const bool as_it_stands = epithet_of(*own.front()) == name.epithet;
            return species(*own.front(), as_it_stands ? below : understood(*own.front()));
        }
        if (const auto any = fitting(table, name, true); any.size() == 1) {
            return species(*any.front(), understood(*any.front()));
        }
    }
    for (const auto& taxon : table.taxa()) {
        if (ascii_lower(taxon.genus) == name.genus) {
            const auto note = name.epithet.empty() ? std::string{}
                              : name.doubt
                                  ? fmt::format("'{}' is in doubt; taken as {}", plain, taxon.genus)
                                  : fmt::format("no species '{}' in the taxa table; taken as {}",
                                                name.epithet, taxon.genus);
            return {NameTells::Genus, "", taxon.genus, note};
        }
    }
    return {NameTells::Foreign, "", "", fmt::format("'{}' is no wasp of the taxa table", plain)};
}

}  // namespace nestround::partners
