/// \file ladder.hpp
/// \brief The geometry of a leaning ladder and of a pole held from the ground.
///
/// Purpose:  working length, foot distance, angle, overlap of sections, standing height and reach.
/// Units:    metres; angles in degrees from the ground.
/// Range:    nominal sizes to 60 ft; W is the working length along the rail from foot to top
///           support, H the height of the support, d the distance of the foot from it, E the
///           extended length.
/// Accuracy: exact geometry of a straight ladder on level, or evenly sloping, ground.
/// Errors:   optional results are empty where no ladder exists or nothing can be reached; NaN gives
///           empty.
/// Source:   one quarter of the working length: 29 CFR 1926.1053(b)(5)(i); overlaps: 29 CFR
///           1910.26 table; see planner/access/access.csv for marks. The rest is geometry.
///
/// The foot stands d = W / 4 out, so that
///     H = W * sqrt(15) / 4,     angle = arccos(1 / 4) = 75.52 degrees.
/// Ground that falls away from the wall by g per unit of run lowers the foot by g * d:
///     W = 4 H / (sqrt(15) - g), with H measured from the ground at the wall.
#pragma once

#include <optional>

#include "geocore/units/units.hpp"

namespace nestround::access::ladder {

/// Angle of a ladder whose foot stands a quarter of its working length out.
[[nodiscard]] double angle_degrees();

struct SetUp {
    Metres working_length{};  ///< along the rail, foot to top support
    Metres foot_distance{};   ///< from the wall
    Metres support_height{};  ///< of the top support above the foot
};

/// For a top support at `height` above the ground at the wall, on ground that falls away from the
/// wall by `fall` per unit of run (negative: rises). Empty for no height or ground too steep.
[[nodiscard]] std::optional<SetUp> set_up(Metres height, double fall = 0);

/// Overlap that the sections of a ladder of this nominal size keep; empty beyond the table.
[[nodiscard]] std::optional<Metres> overlap(Metres nominal);
/// Longest extended length: nominal size less the overlap.
[[nodiscard]] std::optional<Metres> longest(Metres nominal);

/// Height of the top support of a ladder of that working length, at the right angle.
[[nodiscard]] Metres support_height(Metres working_length);
/// Height of the highest rung to stand on of a ladder extended to that length.
[[nodiscard]] Metres standing_height(Metres extended);
/// Extended length whose highest standing rung is at that height.
[[nodiscard]] Metres length_to_stand_at(Metres height);
/// Rail length that leaves `above` (vertical) over a landing at `height`.
[[nodiscard]] Metres rail_for_landing(Metres height, Metres above);

}  // namespace nestround::access::ladder

namespace nestround::access {

/// How high the tip of a pole comes: held at `grip`, the person `stand_off` from below the tip, a
/// share `bend` of its length lost. Empty when the pole is shorter than the way across.
[[nodiscard]] std::optional<Metres> pole_tip(Metres length, Metres grip, Metres stand_off,
                                             Fraction bend);

}  // namespace nestround::access
