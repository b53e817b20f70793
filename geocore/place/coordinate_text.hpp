/// \file coordinate_text.hpp
/// \brief Coordinates as people and other programs write them.
///
/// Purpose:  decimal degrees; degrees, minutes and seconds with signs or letters; `geo:` URIs; UTM
///           and MGRS. What may be read two ways is told, never decided in silence.
/// Units:    degrees on WGS 84; grids in metres.
/// Range:    minutes and seconds below 60; no sign together with a letter. Without letters latitude
///           comes first; when only the other order is on Earth, that one is taken and told. UTM as
///           "18T 290000 4560000" or "18 north ...", MGRS as "18TTL9000060000". A result may be off
///           the Earth: see is_on_earth.
/// Accuracy: that of the text; a grid square gives its middle and half its diagonal.
/// Errors:   nothing for a text that is no coordinates.
/// Source:   latitude first as in ISO 6709; RFC 5870 for geo URIs; UTM and MGRS by GeographicLib.
#pragma once

#include <optional>
#include <string_view>

#include "geocore/units/units.hpp"

namespace nestround::place {

enum class Notation { Degrees, DegreesMinutes, DegreesMinutesSeconds, GeoUri, Utm, Mgrs };
[[nodiscard]] std::string_view text(Notation notation);

struct CoordinateReading {
    LonLat at{};
    Notation notation = Notation::Degrees;
    std::optional<Metres> uncertainty;  ///< where the notation tells one
    /// The other place that the same text may mean: longitude first, or the letter S of UTM as the
    /// southern half.
    std::optional<LonLat> swapped;
    bool longitude_first = false;  ///< because latitude first would be off the Earth
};

[[nodiscard]] std::optional<CoordinateReading> read_coordinates(std::string_view text);

}  // namespace nestround::place
