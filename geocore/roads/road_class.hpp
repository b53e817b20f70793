/// \file road_class.hpp
/// \brief What kind of road a stretch is.
///
/// Purpose:  the one list of classes: speeds, drawing and reports hang on it.
/// Units:    none; the numbers are stored in road files and never change their meaning.
/// Range:    importance falls from Motorway to Track; links count with their road.
/// Accuracy: not applicable.
/// Errors:   an unknown word gives nothing.
/// Source:   values of the key `highway` of OpenStreetMap that a truck may use.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace nestround::roads {

enum class RoadClass : std::uint8_t {
    Motorway = 0,
    MotorwayLink = 1,
    Trunk = 2,
    TrunkLink = 3,
    Primary = 4,
    PrimaryLink = 5,
    Secondary = 6,
    SecondaryLink = 7,
    Tertiary = 8,
    TertiaryLink = 9,
    Unclassified = 10,
    Residential = 11,
    LivingStreet = 12,
    Service = 13,
    Track = 14,
    Ferry = 15,
};
inline constexpr std::size_t kRoadClasses = 16;

[[nodiscard]] std::string_view text(RoadClass road_class);  ///< "motorway", "motorway_link", ...
[[nodiscard]] std::optional<RoadClass> road_class(std::string_view word);

}  // namespace nestround::roads
