/// \file places.hpp
/// \brief Coordinates as a person writes them.
///
/// Purpose:  "41.2,-77.1", "41 12 30 N 77 6 0 W", and all that place/coordinate_text.hpp reads.
/// Units:    degrees on WGS 84. Without letters latitude comes first.
/// Range:    on Earth.
/// Accuracy: that of the text.
/// Errors:   InvalidInput with the forms understood.
/// Source:   own; latitude first as in ISO 6709.
#pragma once

#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::intake {

[[nodiscard]] Result<LonLat> parse_place(std::string_view text);

}  // namespace nestround::intake
