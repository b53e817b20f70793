#include "plugin/share/withhold.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <set>
#include <tuple>

#include "geocore/base/sha256.hpp"
#include "geocore/place/geodesic.hpp"

namespace nestround::share {

namespace {

constexpr double kMetresADegree = 111'319.49;  // of the equator; WGS 84 radius times pi / 180
constexpr std::size_t kIdLetters = 16;

std::string id_of(const std::string& partner, const std::string& key)
{
    return sha256("a nest shared with\n" + partner + "\n" + key).substr(0, kIdLetters);
}

SharedNest exact(const KnownNest& nest, const std::string& partner)
{
    SharedNest out;
    out.id = id_of(partner, nest.key);
    out.taxon = nest.taxon;
    out.season = nest.season;
    out.kind = nest.kind;
    out.place = nest.place;
    out.uncertainty = nest.place_uncertainty;
    out.height = nest.height;
    out.date = nest.received ? format_day(*nest.received) : std::string{};
    out.outcome = nest.state ? std::string{text(*nest.state)} : std::string{};
    out.caught = nest.caught;
    return out;
}

SharedNest on_grid(const KnownNest& nest, const std::string& partner, Metres side)
{
    auto out = exact(nest, partner);
    const auto square = square_of(nest.place, side);
    out.place = square.middle;
    // The nest may lie outside its square when the book itself is not sure of the place.
    out.uncertainty =
        square.uncertainty + (nest.place_uncertainty ? *nest.place_uncertainty : Metres{0});
    if (out.height) {
        out.height = Metres{std::round(out.height->value())};
    }
    constexpr std::size_t month = 7;  // of 2026-08-04
    out.date = out.date.substr(0, std::min(month, out.date.size()));
    out.caught.reset();
    return out;
}

void count(std::span<const KnownNest> nests, const app::PartnerSettings& terms, Shared& shared)
{
    struct Gathered {
        SharedCount row;
        std::set<std::string> sites;
        std::set<std::string> spots;  ///< the fine squares that the nests are in
    };
    std::map<std::tuple<std::string, std::string, int>, Gathered> counts;
    for (const auto& nest : nests) {
        const auto square = square_of(nest.place, Metres{terms.grid_m});
        auto& [row, sites, spots] = counts[{square.name, nest.taxon, nest.season}];
        if (row.nests == 0) {
            row = {square, nest.taxon, nest.season, 0, 0};
        }
        ++row.nests;
        sites.insert(nest.site);
        spots.insert(square_of(nest.place, kHouse).name);
    }
    for (auto& [key, gathered] : counts) {
        auto& row = gathered.row;
        row.houses = static_cast<int>(std::min(gathered.sites.size(), gathered.spots.size()));
        if (row.houses >= terms.at_least) {
            shared.counts.push_back(std::move(row));
        } else {
            shared.held_back += row.nests;
        }
    }
}

}  // namespace

Square square_of(LonLat place, Metres side)
{
    const double height = side.value() / kMetresADegree;
    const auto row = static_cast<long>(std::floor(place.lat.value() / height));
    const double south = static_cast<double>(row) * height;
    const double middle = std::clamp(south + height / 2, -90.0, 90.0);
    const double around = 360 * std::cos(middle * std::numbers::pi / 180) / height;
    const double columns = std::max(1.0, std::round(around));
    const double width = 360 / columns;
    const auto column =
        static_cast<long>(std::min(columns - 1, std::floor((place.lon.value() + 180) / width)));
    Square square;
    square.west = Longitude{-180 + static_cast<double>(column) * width};
    square.east = Longitude{-180 + static_cast<double>(column + 1) * width};
    square.south = Latitude{std::max(south, -90.0)};
    square.north = Latitude{std::min(south + height, 90.0)};
    square.middle = {Longitude{-180 + (static_cast<double>(column) + 0.5) * width},
                     Latitude{middle}};
    for (const auto corner : {square.south, square.north}) {
        square.uncertainty = std::max(
            square.uncertainty, place::geodesic_distance(square.middle, {square.west, corner}));
    }
    square.uncertainty = Metres{std::ceil(square.uncertainty.value())};
    square.name = fmt::format("{:.0f}m{:+d}{:+d}", side.value(), row, column);
    return square;
}

Shared withhold(std::span<const KnownNest> nests, const std::string& partner,
                const app::PartnerSettings& terms)
{
    using app::PrivacyTier;
    Shared shared;
    shared.tier = terms.tier;
    shared.considered = static_cast<int>(nests.size());
    const std::string never =
        "clients, addresses, names of places, notes and photographs are never given";
    switch (terms.tier) {
        case PrivacyTier::Exact:
            for (const auto& nest : nests) {
                shared.nests.push_back(exact(nest, partner));
            }
            shared.withheld = never;
            break;
        case PrivacyTier::Grid:
            for (const auto& nest : nests) {
                shared.nests.push_back(on_grid(nest, partner, Metres{terms.grid_m}));
            }
            shared.generalised = fmt::format(
                "places moved to the middle of a fixed grid of {:.0f} m squares; dates to the "
                "month; heights to whole metres",
                terms.grid_m);
            shared.withheld = "exact places and dates and what was caught; " + never;
            break;
        case PrivacyTier::Cells:
            count(nests, terms, shared);
            shared.generalised = fmt::format(
                "nests counted in a fixed grid of {:.0f} m squares, by taxon and season",
                terms.grid_m);
            shared.withheld = fmt::format(
                "single nests and their dates; counts of a taxon and season at fewer than {} "
                "houses "
                "of a square, and all sums; {}",
                terms.at_least, never);
            break;
    }
    std::sort(shared.nests.begin(), shared.nests.end(),
              [](const auto& a, const auto& b) { return a.id < b.id; });
    return shared;
}

}  // namespace nestround::share
