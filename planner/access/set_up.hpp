/// \file set_up.hpp
/// \brief One pole or one ladder before one nest: how it stands, or why it does not do.
///
/// Purpose:  the geometry that the plan and the drawing share.
/// Units:    as access_plan.hpp.
/// Range:    set-backs 0 to 20 m, ground that falls or rises; negative set-backs are refused where
///           the place is made.
/// Accuracy: exact for straight ladders and evenly sloping ground beyond the set-back.
/// Errors:   a piece that does not do gives the reason as Infeasible.
/// Source:   ladder.hpp; planner/access/access.csv.
///
/// With the set-back s, fall g, nest at H: the highest standing rung is four feet below the top, so
/// the top rests at T = H - reach over the feet + 4 ft * sqrt(15)/4. The foot stands W/4 out, but
/// never nearer than s: W = max(4 (T - s g) / (sqrt(15) - g), 4 s, shortest length of the ladder).
#pragma once

#include "geocore/base/error.hpp"
#include "planner/access/access_plan.hpp"
#include "planner/access/reach.hpp"

namespace nestround::access {

/// A place as a nest's record has it; negative or absurd numbers are InvalidInput by name.
[[nodiscard]] Result<WorkPlace> work_place(const Nest& nest);

/// `place.height` must be known.
[[nodiscard]] Result<PoleSetUp> set_pole(const WorkPlace& place, const Gear& pole,
                                         const AccessSettings& settings);
[[nodiscard]] Result<LadderSetUp> set_ladder(const WorkPlace& place, const Gear& ladder,
                                             const AccessSettings& settings);

/// Why neither pole nor ladder may be raised here because of power lines; empty: no such reason.
[[nodiscard]] std::string power_line_stop(const WorkPlace& place);

/// Clearance asked for at a voltage in kilovolts: ten feet, and four inches more each 10 kV
/// over 50.
[[nodiscard]] Metres power_line_clearance(double kilovolts);

/// "8.7 m (29 ft)": these words are read beside a ladder, where a mixed-up unit hurts.
[[nodiscard]] std::string in_both(Metres length);
/// "nest at 8.7 m (29 ft)", "nest at ground level", "nest 0.2 m (0.7 ft) below the ground".
[[nodiscard]] std::string nest_height_words(Metres height);
/// The label of a piece, or `what`.
[[nodiscard]] std::string named(const Gear& gear, std::string_view what);

}  // namespace nestround::access
