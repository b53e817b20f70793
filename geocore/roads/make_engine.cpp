#include "geocore/roads/make_engine.hpp"

#include <utility>

#include "geocore/roads/dijkstra_engine.hpp"

namespace nestround::roads {

std::unique_ptr<TravelEngine> make_engine(std::shared_ptr<const RoadNetwork> network,
                                          EngineOptions options)
{
    return std::make_unique<DijkstraEngine>(std::move(network), options);
}

}  // namespace nestround::roads
