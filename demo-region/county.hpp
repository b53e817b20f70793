/// \file county.hpp
/// \brief The invented county: river, places, roads and houses.
///
/// Purpose:  the demo's stage, made anew from a seed; build_county is the list of its steps.
/// Units:    metres on the stage.
/// Range:    50 km by 40 km; one seed is shipped, others make other counties.
/// Accuracy: same seed and program, same county.
/// Errors:   none.
/// Source:   own; everything is invented.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "demo-region/names.hpp"
#include "demo-region/network.hpp"
#include "demo-region/plane.hpp"
#include "geocore/base/random.hpp"

namespace nestround::demo {

inline constexpr double kHalfWidth = 25000;
inline constexpr double kHalfHeight = 20000;

enum class PlaceKind { Town, Village, Corner, Shore };

struct Place {
    PlaceKind kind = PlaceKind::Corner;
    Vec at;
    double radius = 0;  ///< of what is built up
    std::string name;   ///< empty for a corner in the fields
};

/// Where somebody lives, and the road of the postal address.
struct House {
    Vec at;
    std::string street;
    int number = 0;
};

struct County {
    explicit County(std::uint64_t seed);

    std::uint64_t seed;
    Random random;
    NameMaker names;
    std::string name;
    std::string river_name;
    Network network;
    std::vector<Place> places;
    Line motorway;  ///< its middle line
    std::vector<House> houses;
};

/// The settlement that a place belongs to, for its address.
[[nodiscard]] std::string nearest_town(const County& county, Vec at);

[[nodiscard]] std::unique_ptr<County> build_county(std::uint64_t seed);

// The steps, in the order in which build_county takes them; one file each.
[[nodiscard]] Line draw_river(Random& random);
void settle(County& county);            ///< towns, villages and corners between fields
void lay_motorway(County& county);      ///< two one-way carriageways, apart from other roads
void lay_main_roads(County& county);    ///< from trunk roads to lanes, with the few bridges
void lay_town_streets(County& county);  ///< street grids, old cores, closes
void lay_ferry(County& county);         ///< one, far from the bridges
void lay_interchanges(County& county);  ///< ramps of the motorway
void grow_farms(County& county);        ///< drives and tracks off the lanes
void make_roundabouts(County& county);
void drop_loose_pieces(County& county);  ///< and one-way streets that trap a driver
void set_barriers(County& county);
void name_streets(County& county);
void find_houses(County& county);

}  // namespace nestround::demo
