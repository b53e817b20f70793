/// \file crew.hpp
/// \brief Crews and what is on their trucks.
///
/// Purpose:  plain records as the book holds them.
/// Units:    in the types.
/// Range:    a crew has at least one person and a shift that ends after it begins.
/// Accuracy: as entered.
/// Errors:   none; the book's CHECKs refuse bad values.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"

namespace nestround {

/// What a piece of gear is: a pole for the vacuum, a ladder, a vacuum, a box for dry ice, ...
enum class GearKind { Pole, Ladder, Vacuum, ColdBox, CombBox, Suit, Other };

[[nodiscard]] std::string_view text(
    GearKind kind);  ///< "pole", "ladder", "vacuum", "cold_box", ...
[[nodiscard]] std::optional<GearKind> gear_kind(std::string_view text);

/// A step ladder stands by itself; the others lean.
enum class LadderType { Unknown, Single, Extension, Step };

[[nodiscard]] std::string_view text(LadderType type);  ///< "unknown", "single", ...
[[nodiscard]] std::optional<LadderType> ladder_type(std::string_view text);

struct Gear {
    GearId id;
    std::optional<CrewId> crew;  ///< whose truck it is on; empty: in the store
    GearKind kind = GearKind::Other;
    std::string label;
    std::optional<Metres> length;      ///< pole: longest; ladder: nominal size
    std::optional<Grams> load_rating;  ///< ladder: the most it may carry
    std::optional<Grams> mass;
    int count = 1;
    std::string note;
    LadderType ladder_type = LadderType::Unknown;
};

struct Crew {
    CrewId id;
    std::string name;
    LonLat depot{};  ///< where the day begins and ends
    ClockTime shift_begins{};
    ClockTime shift_ends{};
    int people = 1;
    bool active = true;
    std::string note;
    std::vector<Gear> gear;  ///< what is on the truck
};

}  // namespace nestround
