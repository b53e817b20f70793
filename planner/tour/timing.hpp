/// \file timing.hpp
/// \brief Exact times for a fixed order of stops: several windows, a pause, live cargo.
///
/// Purpose:  the backward pass that solver and schedule share; the checker has none of it.
/// Units:    whole seconds, 32 bits.
/// Range:    times below kLatestTime, so that three of them add up without overflow.
/// Accuracy: exact: a schedule is found whenever there is one, and it is home earliest.
/// Cost:     stops times windows, times the places for a pause when there is one.
/// Errors:   none.
/// Source:   own; docs/science/day.md, "Live cargo". The idea of a backward pass follows
///           T. Gschwind, M. Drexl, "Adaptive large neighborhood search with a constant-time
///           feasibility test for the dial-a-ride problem", Transp. Sci. 53 (2019).
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "planner/tour/timing_types.hpp"

namespace nestround::tour {

/// One stop of the order.
struct Step {
    std::span<const Span> windows;
    Time service;
    Time drive_on;  ///< to the next stop, from the last one home
    Time ride_limit = kNoLimit;
};

/// The day around the stops.
struct Frame {
    Span shift;
    Time drive_out;  ///< to the first stop
    std::optional<PauseRule> pause;
};

struct Times {
    Time depart = 0;
    std::vector<Time> starts;  ///< of service, one a step
    int pause_after = -1;      ///< number of steps before the pause; -1: none
    Time pause_begin = 0;
    Time home = 0;
};

/// Works out one order after another; keeps its buffers.
class Timing {
public:
    /// Whether any schedule keeps all rules.
    [[nodiscard]] bool is_feasible(std::span<const Step> steps, const Frame& frame);
    /// The schedule that is home first, or nothing. It leaves as late as its first stop allows.
    [[nodiscard]] std::optional<Times> solve(std::span<const Step> steps, const Frame& frame);

private:
    /// Starting between `lo` and `hi`, one is home at max(start + a, b).
    struct Piece {
        Time lo;
        Time hi;
        Time a;
        Time b;
    };
    /// Arrival at the next stop is max(start + c, floor), for starts up to `hi`.
    struct Leg {
        Time c;
        Time floor;
        Time hi;
    };

    [[nodiscard]] static Leg leg(Time service, Time drive, const Frame& frame, bool pauses);
    /// Fills pieces_; false when some stop has no start left. Pause after `pause_after` steps.
    bool backward(std::span<const Step> steps, const Frame& frame, int pause_after);
    void extend(const Leg& leg, std::span<const Span> windows, Time service, Time ride_limit);
    [[nodiscard]] std::span<const Piece> pieces(std::size_t position) const;
    [[nodiscard]] Times forward(std::span<const Step> steps, const Frame& frame,
                                int pause_after) const;

    std::vector<Piece> pieces_;        ///< from the end of the tour towards its start
    std::vector<std::size_t> begins_;  ///< where the pieces of each position begin
};

}  // namespace nestround::tour
