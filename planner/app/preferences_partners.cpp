#include "planner/app/preferences_partners.hpp"

#include <algorithm>
#include <string_view>

#include "planner/app/settings_reader.hpp"

namespace nestround::app {

namespace {

constexpr std::string_view kPrefix = "partners.";
constexpr double kLeastGrid = 100;
constexpr double kMostGrid = 100'000;
constexpr int kFewest = 2;

std::vector<std::string> words_of(const std::string& list)
{
    std::vector<std::string> out;
    std::string word;
    for (const char letter : list + ",") {
        if (letter == ',') {
            if (!word.empty()) {
                out.push_back(word);
            }
            word.clear();
        } else if (letter != ' ' || !word.empty()) {
            word += letter;
        }
    }
    return out;
}

}  // namespace

void read_partners(const std::map<std::string, std::string>& settings, Preferences& into)
{
    const Reader read{settings};
    for (const auto& [name, value] : settings) {
        if (!name.starts_with(kPrefix)) {
            continue;
        }
        const auto dot = name.find('.', kPrefix.size());
        if (dot == std::string::npos || dot == kPrefix.size()) {
            throw Failure{ErrorCode::InvalidInput,
                          "is written partners.NAME.WHAT, as partners.county.tier",
                          "setting " + name};
        }
        auto& partner = into.partners[name.substr(kPrefix.size(), dot - kPrefix.size())];
        const auto what = name.substr(dot + 1);
        if (what == "tier") {
            read.word(name, partner.tier,
                      {{"exact", PrivacyTier::Exact},
                       {"grid", PrivacyTier::Grid},
                       {"cells", PrivacyTier::Cells}});
            partner.has_tier = true;
        } else if (what == "grid_m") {
            read.number(name, partner.grid_m, kLeastGrid);
            if (partner.grid_m > kMostGrid) {
                refuse(name, value, "from 100 to 100000 metres");
            }
        } else if (what == "at_least") {
            read.whole(name, partner.at_least);
            if (partner.at_least < kFewest) {
                refuse(name, value, "a whole number from 2 up");
            }
        } else if (what == "species") {
            partner.species = words_of(value);
        } else if (what == "title") {
            partner.title = value;
        } else if (what == "licence") {
            partner.licence = value;
        } else if (what == "photos") {
            read.on_off(name, partner.photos);
        } else {
            throw Failure{
                ErrorCode::InvalidInput,
                "a partner has tier, grid_m, at_least, species, title, licence and photos",
                "setting " + name};
        }
    }
}

}  // namespace nestround::app
