#include "geocore/roads/speed_table.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string>

namespace nestround::roads {
namespace {

constexpr std::string_view kOwn = "own estimate for a loaded light truck, junctions included";
constexpr std::string_view kLaw = "national road traffic law, as recalled; check before relying on";

constexpr std::array<ClassSpeed, kRoadClasses> kClassSpeeds{{
    {RoadClass::Motorway, 95, 110, kOwn, Mark::Assumption},
    {RoadClass::MotorwayLink, 50, 80, kOwn, Mark::Assumption},
    {RoadClass::Trunk, 80, 100, kOwn, Mark::Assumption},
    {RoadClass::TrunkLink, 45, 70, kOwn, Mark::Assumption},
    {RoadClass::Primary, 60, 90, kOwn, Mark::Assumption},
    {RoadClass::PrimaryLink, 40, 60, kOwn, Mark::Assumption},
    {RoadClass::Secondary, 52, 80, kOwn, Mark::Assumption},
    {RoadClass::SecondaryLink, 35, 50, kOwn, Mark::Assumption},
    {RoadClass::Tertiary, 45, 75, kOwn, Mark::Assumption},
    {RoadClass::TertiaryLink, 30, 45, kOwn, Mark::Assumption},
    {RoadClass::Unclassified, 38, 65, kOwn, Mark::Assumption},
    {RoadClass::Residential, 25, 40, kOwn, Mark::Assumption},
    {RoadClass::LivingStreet, 7, 10, kOwn, Mark::Assumption},
    {RoadClass::Service, 15, 25, kOwn, Mark::Assumption},
    {RoadClass::Track, 15, 25, kOwn, Mark::Assumption},
    {RoadClass::Ferry, 15, 30, "used only where no duration can be shared out", Mark::Assumption},
}};

constexpr std::array<NamedSpeed, 33> kSurfaceSpeeds{{
    // surface
    {"paved", kTopSpeed, kOwn, Mark::Assumption},
    {"asphalt", kTopSpeed, kOwn, Mark::Assumption},
    {"concrete", kTopSpeed, kOwn, Mark::Assumption},
    {"concrete:plates", 60, kOwn, Mark::Assumption},
    {"concrete:lanes", 35, kOwn, Mark::Assumption},
    {"paving_stones", 45, kOwn, Mark::Assumption},
    {"sett", 30, kOwn, Mark::Assumption},
    {"cobblestone", 25, kOwn, Mark::Assumption},
    {"unhewn_cobblestone", 20, kOwn, Mark::Assumption},
    {"metal", 50, kOwn, Mark::Assumption},
    {"wood", 30, kOwn, Mark::Assumption},
    {"compacted", 45, kOwn, Mark::Assumption},
    {"fine_gravel", 40, kOwn, Mark::Assumption},
    {"gravel", 30, kOwn, Mark::Assumption},
    {"unpaved", 30, kOwn, Mark::Assumption},
    {"pebblestone", 25, kOwn, Mark::Assumption},
    {"grass_paver", 20, kOwn, Mark::Assumption},
    {"dirt", 20, kOwn, Mark::Assumption},
    {"earth", 20, kOwn, Mark::Assumption},
    {"ground", 20, kOwn, Mark::Assumption},
    {"grass", 12, kOwn, Mark::Assumption},
    {"sand", 10, kOwn, Mark::Assumption},
    {"mud", 6, kOwn, Mark::Assumption},
    // smoothness
    {"bad", 35, kOwn, Mark::Assumption},
    {"very_bad", 18, kOwn, Mark::Assumption},
    {"horrible", 8, kOwn, Mark::Assumption},
    {"very_horrible", 4, kOwn, Mark::Assumption},
    {"impassable", 1, kOwn, Mark::Assumption},
    // tracktype
    {"grade1", 40, kOwn, Mark::Assumption},
    {"grade2", 25, kOwn, Mark::Assumption},
    {"grade3", 18, kOwn, Mark::Assumption},
    {"grade4", 12, kOwn, Mark::Assumption},
    {"grade5", 8, kOwn, Mark::Assumption},
}};

constexpr double kMile = 1.609344;

constexpr std::array<NamedSpeed, 46> kStatutorySpeeds{{
    {"AT:urban", 50, kLaw, Mark::Memory},
    {"AT:rural", 100, kLaw, Mark::Memory},
    {"AT:trunk", 100, kLaw, Mark::Memory},
    {"AT:motorway", 130, kLaw, Mark::Memory},
    {"BE:urban", 50, kLaw, Mark::Memory},
    {"BE:motorway", 120, kLaw, Mark::Memory},
    {"CH:urban", 50, kLaw, Mark::Memory},
    {"CH:rural", 80, kLaw, Mark::Memory},
    {"CH:trunk", 100, kLaw, Mark::Memory},
    {"CH:motorway", 120, kLaw, Mark::Memory},
    {"CZ:urban", 50, kLaw, Mark::Memory},
    {"CZ:rural", 90, kLaw, Mark::Memory},
    {"CZ:motorway", 130, kLaw, Mark::Memory},
    {"DE:urban", 50, kLaw, Mark::Memory},
    {"DE:rural", 100, kLaw, Mark::Memory},
    {"DE:motorway", kTopSpeed / kShareOfLimit, "no general limit", Mark::Memory},
    {"DK:urban", 50, kLaw, Mark::Memory},
    {"DK:rural", 80, kLaw, Mark::Memory},
    {"DK:motorway", 130, kLaw, Mark::Memory},
    {"ES:urban", 50, kLaw, Mark::Memory},
    {"ES:rural", 90, kLaw, Mark::Memory},
    {"ES:motorway", 120, kLaw, Mark::Memory},
    {"FR:urban", 50, kLaw, Mark::Memory},
    {"FR:rural", 80, kLaw, Mark::Memory},
    {"FR:motorway", 130, kLaw, Mark::Memory},
    {"GB:nsl_single", 60 * kMile, kLaw, Mark::Memory},
    {"GB:nsl_dual", 70 * kMile, kLaw, Mark::Memory},
    {"GB:motorway", 70 * kMile, kLaw, Mark::Memory},
    {"GB:nsl_restricted", 30 * kMile, kLaw, Mark::Memory},
    {"IT:urban", 50, kLaw, Mark::Memory},
    {"IT:rural", 90, kLaw, Mark::Memory},
    {"IT:trunk", 110, kLaw, Mark::Memory},
    {"IT:motorway", 130, kLaw, Mark::Memory},
    {"LI:urban", 50, kLaw, Mark::Memory},
    {"LI:rural", 80, kLaw, Mark::Memory},
    {"NL:urban", 50, kLaw, Mark::Memory},
    {"NL:rural", 80, kLaw, Mark::Memory},
    {"PL:urban", 50, kLaw, Mark::Memory},
    {"PL:rural", 90, kLaw, Mark::Memory},
    {"PL:motorway", 140, kLaw, Mark::Memory},
    {"RO:urban", 50, kLaw, Mark::Memory},
    {"RO:rural", 90, kLaw, Mark::Memory},
    {"RO:trunk", 100, kLaw, Mark::Memory},
    {"RO:motorway", 130, kLaw, Mark::Memory},
    {"RU:urban", 60, kLaw, Mark::Memory},
    {"RU:rural", 90, kLaw, Mark::Memory},
}};

std::string_view trimmed(std::string_view text)
{
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) {
        text.remove_prefix(1);
    }
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) {
        text.remove_suffix(1);
    }
    return text;
}

