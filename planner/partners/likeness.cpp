#include "planner/partners/likeness.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geocore/nature/season.hpp"
#include "geocore/place/geodesic.hpp"
#include "planner/partners/partner_figures.hpp"

namespace nestround::partners {

namespace {

constexpr double kBucket = 0.05;            // degrees of latitude; about 5.6 km
constexpr double kMetresADegree = 111'000;  // of latitude, at the least rounded down
constexpr double kReach = 4.5;              // deviations beyond which no pair is looked at
constexpr double kLeastWeight = -13.8;      // a millionth
constexpr double kSmallestChance = 1e-4;    // below it a candidate is noise
constexpr double kPrior = 0.5;              // nests added to each taxon's count, after Jeffreys

double pi() { return std::numbers::pi; }

double normal_below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

double deviation(std::optional<Metres> uncertainty, std::string_view otherwise)
{
    const double radius = uncertainty ? uncertainty->value() : partner_figure("place", otherwise);
    return radius / partner_figure("place", "deviations_in_uncertainty");
}

/// Of the normal part of a pair: both tellings, or ours alone where the other is a square.
double pair_deviation(const SentNest& sent, const OwnNest& own)
{
    const double least = partner_figure("place", "least_deviation");
    const double ours = deviation(own.uncertainty, "own_unknown");
    const double theirs =
        sent.form == PlaceForm::Cell ? 0 : deviation(sent.uncertainty, "sent_unknown");
    return std::sqrt(ours * ours + theirs * theirs + least * least);
}

double half_side(const SentNest& sent)
{
    const double corner =
        sent.uncertainty ? sent.uncertainty->value() : partner_figure("place", "sent_unknown");
    return corner / std::numbers::sqrt2;
}

double reach(const SentNest& sent, double largest_deviation)
{
    const double beyond = kReach * largest_deviation;
    return sent.form == PlaceForm::Cell ? half_side(sent) * std::numbers::sqrt2 + beyond : beyond;
}

}  // namespace

double displacement_density(const SentNest& sent, const OwnNest& own, double east, double north)
{
    const double sigma = pair_deviation(sent, own);
    if (sent.form == PlaceForm::Cell) {
        const double half = half_side(sent);
        const auto along = [&](double at) {
            return (normal_below((half - at) / sigma) - normal_below((-half - at) / sigma)) /
                   (2 * half);
        };
        return along(east) * along(north);
    }
    const double square = (east * east + north * north) / (sigma * sigma);
    return std::exp(-square / 2) / (2 * pi() * sigma * sigma);
}

std::string words_of(const Evidence& evidence)
{
    auto out = fmt::format("{:.0f} m apart, 95 % within {:.0f} m", evidence.apart.value(),
                           evidence.within.value());
    for (const auto* words : {&evidence.season_words, &evidence.taxon_words}) {
        if (!words->empty()) {
            out += "; " + *words;
        }
    }
    return out;
}

Neighbours::Neighbours(std::vector<OwnNest> own, const nature::TaxaTable& table)
    : own_{std::move(own)}, table_{table}, widest_{partner_figure("place", "own_unknown")}
{
    for (std::size_t i = 0; i < own_.size(); ++i) {
        const auto& nest = own_[i];
        buckets_[{static_cast<long>(std::floor(nest.place.lat.value() / kBucket)),
                  static_cast<long>(std::floor(nest.place.lon.value() / kBucket))}]
            .push_back(i);
        widest_ = std::max(widest_, nest.uncertainty.value_or(Metres{0}));
        if (table_.find(nest.taxon) != nullptr) {
            ++of_taxon_[nest.taxon];
            ++named_;
        }
        first_season_ = i == 0 ? nest.season : std::min(first_season_, nest.season);
        last_season_ = i == 0 ? nest.season : std::max(last_season_, nest.season);
    }
}

std::vector<std::size_t> Neighbours::around(LonLat place, Metres radius) const
{
    const double high = radius.value() / kMetresADegree;
    const double narrow =
        std::max(0.01, std::cos((std::abs(place.lat.value()) + high) * pi() / 180));
    const double wide = std::min(180.0, high / narrow);
    std::vector<std::size_t> out;
    const auto row = [](double degrees) {
        return static_cast<long>(std::floor(degrees / kBucket));
    };
    const auto take = [&](double west, double east) {
        for (long y = row(place.lat.value() - high); y <= row(place.lat.value() + high); ++y) {
            auto at = buckets_.lower_bound({y, row(west)});
            for (; at != buckets_.end() && at->first.first == y && at->first.second <= row(east);
                 ++at) {
                for (const auto i : at->second) {
                    if (place::geodesic_distance(place, own_[i].place) <= radius) {
                        out.push_back(i);
                    }
                }
            }
        }
    };
    const double west = place.lon.value() - wide;
    const double east = place.lon.value() + wide;
    take(std::max(west, -180.0), std::min(east, 180.0));
    if (west < -180) {
        take(west + 360, 180);
    }
    if (east > 180) {
        take(-180, east - 360);
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

Neighbours::Seasons Neighbours::seasons_of(const SentNest& sent) const
{
    if (sent.season) {
        return {*sent.season, *sent.season, true};
    }
    if (sent.first && sent.last) {
        return {nature::season_of(*sent.first, sent.place.lat),
                nature::season_of(*sent.last, sent.place.lat), true};
    }
    return {first_season_, last_season_, false};
}

void Neighbours::weigh_season(const SentNest& sent, const OwnNest& own, const Seasons& seasons,
                              Evidence& evidence) const
{
    const double many = seasons.last - seasons.first + 1;
    evidence.season = -std::log(many);
    if (!seasons.known) {
        evidence.season_words = fmt::format("ours {}, theirs without a date", own.season);
        return;
    }
    if (own.season < seasons.first || own.season > seasons.last) {
        evidence.season += std::log(partner_figure("season", "wrong_year"));
        evidence.season_words =
            fmt::format("ours {}, theirs {}", own.season,
                        many > 1 ? fmt::format("{} to {}", seasons.first, seasons.last)
                                 : fmt::format("{}", seasons.first));
        return;
    }
    evidence.season_words =
        many > 1 ? fmt::format("ours {}, theirs {} to {}", own.season, seasons.first, seasons.last)
                 : fmt::format("both {}", own.season);
    if (own.gone && sent.first) {
        const auto late = (*sent.first - *own.gone).count();
        if (late > static_cast<long>(partner_figure("season", "slack"))) {
            evidence.season += std::log(partner_figure("season", "after_taken"));
            evidence.season_words += fmt::format(", but theirs {} days after ours was gone", late);
        }
    }
}

double Neighbours::share(const std::string& code) const
{
    const auto found = of_taxon_.find(code);
    const double count = found == of_taxon_.end() ? 0 : found->second;
    return (count + kPrior) / (named_ + kPrior * static_cast<double>(table_.taxa().size()));
}

double Neighbours::genus_share(const std::string& genus) const
{
    double sum = 0;
    for (const auto& taxon : table_.taxa()) {
        sum += taxon.genus == genus ? share(taxon.code) : 0;
    }
    return sum;
}

void Neighbours::weigh_taxon(const SentName& name, const OwnNest& own, Evidence& evidence) const
{
    const auto* ours = table_.find(own.taxon);
    if (ours == nullptr || name.tells == NameTells::Nothing) {
        evidence.taxon_words = ours == nullptr && name.tells == NameTells::Nothing
                                   ? "neither says which wasp"
                               : ours == nullptr ? "we do not know which wasp"
                                                 : "they do not say which wasp";
        return;
    }
    const auto figure = [](const char* what) { return partner_figure("taxon", what); };
    // Another name never speaks for one nest, however common that wasp is.
    const auto against = [](double odds) { return std::min(0.0, std::log(odds)); };
    const auto* theirs = table_.find(name.code);
    if (name.tells == NameTells::Species && theirs != nullptr && theirs->code == ours->code) {
        evidence.taxon = std::log(figure("right_species") / share(ours->code));
        evidence.taxon_words = "both " + ours->name;
    } else if (name.tells == NameTells::Species && name.genus == ours->genus) {
        const double others = genus_share(ours->genus) - share(ours->code);
        evidence.taxon = against(figure("wrong_species") / std::max(others, 1e-3));
        evidence.taxon_words = fmt::format("ours {}, theirs {}", ours->name, theirs->name);
    } else if (name.tells == NameTells::Genus && name.genus == ours->genus) {
        evidence.taxon = std::log((1 - figure("wrong_genus")) / genus_share(ours->genus));
        evidence.taxon_words = "both " + ours->genus;
    } else {
        const double others = 1 - genus_share(ours->genus);
        evidence.taxon = against(figure("wrong_genus") / std::max(others, 1e-3));
        evidence.taxon_words =
            fmt::format("ours {}, theirs {}", ours->name,
                        theirs != nullptr                ? theirs->name
                        : name.tells == NameTells::Genus ? name.genus
                                                         : "no wasp that we know");
    }
}

std::vector<Candidate> Neighbours::candidates(const SentNest& sent) const
{
    const auto seasons = seasons_of(sent);
    // Ours of the seasons that theirs may be of, a square metre and season: how crowded it is
    // there.
    const double radius = partner_figure("ground", "radius");
    double known = 0;
    for (const auto i : around(sent.place, Metres{radius})) {
        known += own_[i].season >= seasons.first && own_[i].season <= seasons.last ? 1 : 0;
    }
    const double many = seasons.last - seasons.first + 1;
    const double counted = known / many / (pi() * radius * radius);
    const double density = std::max(counted, partner_figure("ground", "least_density") / 1e6);
    const double share_known = partner_figure("ground", "share_known");
    const double unknown = density * (1 - share_known) / share_known;

    OwnNest wide;
    wide.uncertainty = widest_;
    std::vector<Candidate> out;
    double sum = 1;  // a nest that we do not know of
    for (const auto i : around(sent.place, Metres{reach(sent, pair_deviation(sent, wide))})) {
        const auto& own = own_[i];
        Candidate one;
        one.own = i;
        auto& evidence = one.evidence;
        evidence.apart = place::geodesic_distance(sent.place, own.place);
        const double azimuth = place::geodesic_azimuth(sent.place, own.place) * pi() / 180;
        const double east = evidence.apart.value() * std::sin(azimuth);
        const double north = evidence.apart.value() * std::cos(azimuth);
        const double sigma = pair_deviation(sent, own);
        const double deviations = partner_figure("place", "deviations_in_uncertainty");
        evidence.within =
            Metres{(sent.form == PlaceForm::Cell ? half_side(sent) * std::numbers::sqrt2 : 0) +
                   deviations * sigma};
        const double at = displacement_density(sent, own, east, north);
        evidence.place = at > 0 ? std::log(at / unknown) : -1e3;
        weigh_season(sent, own, seasons, evidence);
        weigh_taxon(sent.name, own, evidence);
        if (evidence.weight() > kLeastWeight) {
            sum += std::exp(evidence.weight());
            out.push_back(std::move(one));
        }
    }
    for (auto& one : out) {
        one.chance = std::exp(one.evidence.weight()) / sum;
    }
    std::erase_if(out, [](const Candidate& one) { return one.chance < kSmallestChance; });
    std::stable_sort(out.begin(), out.end(),
                     [](const Candidate& a, const Candidate& b) { return a.chance > b.chance; });
    return out;
}

int Neighbours::count_in(const SentNest& sent) const
{
    const auto seasons = seasons_of(sent);
    const double half = half_side(sent);
    int count = 0;
    for (const auto i : around(sent.place, Metres{half * std::numbers::sqrt2})) {
        const auto& own = own_[i];
        const double apart = place::geodesic_distance(sent.place, own.place).value();
        const double azimuth = place::geodesic_azimuth(sent.place, own.place) * pi() / 180;
        const bool inside = std::abs(apart * std::sin(azimuth)) <= half &&
                            std::abs(apart * std::cos(azimuth)) <= half;
        const auto* ours = table_.find(own.taxon);
        const bool fits = sent.name.tells == NameTells::Nothing ||
                          (sent.name.tells == NameTells::Species && own.taxon == sent.name.code) ||
                          (sent.name.tells == NameTells::Genus && ours != nullptr &&
                           ours->genus == sent.name.genus);
        count +=
            inside && fits && own.season >= seasons.first && own.season <= seasons.last ? 1 : 0;
    }
    return count;
}

}  // namespace nestround::partners
