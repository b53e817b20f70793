#include "geocore/records/crew.hpp"

#include <array>
#include <utility>

namespace nestround {

namespace {

constexpr std::array<std::pair<GearKind, std::string_view>, 7> kGearKinds{
    {{GearKind::Pole, "pole"},
     {GearKind::Ladder, "ladder"},
     {GearKind::Vacuum, "vacuum"},
     {GearKind::ColdBox, "cold_box"},
     {GearKind::CombBox, "comb_box"},
     {GearKind::Suit, "suit"},
     {GearKind::Other, "other"}}};

}  // namespace

std::string_view text(GearKind kind)
{
    for (const auto& [value, name] : kGearKinds) {
        if (value == kind) {
            return name;
        }
    }
    return "other";
}

std::optional<GearKind> gear_kind(std::string_view text)
{
    for (const auto& [value, name] : kGearKinds) {
        if (name == text) {
            return value;
        }
    }
    return std::nullopt;
}

}  // namespace nestround
