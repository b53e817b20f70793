/// \file slot_scan.hpp
/// \brief What a job would cost at each of many positions of a tour, in one sweep.
///
/// Purpose:  the innermost loop of the search, for jobs with one window and vehicles without pause,
///           overtime, carried load or traffic.
/// Units:    seconds in 32 bits.
/// Range:    times below kLatestTime.
/// Accuracy: exact; the same on every machine.
/// Cost:     some positions a cycle in wide registers, where the machine has them.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <limits>

#include "planner/tour/timing_types.hpp"

namespace nestround::tour {

inline constexpr std::int32_t kNoSlot = std::numeric_limits<std::int32_t>::max();

/// Columns of `count` positions next to one another.
struct SlotScan {
    const Time* there;     ///< drive from each stop to the job
    const Time* onward;    ///< drive from the job to the stop after it
    const Time* straight;  ///< drive from each stop to the one after it
    const Time* free;      ///< earliest leaving of each stop
    const Time* latest;    ///< latest beginning at the stop after it
    int count;
    Span window;
    Time service;
    std::uint32_t drive_weight;  ///< 0 to 2
    std::uint32_t push_weight;   ///< 0 or 1
};

/// Fills `cost`, kNoSlot where the job does not fit; returns the least.
std::int32_t scan_slots(const SlotScan& scan, std::int32_t* cost);

}  // namespace nestround::tour
