/// \file tiles.hpp
/// \brief Roads as vector tiles.
///
/// Purpose:  the map of the page draws any number of roads without holding them all.
/// Units:    tiles of the web's usual pyramid: spherical Mercator, 4096 steps a side.
/// Range:    zoom 0 to 20; small roads are left out far away, as map_lines.hpp draws them. From
/// zoom
///           14 on each stretch comes by itself, with its name.
/// Accuracy: half a step of rounding; below zoom 14 a line is thinned by one dot at most.
/// Cost:     the edges near the tile; the last kKept tiles are kept packed as they are sent.
/// Errors:   none; a tile without roads is an empty text.
/// Source:   Mapbox Vector Tile Specification 2.1; protozero.
#pragma once

#include <cstdint>
#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <tuple>

#include "geocore/roads/network.hpp"

namespace nestround::desk {

inline constexpr int kFinestTile = 20;
inline constexpr int kNamedFrom = 14;  ///< zoom from which roads have their names

struct TileKey {
    int zoom = 0;
    int x = 0;
    int y = 0;

    friend auto operator<=>(const TileKey&, const TileKey&) = default;
};

/// Whether there is such a tile.
[[nodiscard]] bool is_tile(TileKey key);
/// One layer, "roads", with "class" and, when near, "name".
[[nodiscard]] std::string road_tile(const roads::RoadNetwork& network, TileKey key);

class TileCache {
public:
    static constexpr std::size_t kKept = 2048;

    [[nodiscard]] std::shared_ptr<const std::string> road_tile(const roads::RoadNetwork& network,
                                                               TileKey key);

private:
    std::mutex mutex_;
    std::list<TileKey> order_;  ///< the one used last comes first
    struct Held {
        std::shared_ptr<const std::string> tile;
        std::list<TileKey>::iterator place;
    };
    std::map<TileKey, Held> tiles_;
};

}  // namespace nestround::desk
