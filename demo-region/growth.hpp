/// \file growth.hpp
/// \brief Streets that grow off streets: closes, farm drives, tracks.
///
/// Purpose:  fills the room between roads as people build, one branch after the other.
/// Units:    metres.
/// Range:    branches keep `gap` from what is there already.
/// Accuracy: the same for the same random numbers.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <functional>
#include <vector>

#include "demo-region/network.hpp"
#include "geocore/base/random.hpp"

namespace nestround::demo {

struct Growth {
    double shortest = 60;
    double longest = 180;
    double gap = 40;        ///< kept from other roads
    double joining = 0.3;   ///< chance that a branch which meets a road joins it
    double bending = 0.15;  ///< radians a step, at most
    double step = 30;
    double spread = 0.12;  ///< radians off the right angle, at most
    bool turning_circle = false;
};

/// Tries one branch off the edge at `share`; gives the node at its end, or -1 when there was no
/// room. `may` says where it may go.
int grow_branch(Network& network, Random& random, int edge, double share, bool to_left,
                const Growth& growth, const Road& road, const std::function<bool(Vec)>& may);

}  // namespace nestround::demo
