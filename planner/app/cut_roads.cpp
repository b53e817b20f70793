#include "planner/app/cut_roads.hpp"

namespace nestround::app {

namespace {

sheets::RoadRank rank_of(roads::RoadClass road_class)
{
    using roads::RoadClass;
    switch (road_class) {
        case RoadClass::Motorway:
        case RoadClass::MotorwayLink:
        case RoadClass::Trunk:
        case RoadClass::TrunkLink:
            return sheets::RoadRank::Fast;
        case RoadClass::Primary:
        case RoadClass::PrimaryLink:
            return sheets::RoadRank::Main;
        case RoadClass::Secondary:
        case RoadClass::SecondaryLink:
        case RoadClass::Tertiary:
        case RoadClass::TertiaryLink:
            return sheets::RoadRank::Linking;
        case RoadClass::Track:
            return sheets::RoadRank::Track;
        case RoadClass::Ferry:
            return sheets::RoadRank::Ferry;
        case RoadClass::Unclassified:
        case RoadClass::Residential:
        case RoadClass::LivingStreet:
        case RoadClass::Service:
            break;
    }
    return sheets::RoadRank::Local;
}

}  // namespace

sheets::MapRoads cut_roads(const roads::RoadNetwork& network, const sheets::MapWindow& window)
{
    const roads::RoadBox box{roads::road_point({Longitude{window.west}, Latitude{window.south}}),
                             roads::road_point({Longitude{window.east}, Latitude{window.north}})};
    sheets::MapRoads cut;
    for (const auto index : network.edges_within(box)) {
        auto& road = cut.roads.emplace_back();
        road.rank = rank_of(network.edge(index).road_class);
        for (const auto point : network.line(index)) {
            road.line.push_back(roads::lon_lat(point));
        }
    }
    return cut;
}

}  // namespace nestround::app
