/// \file map_density.hpp
/// \brief Use case: where nests are dense, from the book's calls.
///
/// Purpose:  `nestround density`: counts on hexagons and a smooth surface, always beside how much
///           was searched.
/// Units:    nests per square kilometre and season; metres; seasons are years.
/// Range:    seasons 1900 to 2999.
/// Accuracy: as geocore/density; a nest counts once, however many calls spoke of it.
/// Errors:   Failure: InvalidInput (unknown species, cells too small, the book as the land),
/// NotFound
///           when no nest of these seasons has a place; what reading the book or the land throws.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/base/workers.hpp"
#include "geocore/book/book.hpp"
#include "geocore/density/density_map.hpp"
#include "planner/app/preferences.hpp"

namespace nestround::app {

struct DensityWishes {
    std::vector<std::string> species;  ///< codes or names; empty: all
    int first_season = 0;
    int last_season = 0;
    double cell_km2 = 4;
    std::optional<double> smoothing_m;
    std::string searched;       ///< a layer of polygons; empty: land around all known nests
    std::size_t columns = 400;  ///< of the surface's grid along its longer side
    /// Nests of partners too that were accepted as theirs; the map's title says how many.
    bool with_partners = false;
};

[[nodiscard]] density::DensityMap map_density(const book::Book& book,
                                              const Preferences& preferences,
                                              const DensityWishes& wishes, const Workers& workers);

}  // namespace nestround::app
