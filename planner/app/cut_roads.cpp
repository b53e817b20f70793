#include "planner/app/cut_roads.hpp"

#include <cmath>

#include "geocore/roads/map_lines.hpp"

namespace nestround::app {

namespace {

/// What a line may be off by on paper without being seen, of the map's height.
constexpr double kFinePart = 1.0 / 2400;  // of the map: 0.08 mm of 194 mm

}  // namespace

sheets::MapRoads cut_roads(const roads::RoadNetwork& network, const sheets::MapWindow& window)
{
    // A little beyond the window, so that no line's end is seen at its border.
    const double lon = (window.east - window.west) / 50;
    const double lat = (window.north - window.south) / 50;
    const roads::RoadBox box{
        roads::road_point({Longitude{window.west - lon}, Latitude{window.south - lat}}),
        roads::road_point({Longitude{window.east + lon}, Latitude{window.north + lat}})};
    constexpr double kMetresPerDegree = 111'195;
    const Metres fine{(window.north - window.south) * kMetresPerDegree * kFinePart};
    sheets::MapRoads cut;
    for (const auto& line : roads::lines_in(network, box, roads::zoom_for(fine))) {
        auto& road = cut.roads.emplace_back();
        road.rank = sheets::road_rank(line.road_class);
        for (const auto point : line.line) {
            road.line.push_back(roads::lon_lat(point));
        }
    }
    return cut;
}

}  // namespace nestround::app
