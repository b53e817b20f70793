#include "planner/tour/timing.hpp"

#include <algorithm>
#include <cassert>

namespace nestround::tour {

// With t the start of service at a stop, let f(t) be the earliest moment at which the rest of the
// tour can be home, all rules of the rest kept. f never falls as t grows, so the best next start is
// the first one possible, and f is made of pieces max(t + a, b) on intervals [lo, hi]. A ride limit
// L asks f(t) <= t + service + L: on a piece, a <= service + L and t >= b - service - L, which only
// raises lo. So waiting moves in front of a pick-up of live cargo, and nothing is lost.

Timing::Leg Timing::leg(Time service, Time drive, const Frame& frame, bool pauses)
{
    if (!pauses) {
        return {service + drive, -1, kNever};
    }
    const PauseRule& rule = *frame.pause;
    // A pause cannot end after its latest begin plus its length, so no kNever is added to.
    return {service + rule.length + drive, rule.opens + rule.length + drive, rule.closes - service};
}

std::span<const Timing::Piece> Timing::pieces(std::size_t position) const
{
    // Position 0 is the depot; the last one is home. They are stored from home backwards.
    const std::size_t index = begins_.size() - 1 - position;
    const std::size_t end = index + 1 < begins_.size() ? begins_[index + 1] : pieces_.size();
    return {pieces_.data() + begins_[index], end - begins_[index]};
}

void Timing::extend(const Leg& leg, std::span<const Span> windows, Time service, Time ride_limit)
{
    const std::size_t next_begin = begins_.back();
    const std::size_t next_end = pieces_.size();
    begins_.push_back(next_end);
    for (const Span& window : windows) {
        for (std::size_t i = next_begin; i < next_end; ++i) {
            const Piece piece = pieces_[i];
            const Time before = i == next_begin ? -1 : pieces_[i - 1].hi;
            // Arrivals in (before, piece.hi] start in this piece.
            if (leg.floor > piece.hi) {
                continue;
            }
            Time lo = window.opens;
            if (leg.floor <= before) {
                lo = std::max(lo, before + 1 - leg.c);
            }
            Time hi = std::min({window.closes, leg.hi, piece.hi - leg.c});
            const Time a = leg.c + piece.a;
            const Time b = std::max({piece.lo + piece.a, leg.floor + piece.a, piece.b});
            if (ride_limit != kNoLimit) {
                if (a > service + ride_limit) {
                    continue;
                }
                lo = std::max(lo, b - service - ride_limit);
            }
            if (lo <= hi) {
                pieces_.push_back({lo, hi, a, b});
            }
        }
    }
}

bool Timing::backward(std::span<const Step> steps, const Frame& frame, int pause_after)
{
    pieces_.clear();
    begins_.clear();
    Time last_home = frame.shift.closes;
    if (frame.pause && pause_after < 0) {
        last_home = std::min(last_home, frame.pause->closes);
    }
    begins_.push_back(0);
    pieces_.push_back({0, last_home, 0, -1});
    for (std::size_t i = steps.size(); i-- > 0;) {
        const Step& step = steps[i];
        const bool pauses = pause_after == static_cast<int>(i) + 1;
        extend(leg(step.service, step.drive_on, frame, pauses), step.windows, step.service,
               step.ride_limit);
        if (begins_.back() == pieces_.size()) {
            return false;
        }
    }
    extend(leg(0, frame.drive_out, frame, pause_after == 0), {&frame.shift, 1}, 0, kNoLimit);
    return begins_.back() != pieces_.size();
}

bool Timing::is_feasible(std::span<const Step> steps, const Frame& frame)
{
    const int last = frame.pause ? static_cast<int>(steps.size()) : -1;
    for (int pause_after = -1; pause_after <= last; ++pause_after) {
        if (backward(steps, frame, pause_after)) {
            return true;
        }
    }
    return false;
}

Times Timing::forward(std::span<const Step> steps, const Frame& frame, int pause_after) const
{
    Times times;
    times.pause_after = pause_after;
    Time start = pieces(0).front().lo;
    times.depart = start;
    for (std::size_t i = 0; i <= steps.size(); ++i) {
        const Time service = i == 0 ? 0 : steps[i - 1].service;
        const Time drive = i == 0 ? frame.drive_out : steps[i - 1].drive_on;
        const bool pauses = pause_after == static_cast<int>(i);
        if (pauses) {
            times.pause_begin = std::max(start + service, frame.pause->opens);
        }
        const Leg way = leg(service, drive, frame, pauses);
        const Time arrive = std::max(start + way.c, way.floor);
        if (i == steps.size()) {
            times.home = arrive;
            break;
        }
        const auto next = pieces(i + 1);
        const auto piece = std::find_if(next.begin(), next.end(),
                                        [arrive](const Piece& p) { return arrive <= p.hi; });
        assert(piece != next.end());
        start = std::max(arrive, piece->lo);
        times.starts.push_back(start);
        if (i == 0) {
            times.depart = start - drive;
        }
    }
    return times;
}

std::optional<Times> Timing::solve(std::span<const Step> steps, const Frame& frame)
{
    std::optional<Times> best;
    const int last = frame.pause ? static_cast<int>(steps.size()) : -1;
    for (int pause_after = -1; pause_after <= last; ++pause_after) {
        if (backward(steps, frame, pause_after)) {
            auto times = forward(steps, frame, pause_after);
            if (!best || times.home < best->home) {
                best = std::move(times);
            }
        }
    }
    return best;
}

}  // namespace nestround::tour