std::optional<double> factor_of_unit(std::string_view unit)
{
    if (unit.empty() || unit == "km/h" || unit == "kmh" || unit == "kph" || unit == "KM/H") {
        return 1.0;
    }
    if (unit == "mph" || unit == "MPH") {
        return kMile;
    }
    if (unit == "knots" || unit == "knot" || unit == "kn") {
        return 1.852;
    }
    return std::nullopt;
}

std::optional<double> speed_of_zone(std::string_view zone)
{
    // "DE:zone:30", "DE:zone30", "BE:zone:20"
    const auto at = zone.find(":zone");
    if (at == std::string_view::npos) {
        return std::nullopt;
    }
    auto digits = zone.substr(at + 5);
    if (!digits.empty() && digits.front() == ':') {
        digits.remove_prefix(1);
    }
    double number = 0;
    const auto [end, problem] =
        std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (problem != std::errc{} || end != digits.data() + digits.size() || !(number > 0)) {
        return std::nullopt;
    }
    return number;
}

/// One entry of the list.
Result<std::optional<double>> parse_one(std::string_view text)
{
    if (text == "none") {
        return kTopSpeed / kShareOfLimit;
    }
    if (text == "walk" || text.ends_with(":walk") || text.ends_with(":living_street")) {
        return kWalkingSpeed;
    }
    const auto* row = std::find_if(kStatutorySpeeds.begin(), kStatutorySpeeds.end(),
                                   [&](const NamedSpeed& r) { return r.name == text; });
    if (row != kStatutorySpeeds.end()) {
        return row->kmh;
    }
    if (const auto zone = speed_of_zone(text)) {
        return zone;
    }
    double number = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (problem != std::errc{}) {
        return std::nullopt;  // "signals", "variable", "unknown", an unlisted country
    }
    const auto factor = factor_of_unit(trimmed({end, text.data() + text.size()}));
    if (!factor) {
        return std::nullopt;
    }
    if (!(number > 0) || !std::isfinite(number)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("speed limit '{}' is not above zero", text));
    }
    return number * *factor;
}

}  // namespace

std::span<const ClassSpeed> class_speeds() { return kClassSpeeds; }

const ClassSpeed& class_speed(RoadClass road_class)
{
    return kClassSpeeds[static_cast<std::size_t>(road_class)];
}

std::span<const NamedSpeed> surface_speeds() { return kSurfaceSpeeds; }

std::optional<double> surface_speed(std::string_view value)
{
    const auto* row = std::find_if(kSurfaceSpeeds.begin(), kSurfaceSpeeds.end(),
                                   [&](const NamedSpeed& r) { return r.name == value; });
    return row == kSurfaceSpeeds.end() ? std::nullopt : std::optional{row->kmh};
}

std::span<const NamedSpeed> statutory_speeds() { return kStatutorySpeeds; }

Result<std::optional<double>> parse_speed_limit(std::string_view text)
{
    std::optional<double> lowest;
    while (true) {
        const auto end = text.find_first_of(";|,");
        const auto part = trimmed(text.substr(0, end));
        if (!part.empty()) {
            const auto speed = parse_one(part);
            if (!speed) {
                return speed;
            }
            if (*speed && (!lowest || **speed < *lowest)) {
                lowest = *speed;
            }
        }
        if (end == std::string_view::npos) {
            return lowest;
        }
        text.remove_prefix(end + 1);
    }
}

}  // namespace nestround::roads
