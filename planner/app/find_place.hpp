/// \file find_place.hpp
/// \brief Use case: from what somebody says to a place: coordinates, a plus code or an address.
///
/// Purpose:  one way for `where`, `call add` and `call import`; each answer tells how it was found
///           and how uncertain it is.
/// Units:    degrees on WGS 84; metres.
/// Range:    addresses and short plus codes with a place name need a file of places.
/// Accuracy: as each answer tells.
/// Errors:   place_of: InvalidInput when nothing fits as written, when more than one does (the
///           message names them), or when what fits is more uncertain than kMostUncertain.
/// Source:   own; the bound is an assumption: a street's length beyond which a crew would search.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/gazetteer/place_file.hpp"
#include "geocore/units/units.hpp"

namespace nestround::app {

inline constexpr Metres kMostUncertain{250};

struct FoundPlace {
    std::string shown;  ///< as the map writes it, or the text itself
    std::string how;    ///< "house", "between houses", "plus code", "UTM", ...
    LonLat at{};
    std::optional<Metres> uncertainty;
    std::string remark;
    bool exact = true;  ///< everything that was said fits as written
    int extra = 0;      ///< words of its name that were not asked for
    std::optional<Metres> away;
};

/// What a search may use.
struct PlaceSources {
    const gazetteer::PlaceFile* places = nullptr;
    std::optional<LonLat> near;  ///< a depot, or where one is
    std::size_t limit = 10;
    bool typing = false;
};

/// Every place that may be meant, best first.
[[nodiscard]] Result<std::vector<FoundPlace>> find_places(const std::string& text,
                                                          const PlaceSources& sources);

/// The one that is meant.
[[nodiscard]] Result<FoundPlace> place_of(const std::string& text, const PlaceSources& sources);

/// "found as house from '12 Mill Lane', within 15 m", for a site's note.
[[nodiscard]] std::string how_found(const FoundPlace& place, const std::string& text);

}  // namespace nestround::app
