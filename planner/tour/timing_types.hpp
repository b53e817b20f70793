/// \file timing_types.hpp
/// \brief The solver's integers: moments, windows, pauses.
///
/// Purpose:  shared by everything in this room that works out times.
/// Units:    whole seconds, 32 bits.
/// Range:    times below kLatestTime, so that three of them add up without overflow.
/// Accuracy: exact.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <span>

namespace nestround::tour {

using Time = std::int32_t;

inline constexpr Time kNever = 0x3fffffff;  ///< later than every time; two of them still add up
inline constexpr Time kNoLimit = -1;

/// A window in the solver's integers.
struct Span {
    Time opens;
    Time closes;
};

/// The first moment at or after `t` inside `windows`, else kNever.
[[nodiscard]] inline Time first_start(std::span<const Span> windows, Time t)
{
    for (const Span& window : windows) {
        if (t <= window.closes) {
            return t < window.opens ? window.opens : t;
        }
    }
    return kNever;
}

/// The last moment at or before `t` inside `windows`, else -1.
[[nodiscard]] inline Time last_start(std::span<const Span> windows, Time t)
{
    for (std::size_t i = windows.size(); i-- > 0;) {
        if (t >= windows[i].opens) {
            return t > windows[i].closes ? windows[i].closes : t;
        }
    }
    return -1;
}

struct PauseRule {
    Time opens;  ///< it begins between these
    Time closes;
    Time length;
};

/// When a pause that may begin from `t` on ends, or kNever.
[[nodiscard]] inline Time pause_end(const PauseRule& rule, Time t)
{
    const Time begin = t < rule.opens ? rule.opens : t;
    return begin <= rule.closes ? begin + rule.length : kNever;
}

}  // namespace nestround::tour
