/// \file cut_off_roads.hpp
/// \brief Stops whose nearest road cannot be reached.
///
/// Purpose:  a network keeps only what can be reached from everywhere and left again. A stop that
///           lies on another road, an island or the far bank of a river without a bridge, is put on
///           the nearest kept one, which may be the wrong one: that must be told.
/// Units:    metres.
/// Range:    lines that were not kept; those that share an end are one part.
/// Accuracy: distances in a plane touching the Earth at the stop, 1e-3.
/// Cost:     a look at each line's box a stop.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::roads {

/// A road that lies nearer than the one a stop was put on, but is not kept.
struct CutOffRoad {
    Metres away{};
    Metres part_length{};  ///< of all roads that hang together with it
    std::size_t part_lines = 0;
    LonLat nearest{};  ///< its point nearest to the place
};

/// Nearer by less is not told: a stop lies between two roads.
inline constexpr Metres kToldFrom{25};

class CutOffRoads {
public:
    explicit CutOffRoads(std::shared_ptr<const RoadNetwork> network);

    /// The nearest not kept within `limit`.
    [[nodiscard]] std::optional<CutOffRoad> nearest(LonLat place, Metres limit) const;

    /// A line for a person when `stop`, where `place` was put, is not on the nearest road.
    [[nodiscard]] std::optional<std::string> warning(LonLat place, const RoadStop& stop,
                                                     std::string_view what) const;

private:
    struct Part {
        double metres = 0;
        std::size_t lines = 0;
    };

    std::shared_ptr<const RoadNetwork> network_;
    std::vector<RoadBox> boxes_;          ///< of the lines
    std::vector<std::uint32_t> part_of_;  ///< of each line
    std::vector<Part> parts_;
};

}  // namespace nestround::roads
