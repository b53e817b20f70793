/// \file join_lines.hpp
/// \brief Where drawn lines meet.
///
/// Purpose:  a layer of lines has no numbers that its lines share; they meet where they are drawn.
/// Units:    metres on the ground.
/// Range:    only ends of drawn lines (RawWay::drawn) move, to any road. First by level, where one
///           is told: at one place lines of a level meet each other; a line that ends there and
///           finds no other of its level goes on at the level that has most. Then, within `within`
///           metres, an end that meets nothing goes to the nearest end of another line of its
///           level, or of any level if that too meets nothing. Then, with `split`, what still meets
///           nothing goes onto the nearest line of its level, which is cut there. Lines that only
///           cross never meet.
/// Accuracy: distances in a plane touching the Earth, 1e-3; an end that goes onto a line takes its
///           place to 1 cm.
/// Cost:     about linear in the number of lines.
/// Errors:   none; what was joined, cut, kept apart and left alone is counted by reason.
/// Source:   own.
#pragma once

#include "geocore/roads/raw_roads.hpp"
#include "geocore/units/units.hpp"

namespace nestround::roads {

struct JoinOptions {
    Metres within{0};    ///< 0: only where vertices stand at the same place
    bool split = false;  ///< ends that touch the middle of a line
};

/// How near an end is to a line that it touches, where nothing greater is asked for.
inline constexpr Metres kTouches{0.1};
inline constexpr Metres kMostJoin{100};

void join_lines(RawRoads& raw, const JoinOptions& options);

}  // namespace nestround::roads
