/// \file speed_table.hpp
/// \brief The one table of speeds: by class of road, by surface, by grade of a track, by law.
///
/// Purpose:  whoever doubts a travel time finds every figure behind it here, with its mark.
/// Units:    kilometres per hour, averages of a loaded light truck (up to 3.5 t) without a queue.
/// Range:    1 to kTopSpeed; nothing is driven faster, whatever a sign allows.
/// Accuracy: defaults are good to a third or so; a tagged limit is better, and used where present.
/// Errors:   an unknown word gives nothing; a limit that cannot be read gives InvalidInput.
/// Source:   each row names its own and how far it may be trusted.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/base/figure.hpp"
#include "geocore/roads/road_class.hpp"

namespace nestround::roads {

struct ClassSpeed {
    RoadClass road_class;
    double usual_kmh;  ///< average where no limit is tagged
    double top_kmh;    ///< average never passed, however high the limit
    std::string_view source;
    Mark mark;
};

struct NamedSpeed {
    std::string_view name;
    double kmh;
    std::string_view source;
    Mark mark;
};

/// Average speed as a share of a tagged limit: bends, junctions and loading keep a truck below it.
inline constexpr double kShareOfLimit = 0.9;
/// On a road that may be driven only by leave of its owner: a drive or a yard.
inline constexpr double kPrivateSpeed = 15;
/// Walking pace, `maxspeed=walk` and the limit of living streets.
inline constexpr double kWalkingSpeed = 7;
/// The truck's own top speed.
inline constexpr double kTopSpeed = 110;

[[nodiscard]] std::span<const ClassSpeed> class_speeds();
[[nodiscard]] const ClassSpeed& class_speed(RoadClass road_class);
/// Values of `surface`, `smoothness` and `tracktype` with the speed they allow.
[[nodiscard]] std::span<const NamedSpeed> surface_speeds();
[[nodiscard]] std::optional<double> surface_speed(std::string_view value);
/// Limits by country and kind of road, as in `maxspeed=DE:rural`.
[[nodiscard]] std::span<const NamedSpeed> statutory_speeds();

/// What `maxspeed` says: a number in km/h, or with mph, km/h, kmh, kph or knots; `none`; `walk`;
/// a country code with a kind of road; a list, of which the lowest counts. Nothing for words that
/// give no number (`signals`, `variable`, `unknown`). A limit of zero or below is InvalidInput.
[[nodiscard]] Result<std::optional<double>> parse_speed_limit(std::string_view text);

}  // namespace nestround::roads
