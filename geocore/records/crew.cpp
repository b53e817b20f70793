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

constexpr std::array<std::pair<LadderType, std::string_view>, 4> kLadderTypes{
    {{LadderType::Unknown, "unknown"},
     {LadderType::Single, "single"},
     {LadderType::Extension, "extension"},
     {LadderType::Step, "step"}}};

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

std::string_view text(LadderType type)
{
    for (const auto& [value, name] : kLadderTypes) {
        if (value == type) {
            return name;
        }
    }
    return "unknown";
}

std::optional<LadderType> ladder_type(std::string_view text)
{
    for (const auto& [value, name] : kLadderTypes) {
        if (name == text) {
            return value;
        }
    }
    return std::nullopt;
}

}  // namespace nestround
