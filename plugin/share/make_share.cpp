#include "plugin/share/make_share.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>
#include <tuple>
#include <unordered_map>

#include "geocore/base/error.hpp"

namespace nestround::share {

namespace {

const app::PartnerSettings& terms_of(const app::Preferences& preferences, const std::string& name)
{
    const auto found = preferences.partners.find(name);
    if (found == preferences.partners.end()) {
        std::string known;
        for (const auto& [other, terms] : preferences.partners) {
            known += (known.empty() ? "" : ", ") + other;
        }
        throw Failure{ErrorCode::NotFound,
                      fmt::format("the book has no partner '{0}'{1}; name one and say how much it "
                                  "is given: nestround settings set BOOK partners.{0}.tier cells "
                                  "(or grid, or exact)",
                                  name, known.empty() ? "" : " but " + known)};
    }
    if (!found->second.has_tier) {
        throw Failure{ErrorCode::InvalidInput,
                      "nobody has said how much this partner is given: cells, grid or exact",
                      fmt::format("setting partners.{}.tier", name)};
    }
    return found->second;
}

std::set<std::string> species_of(const app::PartnerSettings& terms, const nature::TaxaTable& table,
                                 const std::string& partner)
{
    std::set<std::string> codes;
    for (const auto& word : terms.species) {
        const auto* taxon = table.recognise(word);
        if (taxon == nullptr) {
            throw Failure{ErrorCode::NotFound,
                          fmt::format("no wasp '{}' in the table; see nestround taxa list", word),
                          fmt::format("setting partners.{}.species", partner)};
        }
        codes.insert(taxon->code);
    }
    return codes;
}

/// The codes of the table for what the book calls a wasp, each looked up once.
class Codes {
public:
    explicit Codes(const nature::TaxaTable& table) : table_{table} {}

    const std::string& operator()(const std::string& word)
    {
        const auto [found, made] = codes_.try_emplace(word);
        if (made) {
            const auto* taxon = table_.recognise(word);
            found->second = taxon == nullptr ? std::string{} : taxon->code;
        }
        return found->second;
    }

private:
    const nature::TaxaTable& table_;
    std::unordered_map<std::string, std::string> codes_;
};

KnownNest known(const book::NestRow& row, Codes& codes)
{
    KnownNest nest;
    nest.key = row.nest.id.text();
    nest.site = row.nest.site.text();
    nest.taxon = codes(row.nest.taxon);
    nest.season = row.nest.season;
    nest.kind = row.nest.kind;
    nest.place = row.place;
    nest.place_uncertainty = row.place_uncertainty;
    nest.height = row.nest.height;
    nest.received = row.received;
    nest.state = row.state;
    nest.caught = row.caught;
    return nest;
}

std::string season_words(const ShareWishes& wishes)
{
    if (!wishes.first_season) {
        return "all";
    }
    return wishes.first_season == wishes.last_season
               ? fmt::format("{}", *wishes.first_season)
               : fmt::format("{}..{}", *wishes.first_season, *wishes.last_season);
}

/// Photos of nests in the share, by the row of their nest.
std::vector<SharedPhoto> photos_of(const book::Book& book, const Shared& shared,
                                   const std::string& partner)
{
    const auto photos = book.photos();
    if (photos.empty()) {
        return {};
    }
    std::unordered_map<std::uint64_t, std::int64_t> rows;
    for (std::size_t i = 0; i < shared.nests.size(); ++i) {
        rows.emplace(shared.nests[i].id, static_cast<std::int64_t>(i) + 1);
    }
    std::vector<SharedPhoto> out;
    for (const auto& photo : photos) {
        auto nest = photo.nest;
        if (!nest && photo.call) {
            const auto sheet = book.call(*photo.call);
            nest = sheet ? std::optional{sheet->nest.id} : std::nullopt;
        }
        if (!nest && photo.visit) {
            const auto visit = book.visit(*photo.visit);
            nest = visit ? std::optional{visit->nest} : std::nullopt;
        }
        const auto row = nest ? rows.find(shared_id(partner, nest->text())) : rows.end();
        if (row != rows.end()) {
            out.push_back({row->second, photo.id});
        }
    }
    std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) {
        return std::tie(a.nest, a.key) < std::tie(b.nest, b.key);
    });
    return out;
}

}  // namespace

Share make_share(const book::Book& book, const app::Preferences& preferences,
                 const nature::TaxaTable& table, const ShareWishes& wishes)
{
    const auto& terms = terms_of(preferences, wishes.partner);
    if (terms.photos && terms.tier != app::PrivacyTier::Exact) {
        throw Failure{ErrorCode::InvalidInput,
                      "a photo shows the house: photos go with the tier exact only; set it off, or "
                      "choose that tier",
                      fmt::format("setting partners.{}.photos", wishes.partner)};
    }
    const auto species = species_of(terms, table, wishes.partner);
    book::NestFilter filter;
    filter.first_season = wishes.first_season;
    filter.last_season = wishes.last_season;
    Codes codes{table};
    Withholding holding{wishes.partner, terms};
    book.each_nest(filter, [&](const book::NestRow& row) {
        if (row.received && *row.received > wishes.on) {
            return;
        }
        const auto nest = known(row, codes);
        if (species.empty() || species.contains(nest.taxon)) {
            holding.add(nest);
        }
    });
    Share share;
    share.shared = holding.result();
    if (terms.photos) {
        share.shared.photos = photos_of(book, share.shared, wishes.partner);
    }
    share.statement = {preferences.region, terms.title.empty() ? wishes.partner : terms.title,
                       terms.licence, wishes.on, season_words(wishes)};
    return share;
}

}  // namespace nestround::share
