/// \file density_map.hpp
/// \brief Where nests are dense, as one value that sheets, files and pages show.
///
/// Purpose:  counts, surface and how much was searched stay together: none is shown without the
///           others.
/// Units:    nests per square kilometre and season; seasons are years.
/// Range:    as kernel.hpp and hexagons.hpp.
/// Accuracy: as kernel.hpp and hexagons.hpp; a nest counts once, however many calls spoke of it.
/// Errors:   none.
/// Source:   kExtremePerKm2: the least of the 8 to 34 nests a hectare that Landcare Research,
/// citing
///           Barlow and others 2002, gives for New Zealand's honeydew beech forest (published).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/density/hexagons.hpp"
#include "geocore/density/kernel.hpp"

namespace nestround::density {

/// A cell above this is a sign of doubled records or of a very small cell, and is pointed out.
inline constexpr double kExtremePerKm2 = 800;

/// One season of several, on cells of the same size.
struct SeasonCount {
    int season = 0;
    std::size_t nests = 0;
    std::size_t known = 0;
    std::vector<CountedCell> cells;
};

struct DensityMap {
    std::string what;                ///< "Vespula germanica", "all wasps"
    std::vector<std::string> codes;  ///< of the species; empty: all
    int first_season = 0;
    int last_season = 0;
    place::EqualArea plane;
    std::vector<PlaneRing> land;  ///< searched; outer rings counterclockwise, holes clockwise
    std::string land_words;       ///< how it was found
    double searched_km2 = 0;
    HexagonGrid hexagons;
    std::vector<CountedCell> cells;  ///< over all seasons
    std::vector<SeasonCount> seasons;
    Surface surface;                  ///< wanted nests, a season
    std::optional<Smoothing> chosen;  ///< empty when named by the user or not to be chosen
    std::size_t nests = 0;            ///< wanted, in the land
    std::size_t known = 0;            ///< all, in the land
    std::size_t beyond = 0;           ///< wanted, outside the land: not counted
    std::size_t unnamed = 0;          ///< known, without a species

    [[nodiscard]] int season_count() const { return last_season - first_season + 1; }
};

}  // namespace nestround::density
