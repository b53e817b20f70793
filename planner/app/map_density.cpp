#include "planner/app/map_density.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include "geocore/intake/area_layer.hpp"
#include "geocore/nature/season.hpp"
#include "planner/app/taxa_in_use.hpp"

namespace nestround::app {
namespace {

using density::KnownNest;
using density::PlanePoint;
using density::PlaneRing;

// assumption: land around the outermost nests is searched as far as half the mean spacing of nests
constexpr double kLeastMargin = 500;
constexpr Day kLastDay{std::chrono::year{2999} / 12 / 31};
constexpr double kFewestCells = 20;  // across the shorter side of the surface

struct BookNest {
    LonLat at{};
    int season = 0;
    bool wanted = false;
    bool named = false;
};

std::vector<BookNest> nests_of(const book::Book& book, const DensityWishes& wishes,
                               const std::set<std::string>& codes)
{
    std::vector<BookNest> nests;
    std::set<NestId> seen;
    for (const auto& sheet : book.calls(kLastDay)) {
        const auto& nest = sheet.nest;
        if (nest.season < wishes.first_season || nest.season > wishes.last_season ||
            !seen.insert(nest.id).second) {
            continue;
        }
        nests.push_back({sheet.site.place, nest.season, codes.empty() || codes.contains(nest.taxon),
                         !nest.taxon.empty()});
    }
    return nests;
}

struct PartnerNests {
    std::size_t taken = 0;
    std::size_t coarse = 0;  ///< known less well than a cell is wide, or counts

