/// \file snapper.hpp
/// \brief From a place to the point of the road network where a crew parks.
///
/// Purpose:  a stop lies on an edge, not at the nearest junction.
/// Units:    degrees in; metres and a share of the edge out.
/// Range:    only edges of the network, that is of the part that can be reached and left again; the
///           nearest of them, ties by lower number. Not across the antimeridian or at a pole.
/// Accuracy: the nearest point is found in a plane touching the Earth at the place (2e-4 at 2 km);
///           the distance told is geodesic.
/// Errors:   InvalidInput when no road lies within the limit, or the place is not on Earth; the
///           message tells how far the nearest road is, if any lies within fifty times the limit.
/// Cost:     some 10 us a place near a road; nothing to start, as the network keeps its boxes.
/// Source:   own; growing windows of RoadNetwork::edges_within.
#pragma once

#include <memory>
#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"
#include "geocore/units/units.hpp"

namespace nestround::roads {

inline constexpr Metres kSnapLimit{2000};

class Snapper {
public:
    explicit Snapper(std::shared_ptr<const RoadNetwork> network);

    /// `what` names the place in a message.
    [[nodiscard]] Result<RoadStop> snap(LonLat place, std::string_view what = "place",
                                        Metres limit = kSnapLimit) const;

    [[nodiscard]] const std::shared_ptr<const RoadNetwork>& network() const { return network_; }

private:
    std::shared_ptr<const RoadNetwork> network_;
};

}  // namespace nestround::roads
