/// \file raw_roads.hpp
/// \brief Roads as a reader found them, before they become a network.
///
/// Purpose:  one neutral form for every source of roads; its tags are already read, its geometry is
///           still a list of vertices by number, and ways meet where they share a number.
/// Units:    kilometres per hour; seconds; 1e-7 degree.
/// Range:    any numbers; a way may name vertices that are not there (clipped extracts).
/// Accuracy: as the source.
/// Errors:   none; what was left out while reading is counted by reason.
/// Source:   own.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/roads/road_class.hpp"
#include "geocore/roads/road_point.hpp"

namespace nestround::roads {

/// What a stretch of road is like to a truck. Forward is the direction in which it is drawn.
struct RoadAttributes {
    RoadClass road_class = RoadClass::Unclassified;
    bool forward_open = true;
    bool backward_open = true;
    double forward_kmh = 0;  ///< average speed driven, above 0
    double backward_kmh = 0;
    std::optional<seconds> duration;  ///< of the whole way, for a ferry; then speeds don't count
    bool by_leave = false;            ///< private: only by leave of its owner
    bool roundabout = false;
    bool unpaved = false;
    std::string name;  ///< as signposted, else its number, else empty
};

struct RawWay {
    std::int64_t id = 0;
    std::vector<std::int64_t> nodes;  ///< numbers of vertices in drawing direction
    RoadAttributes road;
};

struct RawNode {
    std::int64_t id = 0;
    RoadPoint at;
    bool closed = false;  ///< a barrier that no truck passes stands here
};

/// Read and counted, not applied yet: the network is kept by junction, not by turn.
struct TurnRestriction {
    std::int64_t from_way = 0;
    std::int64_t via_node = 0;
    std::int64_t to_way = 0;
    bool only = false;  ///< only this turn is allowed, rather than this turn is not
};

/// Something left out or mended, how often, and where to look at one.
struct LeftOut {
    std::string reason;
    std::size_t count = 0;
    std::string example;
};

/// Adds one to the entry of `reason`, keeping the first example.
void count_left_out(std::vector<LeftOut>& list, std::string_view reason, std::string example);

struct RawRoads {
    std::vector<RawWay> ways;
    std::vector<RawNode> nodes;
    std::vector<TurnRestriction> restrictions;
    std::vector<LeftOut> left_out;
    std::size_t ways_seen = 0;  ///< roads of any kind in the source, used or not
    std::string attribution;    ///< to be printed with any map
    std::string source;         ///< file name without its folder
};

}  // namespace nestround::roads
