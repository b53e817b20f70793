#include <algorithm>
#include <numeric>
#include <string>

#include "geocore/nature/season.hpp"

namespace nestround::nature {

namespace {

/// The part of the world whose wasps are asked for; empty where the table knows none.
std::string_view region_at(LonLat place)
{
    const double lon = place.lon.value();
    const double lat = place.lat.value();
    // Boxes wide enough that no land between them matters; the plains at 100 W part North America.
    if (lat > 15 && lon >= -170 && lon < -100) {
        return "na_west";
    }
    if (lat > 15 && lon >= -100 && lon < -50) {
        return "na_east";
    }
    if (lat > 30 && lon >= -30 && lon < 60) {
        return "eu";
    }
    if (lat < -30 && lon >= 160) {
        return "nz";
    }
    if (lat < -10 && lon >= 110 && lon < 160) {
        return "au";
    }
    return {};
}

bool has_word(std::string_view words, std::string_view word)
{
    while (!words.empty()) {
        const auto space = words.find(' ');
        if (words.substr(0, space) == word) {
            return true;
        }
        words.remove_prefix(space == std::string_view::npos ? words.size() : space + 1);
    }
    return false;
}

void make_chances(std::vector<Candidate>& all)
{
    std::erase_if(all, [](const Candidate& one) { return !(one.chance > 0); });
    const double sum =
        std::accumulate(all.begin(), all.end(), 0.0,
                        [](double total, const Candidate& one) { return total + one.chance; });
    for (auto& one : all) {
        one.chance /= sum;
    }
}

double number(const TaxaTable& table, std::string_view subject, std::string_view parameter,
              double otherwise)
{
    const auto* row = table.figure(subject, parameter);
    return row == nullptr ? otherwise : row->middle();
}

}  // namespace

std::vector<Candidate> candidates(const TaxaTable& table, std::string_view named,
                                  std::string_view kind, LonLat place)
{
    if (const auto* taxon = table.recognise(named)) {
        return {{taxon, 1}};
    }
    const auto region = region_at(place);
    const auto pick = [&](bool heed_region, bool heed_genus) {
        std::vector<Candidate> all;
        for (const auto& taxon : table.taxa()) {
            const auto* lives = table.figure(taxon.code, "region");
            if ((heed_genus && taxon.genus != named) ||
                (heed_region && !region.empty() && lives != nullptr &&
                 !has_word(lives->words, region))) {
                continue;
            }
            const double prior = number(table, taxon.code, "model.prior", 1);
            const double share = kind == "aerial" || kind == "ground" || kind == "void"
                                     ? number(table, taxon.code, "site." + std::string{kind}, 0)
                                     : 1;
            all.push_back({&taxon, prior * share});
        }
        make_chances(all);
        return all;
    };
    const bool is_genus = std::any_of(table.taxa().begin(), table.taxa().end(),
                                      [&](const Taxon& taxon) { return taxon.genus == named; });
    auto all = pick(true, is_genus);
    if (all.empty()) {
        all = pick(false, is_genus);
    }
    if (all.empty()) {
        // Such a wasp in such a place is not in the table: any taxon may be meant.
        for (const auto& taxon : table.taxa()) {
            if (!is_genus || taxon.genus == named) {
                all.push_back({&taxon, 1});
            }
        }
        make_chances(all);
    }
    return all;
}

}  // namespace nestround::nature
