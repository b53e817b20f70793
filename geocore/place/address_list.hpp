/// \file address_list.hpp
/// \brief Houses, streets and settlements as a reader found them, joined into one list.
///
/// Purpose:  every house belongs to a street of a settlement, every stretch of a street to the
///           settlement whose houses stand along it; numbers between two known ones are filled in
///           where the source says how they run.
/// Units:    degrees on WGS 84; metres.
/// Range:    any number; a house without street belongs to its settlement.
/// Accuracy: a filled-in number is marked and as uncertain as the farther known end is away.
/// Errors:   none; what has neither street nor settlement is counted as left out.
/// Source:   own; tags addr:* and addr:interpolation as the OpenStreetMap wiki describes them.
/// Radii
///           of settlements and of a house number are assumptions, see docs/reference/places.md.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "geocore/units/units.hpp"

namespace nestround::place {

/// How far a house may be from the point that carries its number; an assumption: within its plot.
inline constexpr Metres kHouseUncertainty{15};

struct RawHouse {
    LonLat at{};
    std::string number;
    std::string street;
    std::string city;
    std::string postcode;
    Metres uncertainty = kHouseUncertainty;
};

/// Numbers from the first to the last point of a line, each `step` after the one before.
struct RawNumberRun {
    RawHouse first;
    RawHouse last;
    int step = 2;
    std::vector<LonLat> line;
};

struct RawStretch {
    std::string name;
    LonLat low{};  ///< south-west corner
    LonLat high{};
};

struct RawSettlement {
    std::string name;
    std::string kind;  ///< city, town, village, hamlet, ...
    LonLat at{};
};

struct RawAddresses {
    std::vector<RawHouse> houses;
    std::vector<RawNumberRun> runs;
    std::vector<RawStretch> stretches;
    std::vector<RawSettlement> settlements;
    std::string source;
    std::string attribution;
};

/// A street of a settlement, or a settlement.
struct AddressSpot {
    std::string kind;  ///< "street" or a settlement's
    std::string name;
    std::string city;
    std::string postcodes;  ///< split by blanks
    LonLat at{};
    Metres uncertainty{};
    std::size_t houses = 0;
};

struct AddressHouse {
    std::uint32_t spot = 0;
    int first = 0;
    int last = 0;
    std::string shown;
    LonLat at{};
    Metres uncertainty{};
    bool filled_in = false;
};

struct AddressList {
    std::vector<AddressSpot> spots;    ///< settlements first, then streets with most houses first
    std::vector<AddressHouse> houses;  ///< by spot, number and text
    std::size_t left_out = 0;
};

/// Drops what stands twice in every respect, as overlapping files have it; tells how many.
std::size_t drop_doubles(RawAddresses& raw);

[[nodiscard]] AddressList join_addresses(const RawAddresses& raw);

}  // namespace nestround::place
