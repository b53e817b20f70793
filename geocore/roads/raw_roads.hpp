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

#include <compare>
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

/// What a truck must not exceed on a stretch, 0 where nothing is told. Stored in road files byte
/// for byte.
struct RoadLimits {
    std::uint32_t height_mm = 0;
    std::uint32_t width_mm = 0;
    std::uint32_t weight_kg = 0;  ///< of the laden truck
    std::uint32_t axle_kg = 0;
    std::uint32_t condition = 0;     ///< a name: when it is closed, as `no @ (22:00-06:00)`
    std::uint8_t heavy_forward = 0;  ///< HeavyAccess, of trucks above 3.5 t
    std::uint8_t heavy_backward = 0;
    std::uint16_t spare = 0;

    friend auto operator<=>(const RoadLimits&, const RoadLimits&) = default;
};
static_assert(sizeof(RoadLimits) == 24);

enum HeavyAccess : std::uint8_t { kHeavyAsLight = 0, kHeavyAtEnds = 1, kHeavyClosed = 2 };

/// Whom a turn restriction does not bind.
enum SparedTrucks : std::uint8_t { kSparesLight = 1, kSparesHeavy = 2 };

/// What a stretch of road is like to a truck. Forward is the direction in which it is drawn.
struct RoadAttributes {
    RoadClass road_class = RoadClass::Unclassified;
    bool forward_open = true;
    bool backward_open = true;
    double forward_kmh = 0;  ///< average speed driven, above 0
    double backward_kmh = 0;
    std::optional<seconds> duration;  ///< of the whole way, for a ferry; then speeds don't count
    bool by_leave = false;            ///< private: only by leave of its owner
    bool ends_only = false;           ///< only where a trip begins or ends: private, destination
    bool roundabout = false;
    bool unpaved = false;
    RoadLimits limits;      ///< its condition is not filled
    std::string condition;  ///< of closing by hour or season, empty if there is none
    std::string name;       ///< as signposted, else its number, else empty
};

struct RawWay {
    std::int64_t id = 0;
    std::vector<std::int64_t> nodes;  ///< numbers of vertices in drawing direction
    RoadAttributes road;
    /// Of a layer: the way meets others where it is drawn to, not by a number that they share.
    bool drawn = false;
    int level = 0;  ///< of a layer that tells: above or below others
};

struct RawNode {
    std::int64_t id = 0;
    RoadPoint at;
    bool closed = false;     ///< a barrier that no truck passes stands here
    bool ends_only = false;  ///< a private gate: passed only where a trip begins or ends
};

/// As it is drawn in the source; turn_rules.hpp finds its roads.
struct TurnRestriction {
    std::int64_t from_way = 0;
    std::int64_t via_node = 0;  ///< where via_ways is empty
    std::int64_t to_way = 0;
    bool only = false;  ///< only this turn is allowed, rather than this turn is not
    std::vector<std::int64_t> via_ways;
    bool u_turn = false;
    std::uint8_t spares = 0;  ///< SparedTrucks
    std::string condition;    ///< when it is in force, empty for always
    std::int64_t id = 0;
};

/// Something left out or mended, how often, and where to look at one.
struct LeftOut {
    std::string reason;
    std::size_t count = 0;
    std::string example;
};

/// Adds one to the entry of `reason`, keeping the first example.
void count_left_out(std::vector<LeftOut>& list, std::string_view reason, std::string example);

/// A restriction of which the source holds only a part; another extract may hold the rest.
struct TurnMembers {
    TurnRestriction turn;  ///< without from_way and to_way
    std::vector<std::int64_t> from;
    std::vector<std::int64_t> to;
};

/// Whether it has a road it comes from, one it leads to, and what lies between.
[[nodiscard]] bool is_whole(const TurnMembers& members);
/// A row for each pair of roads: no_entry comes from several, no_exit leads to several.
void add_turns(std::vector<TurnRestriction>& to, const TurnMembers& members);

inline constexpr std::string_view kLacksMember = "turn restriction NOT applied: it lacks a member";

/// What one of several files gave.
struct SourceRead {
    std::string name;
    std::size_t ways_seen = 0;
    std::size_t ways_taken = 0;
    std::size_t ways_known = 0;   ///< that an earlier file has too
    std::size_t ways_joined = 0;  ///< of these, those that go on where the earlier file ends
    std::vector<LeftOut> left_out;
};

struct RawRoads {
    std::vector<RawWay> ways;
    std::vector<RawNode> nodes;
    std::vector<TurnRestriction> restrictions;
    std::vector<TurnMembers> in_part;  ///< counted in left_out too
    std::vector<LeftOut> left_out;
    std::size_t ways_seen = 0;        ///< roads of any kind in the source, used or not
    std::string attribution;          ///< to be printed with any map
    std::string source;               ///< file name without its folder
    std::vector<SourceRead> sources;  ///< where it was put together from several
};

}  // namespace nestround::roads
