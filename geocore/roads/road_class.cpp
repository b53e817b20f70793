#include "geocore/roads/road_class.hpp"

#include <algorithm>
#include <array>

namespace nestround::roads {
namespace {

constexpr std::array<std::string_view, kRoadClasses> kWords{
    "motorway",      "motorway_link",  "trunk",    "trunk_link",    "primary",      "primary_link",
    "secondary",     "secondary_link", "tertiary", "tertiary_link", "unclassified", "residential",
    "living_street", "service",        "track",    "ferry",
};

}  // namespace

std::string_view text(RoadClass road_class) { return kWords[static_cast<std::size_t>(road_class)]; }

std::optional<RoadClass> road_class(std::string_view word)
{
    // "road" is a road of unknown kind; "minor" is an old word for it.
    if (word == "road" || word == "minor") {
        return RoadClass::Unclassified;
    }
    const auto* found = std::find(kWords.begin(), kWords.end(), word);
    if (found == kWords.end()) {
        return std::nullopt;
    }
    return static_cast<RoadClass>(found - kWords.begin());
}

}  // namespace nestround::roads
