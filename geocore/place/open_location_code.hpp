/// \file open_location_code.hpp
/// \brief Open location codes, known as plus codes: a place as a short word, both ways.
///
/// Purpose:  a code that a caller reads out becomes a place, and a place becomes a code that can be
///           read out where a street has no numbers. Letters' case does not matter.
/// Units:    degrees on WGS 84. A code of n digits is a rectangle: 10 digits are 1/8000 degree a
///           side, about 14 m north to south.
/// Range:    2, 4, 6, 8 or 10 to 15 digits. Latitude is clipped to the poles, longitude wrapped.
///           Digits after the fifteenth are checked and ignored.
/// Accuracy: exact to 4e-8 degree of latitude and 1.3e-7 of longitude, the fifteenth digit.
/// Errors:   InvalidInput for what is not a code of the kind wanted.
/// Source:   the Open Location Code specification, public repository google/open-location-code;
///           checked against its test vectors in tests/published/places.
#pragma once

#include <string>
#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::place {

enum class PlusCode {
    None,   ///< not valid
    Short,  ///< valid, needs a place nearby to be complete
    Full,
};
[[nodiscard]] PlusCode plus_code_kind(std::string_view text);

/// The rectangle that a code stands for.
struct PlusCodeArea {
    double south = 0;
    double west = 0;
    double north = 0;
    double east = 0;
    int digits = 0;

    [[nodiscard]] LonLat centre() const;
};

[[nodiscard]] Result<std::string> encode_plus_code(LonLat place, int digits = 10);
[[nodiscard]] Result<PlusCodeArea> decode_plus_code(std::string_view full_code);

/// As many leading digits left out as somebody who knows `near` can do without; the code itself
/// when none can be.
[[nodiscard]] Result<std::string> shorten_plus_code(std::string_view full_code, LonLat near);
/// The full code nearest to `near` that ends in `code`; a full code comes back in capitals.
[[nodiscard]] Result<std::string> recover_plus_code(std::string_view code, LonLat near);

}  // namespace nestround::place