    [[nodiscard]] std::string words() const
    {
        return fmt::format(
            ", with {} nest{} of partners{}", taken, taken == 1 ? "" : "s",
            coarse == 0 ? "" : fmt::format(" ({} more left out as too coarse)", coarse));
    }
};

/// Those that were accepted as nests and are none of ours; of one season, and placed within a cell.
PartnerNests add_partners(const book::Book& book, const DensityWishes& wishes,
                          const std::set<std::string>& codes, std::vector<BookNest>& nests)
{
    PartnerNests out;
    const double coarse = std::sqrt(wishes.cell_km2) * 1000 / 2;
    for (const auto& row : book.partner_nests()) {
        if (row.decision != PartnerDecision::Other) {
            continue;
        }
        std::optional<int> season = row.season;
        if (!season && row.first && row.last) {
            const int from = nature::season_of(*row.first, row.place.lat);
            season = from == nature::season_of(*row.last, row.place.lat) ? std::optional{from}
                                                                         : std::nullopt;
        }
        const bool wanted = codes.empty() || codes.contains(row.taxon);
        if (!season || *season < wishes.first_season || *season > wishes.last_season) {
            continue;
        }
        if (row.count.value_or(1) > 1 || row.form == PlaceForm::Cell ||
            row.uncertainty.value_or(Metres{0}).value() > coarse) {
            out.coarse += wanted ? 1 : 0;
            continue;
        }
        out.taken += wanted ? 1 : 0;
        nests.push_back({row.place, *season, wanted, !row.taxon.empty()});
    }
    return out;
}

LonLat middle_of(const std::vector<BookNest>& nests)
{
    // The longitudes as seen from the first: a region may lie across the antimeridian.
    const double first = nests.front().at.lon.value();
    double east = 0;
    double north = 0;
    for (const auto& nest : nests) {
        east += std::remainder(nest.at.lon.value() - first, 360.0);
        north += nest.at.lat.value();
    }
    const double count = static_cast<double>(nests.size());
    return {Longitude{std::remainder(first + east / count, 360.0)}, Latitude{north / count}};
}

bool is_same_file(const std::filesystem::path& a, const std::filesystem::path& b)
{
    std::error_code error;
    return std::filesystem::equivalent(a, b, error) && !error;
}

double area_of(const std::vector<PlaneRing>& land)
{
    double area = 0;
    for (const auto& ring : land) {
        area += density::ring_area(ring);
    }
    return area;
}

struct Land {
    std::vector<PlaneRing> rings;
    std::string words;
};

Land land_of(const DensityWishes& wishes, const place::EqualArea& plane,
             std::span<const PlanePoint> points)
{
    if (!wishes.searched.empty()) {
        Land land;
        for (const auto& ring : intake::read_area(wishes.searched)) {
            PlaneRing flat;
            for (const auto& point : ring) {
                flat.push_back(plane.plane(point));
            }
            land.rings.push_back(std::move(flat));
        }
        land.words = fmt::format("the land of {}",
                                 std::filesystem::path{wishes.searched}.filename().string());
        return land;
    }
    const double around = density::ring_area(density::ring_around(points, kLeastMargin));
    const double margin =
        std::max(kLeastMargin, std::sqrt(around / static_cast<double>(points.size())) / 2);
    return {{density::ring_around(points, margin)},
            fmt::format("the land around all known nests and {:.1f} km beyond the outermost "
                        "(assumed, no survey says so)",
                        margin / 1000)};
}

}  // namespace

density::DensityMap map_density(const book::Book& book, const Preferences& preferences,
                                const DensityWishes& wishes, const Workers& workers)
{
    if (!wishes.searched.empty() && is_same_file(wishes.searched, book.path())) {
        throw Failure{ErrorCode::InvalidInput,
                      "is the book itself; the land searched is a file of its own",
                      wishes.searched};
    }
    const auto taxa = taxa_in_use(book, preferences);
    std::set<std::string> codes;
    std::vector<std::string> names;
    for (const auto& typed : wishes.species) {
        const auto* taxon = taxa->recognise(typed);
        if (taxon == nullptr) {
            throw Failure{
                ErrorCode::InvalidInput,
                fmt::format("no wasp is called {}; `nestround taxa list` has them", typed),
                "--species"};
        }
        codes.insert(taxon->code);
        names.push_back(taxon->name);
    }
    auto nests = nests_of(book, wishes, codes);
    const auto partners =
        wishes.with_partners ? add_partners(book, wishes, codes, nests) : PartnerNests{};
    if (nests.empty()) {
        throw Failure{
            ErrorCode::NotFound,
            fmt::format(
                "has no call about a nest of {}; name others with --season 2024..2026",
                wishes.first_season == wishes.last_season
                    ? fmt::format("season {}", wishes.first_season)
                    : fmt::format("seasons {} to {}", wishes.first_season, wishes.last_season)),
            book.path().string()};
    }
    const place::EqualArea plane{middle_of(nests)};
    std::vector<PlanePoint> points;
    for (const auto& nest : nests) {
        points.push_back(plane.plane(nest.at));
    }
    auto land = land_of(wishes, plane, points);
    // The surface's cells: so many along the longer side.
    const auto box = value_or_throw(density::grid_around(land.rings, 1000));
    const double longer = std::max(box.east() - box.west, box.north() - box.south);
    const double cell = longer / static_cast<double>(std::max<std::size_t>(wishes.columns, 1));
    const auto searched = value_or_throw(
        density::within(value_or_throw(density::grid_around(land.rings, cell)), land.rings));

    std::vector<KnownNest> in_land;
    std::vector<int> seasons_of;
    std::vector<PlanePoint> wanted;
    std::size_t beyond = 0;
    std::size_t unnamed = 0;
    for (std::size_t i = 0; i < nests.size(); ++i) {
        if (!density::holds(land.rings, points[i])) {
            beyond += nests[i].wanted ? 1 : 0;
            continue;
        }
        in_land.push_back({points[i], nests[i].wanted});
        seasons_of.push_back(nests[i].season);
        unnamed += nests[i].named ? 0 : 1;
        if (nests[i].wanted) {
            wanted.push_back(points[i]);
        }
    }
    std::optional<density::Smoothing> chosen;
    double smoothing = wishes.smoothing_m.value_or(0);
    if (!wishes.smoothing_m) {
        const density::SmoothingLimits limits{std::max(50.0, cell), longer, 4000};
        // A coarser grid is enough to know the edge by.
        const auto coarse = value_or_throw(density::within(
            value_or_throw(density::grid_around(land.rings, std::max(cell, longer / 150))),
            land.rings));
        auto found =
            density::choose_smoothing(wanted.size() >= 2 ? wanted : points, coarse, limits);
        if (found) {
            chosen = *found;
        }
        smoothing = chosen ? chosen->metres : std::max(1000.0, longer / kFewestCells);
    }
    const int count = wishes.last_season - wishes.first_season + 1;
    auto surface = value_or_throw(density::kernel_surface(wanted, searched, smoothing, workers));
    for (std::size_t i = 0; i < surface.per_km2.size(); ++i) {
        surface.per_km2[i] /= static_cast<float>(count);
        surface.standard_error[i] /= static_cast<float>(count);
    }
    const auto hexagons = value_or_throw(density::HexagonGrid::of_area(wishes.cell_km2 * 1e6));
    density::DensityMap answer{
        .what = (names.empty() ? "all wasps" : fmt::format("{}", fmt::join(names, ", "))) +
                (wishes.with_partners ? partners.words() : std::string{}),
        .codes = {codes.begin(), codes.end()},
        .first_season = wishes.first_season,
        .last_season = wishes.last_season,
        .plane = plane,
        .land = land.rings,
        .land_words = std::move(land.words),
        .searched_km2 = area_of(land.rings) / 1e6,
        .hexagons = hexagons,
        .cells = value_or_throw(density::count_nests(in_land, hexagons, land.rings, count)),
        .seasons = {},
        .surface = std::move(surface),
        .chosen = chosen,
        .nests = wanted.size(),
        .known = in_land.size(),
        .beyond = beyond,
        .unnamed = unnamed};
    for (int season = wishes.first_season; season <= wishes.last_season; ++season) {
        std::vector<KnownNest> of_season;
        density::SeasonCount one;
        one.season = season;
        for (std::size_t i = 0; i < in_land.size(); ++i) {
            if (seasons_of[i] == season) {
                of_season.push_back(in_land[i]);
                one.nests += in_land[i].wanted ? 1 : 0;
            }
        }
        one.known = of_season.size();
        one.cells = value_or_throw(density::count_nests(of_season, hexagons, land.rings, 1));
        answer.seasons.push_back(std::move(one));
    }
    return answer;
}

}  // namespace nestround::app
