#include "geocore/intake/places.hpp"

#include <fmt/format.h>

#include "geocore/intake/fields.hpp"
#include "geocore/place/coordinate_text.hpp"

namespace nestround::intake {

Result<LonLat> parse_place(std::string_view text)
{
    const auto reading = place::read_coordinates(text);
    if (!reading) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is not a place; write latitude and longitude, as "
                                "'41.2,-77.1' or '41 12 30 N 77 6 0 W'",
                                shown(text)));
    }
    if (!is_on_earth(reading->at) || reading->longitude_first) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is not on Earth; latitude comes first", shown(text)));
    }
    return reading->at;
}

}  // namespace nestround::intake
