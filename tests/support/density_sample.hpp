/// \file density_sample.hpp
/// \brief A made-up map of nests: 12 of one kind among 20, on a square of 100 km2, in two seasons.
#pragma once

#include "geocore/density/density_map.hpp"

namespace nestround::testing {

inline density::DensityMap density_sample()
{
    using namespace density;
    const std::vector<PlaneRing> land{{{0, 0}, {10'000, 0}, {10'000, 10'000}, {0, 10'000}}};
    std::vector<KnownNest> nests;
    std::vector<PlanePoint> wanted;
    for (int i = 0; i < 20; ++i) {
        const PlanePoint at{500.0 + 450 * i, i < 6 ? 5'000.0 : 700.0 + 400 * i};
        nests.push_back({at, i < 12});
        if (i < 12) {
            wanted.push_back(at);
        }
    }
    const auto grid = HexagonGrid::of_area(4e6).value();
    const auto searched = within(grid_around(land, 200).value(), land).value();
    DensityMap map{.what = "Vespula made",
                   .codes = {"VMAD"},
                   .first_season = 2025,
                   .last_season = 2026,
                   .plane = place::EqualArea{{Longitude{-77}, Latitude{41.2}}},
                   .land = land,
                   .land_words = "a made-up square",
                   .searched_km2 = 100,
                   .hexagons = grid,
                   .cells = count_nests(nests, grid, land, 2).value(),
                   .seasons = {},
                   .surface = kernel_surface(wanted, searched, 800).value(),
                   .chosen = std::nullopt,
                   .nests = 12,
                   .known = 20,
                   .beyond = 2,
                   .unnamed = 3};
    for (const int season : {2025, 2026}) {
        const auto half = std::span{nests}.subspan(season == 2025 ? 0 : 10, 10);
        map.seasons.push_back(
            {season, season == 2025 ? 10U : 2U, 10, count_nests(half, grid, land, 1).value()});
    }
    return map;
}

}  // namespace nestround::testing
