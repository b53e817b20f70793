/// \file traffic.hpp
/// \brief Driving times that depend on when one leaves: a speed for each slot of the clock.
///
/// Purpose:  rush hours. A drive of the matrix is an amount of road; in a slot of speed 700 a
///           second covers 0.7 s of it. Who leaves later never arrives sooner, whatever the slots.
/// Units:    whole seconds; speeds in thousandths of the matrix's own.
/// Range:    speeds kSlowest to kFastest; slots in rising order from 0 on, repeated each `period`
///           when that is above 0.
/// Accuracy: exact: arrive() is the first whole second by which the road is covered, leave_by() the
///           last one from which arrive() still keeps the moment asked for.
/// Cost:     one step for each slot looked at; none for even traffic.
/// Errors:   none: Problem::make has checked the slots.
/// Source:   own; speeds by slot instead of travel times by slot, so that order is kept, after
///           S. Ichoua, M. Gendreau, J.-Y. Potvin, "Vehicle dispatching with time-dependent travel
///           times", EJOR 144 (2003).
#pragma once

#include <cstdint>
#include <vector>

#include "planner/tour/timing_types.hpp"

namespace nestround::tour {

class Traffic {
public:
    static constexpr int kSlowest = 50;
    static constexpr int kFastest = 5000;

    struct Slot {
        Time from;
        int speed;  ///< thousandths
    };

    /// Even: as the matrix says at all times.
    Traffic() = default;
    Traffic(std::vector<Slot> slots, Time period);

    [[nodiscard]] bool is_even() const { return slots_.empty(); }

    /// Who leaves at `leave` for `drive` seconds of road arrives then, or kNever.
    [[nodiscard]] Time arrive(Time leave, Time drive) const
    {
        return slots_.empty() ? leave + drive : arrive_uneven(leave, drive);
    }
    /// The latest leaving that arrives by `arrival`; below 0 when there is none.
    [[nodiscard]] Time leave_by(Time arrival, Time drive) const
    {
        return slots_.empty() ? arrival - drive : leave_by_uneven(arrival, drive);
    }

private:
    [[nodiscard]] Time arrive_uneven(Time leave, Time drive) const;
    [[nodiscard]] Time leave_by_uneven(Time arrival, Time drive) const;
    /// Thousandths of seconds of road that one who never stops has covered by `t`.
    [[nodiscard]] std::int64_t covered(Time t) const;

    std::vector<Slot> slots_;
    std::vector<std::int64_t> at_;  ///< covered at the begin of each slot
    std::int64_t period_ = 0;
    std::int64_t a_period_ = 0;  ///< covered in one
};

}  // namespace nestround::tour
