/// \file road_picture.hpp
/// \brief What the roads answer, drawn: areas reached within so many minutes, or a way driven.
///
/// Purpose:  a page in the style of the morning's map for `roads reach` and `roads path`.
/// Units:    as map.hpp.
/// Range:    as map.hpp; bands beyond the sixth take the sixth's colour.
/// Accuracy: as map.hpp.
/// Promise:  the same input and fonts give the same bytes.
/// Errors:   as map.hpp.
/// Source:   own; the bands' colours fall in lightness, so they read in grey.
#pragma once

#include <string>
#include <vector>

#include "geocore/place/line_area.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::sheets {

struct PictureBand {
    std::string words;  ///< "15 minutes"
    std::string more;   ///< a quieter second line
    place::Area area;
};

struct PictureMark {
    LonLat at{};
    std::string letter;  ///< one
    std::string words;
};

struct RoadPicture {
    std::string title;
    std::string subtitle;
    std::vector<PictureBand> bands;  ///< the least first
    std::vector<LonLat> way;         ///< may be empty
    std::vector<PictureMark> marks;
    std::vector<std::string> facts;  ///< lines beside the map
    std::string attribution;
};

[[nodiscard]] MapWindow picture_window(const RoadPicture& picture, const MapOptions& options = {});
/// The bytes of the picture.
[[nodiscard]] std::string draw_road_picture(const RoadPicture& picture, const MapRoads& roads,
                                            const MapOptions& options = {});

}  // namespace nestround::sheets
