/// \file density_picture.hpp
/// \brief Where nests are dense, drawn: one map of all seasons, or a sheet of small ones.
///
/// Purpose:  a page for the wall or a report: cells with their counts, legend, scale, date, and how
///           much was searched.
/// Units:    as map.hpp; nests per square kilometre and season.
/// Range:    as map.hpp; up to twelve small maps.
/// Accuracy: as map.hpp.
/// Promise:  the same input and fonts give the same bytes. The five inks fall in lightness by even
///           steps, so that a photocopy keeps them apart; a cell by which fewer than three nests of
///           any kind are known has a broken rim.
/// Errors:   as map.hpp; BadUsage for more than twelve seasons on a sheet.
/// Source:   own.
#pragma once

#include <string>

#include "geocore/density/density_map.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::sheets {

struct DensityPicture {
    std::string title;        ///< the region
    std::string attribution;  ///< of the roads, may be empty
    std::string drawn_on;     ///< a day, as it stands on the sheet
    bool each_season = false;
};

[[nodiscard]] MapWindow density_window(const density::DensityMap& map,
                                       const MapOptions& options = {});
[[nodiscard]] std::string draw_density(const density::DensityMap& map,
                                       const DensityPicture& picture, const MapRoads& roads,
                                       const MapOptions& options = {});

/// Upper bounds of the five classes that hold `most`, rising: numbers such as 0.5, 1, 2, 5, 10.
[[nodiscard]] std::vector<double> class_bounds(double most);

}  // namespace nestround::sheets
