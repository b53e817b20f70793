/// \file reach.hpp
/// \brief How a crew with this gear reaches this nest: from the ground first, a ladder last and for
/// the shortest time.
///
/// Purpose:  every way that does, ranked, the gear to carry, the minutes to allow and what to mind.
///           Decision support: local codes and the makers' instructions come first; nothing is
///           declared safe.
/// Units:    in the types; heights above the ground at the set-back.
/// Range:    a nest that nothing reaches gives NotReached, with what would do.
/// Accuracy: geometry of rigid ladders and a bending pole; minutes from a table with marks, or
///           learned from visits.
/// Errors:   none: a height that is no number counts as not given; a ground that cannot be (see
///           work_place) gives NotReached with the reason.
/// Source:   planner/access/access.csv.
#pragma once

#include <array>
#include <span>

#include "geocore/records/call.hpp"
#include "geocore/records/crew.hpp"
#include "planner/access/access_plan.hpp"

namespace nestround::access {

/// What a crew's own visits say of a method's minutes.
struct LearnedTime {
    int visits = 0;
    double factor = 1;  ///< on the minutes of the table
};

/// A fresh one holds the values of the compiled-in table; each field may be replaced.
struct AccessSettings {
    AccessSettings();

    Metres hand_reach;       ///< highest nest worked standing on the ground
    Metres grip_height;      ///< where a pole is held
    Metres stand_off;        ///< from below the nest, pole work
    Fraction pole_bend;      ///< share of the pole's length lost to bending
    Metres above_feet;       ///< height of the hands over the feet on a ladder
    Metres two_stage_from;   ///< nests from here up: pole from the ground, then a short climb
    Metres two_people_from;  ///< nests from here up want a second person at the foot
    Grams climber;           ///< person, suit and what is carried up
    seconds arriving;        ///< parking, talking to the client, looking
    seconds suiting;         ///< into the suits and out of them again
    seconds hand_work;
    seconds pole_work;
    seconds ladder_work;       ///< with setting the ladder
    seconds two_stage_ground;  ///< the first stage of two
    seconds two_stage_climb;   ///< the second, with setting the ladder
    seconds setting_ladder;
    seconds void_extra;                    ///< opening and closing a hollow
    seconds cleaning_up;                   ///< scrubbing the spot, icing the catch, loading
    std::array<LearnedTime, 5> learned{};  ///< by WorkMethod
};

[[nodiscard]] AccessPlan reach(const Nest& nest, const Call& call, std::span<const Gear> gear,
                               const AccessSettings& settings = {});

}  // namespace nestround::access
