/// \file vehicle_limits.hpp
/// \brief The truck's own size, and what signs say about size.
///
/// Purpose:  maxheight, maxwidth, maxweight and maxaxleload in whole numbers.
/// Units:    whole millimetres and kilograms; the truck in metres and tonnes, as it is entered.
/// Range:    lengths as "3.5", "3.5 m", "350 cm", "11'6\"", "11 ft 6 in"; weights as "7.5", "7.5
/// t",
///           "3500 kg", "10 st" (short tons of 2,000 lb), "10 lt" (long tons of 2,240 lb),
///           "20000 lbs". Without a unit: metres, tonnes. A comma may stand for the point.
/// Accuracy: rounded down to the millimetre and kilogram.
/// Errors:   nothing for a text that says no number, such as "default", "none", "below_default".
/// Source:   OpenStreetMap's documentation of the keys; international foot 0.3048 m, pound
///           0.45359237 kg.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace nestround::roads {

/// Nothing told: no limit stops it.
struct Truck {
    std::optional<double> height_m;
    std::optional<double> width_m;
    std::optional<double> weight_t;  ///< laden
    std::optional<double> axle_t;

    /// Signs for lorries (hgv) are meant for it.
    [[nodiscard]] bool is_heavy() const { return weight_t && *weight_t > 3.5; }
    [[nodiscard]] bool any() const { return height_m || width_m || weight_t || axle_t; }
};

[[nodiscard]] std::optional<std::uint32_t> parse_length_limit(std::string_view text);
[[nodiscard]] std::optional<std::uint32_t> parse_weight_limit(std::string_view text);

}  // namespace nestround::roads
