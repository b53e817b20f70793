#include "planner/app/cut_roads.hpp"

namespace nestround::app {

sheets::MapRoads cut_roads(const roads::RoadNetwork& network, const sheets::MapWindow& window)
{
    const roads::RoadBox box{roads::road_point({Longitude{window.west}, Latitude{window.south}}),
                             roads::road_point({Longitude{window.east}, Latitude{window.north}})};
    sheets::MapRoads cut;
    for (const auto index : network.edges_within(box)) {
        auto& road = cut.roads.emplace_back();
        road.rank = sheets::road_rank(network.edge(index).road_class);
        for (const auto point : network.line(index)) {
            road.line.push_back(roads::lon_lat(point));
        }
    }
    return cut;
}

}  // namespace nestround::app
