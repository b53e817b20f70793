#include "planner/tour/timetable.hpp"

#include <algorithm>

namespace nestround::tour {

bool Timetable::raise(std::size_t stop, std::int64_t to)
{
    if (to > start_[stop]) {
        if (to >= kNever) {
            return false;
        }
        raised_[stop] = static_cast<Time>(to);
        is_raised_ = true;
    }
    return true;
}

bool Timetable::drive(const TimetableRow& row, std::size_t r, const Traffic& traffic)
{
    Time free_at = row.frame.shift.opens;
    const int count = static_cast<int>(row.steps.size());
    for (int i = 0; i <= count; ++i) {
        if (pause_after_[r] == i) {
            pause_begin_[r] = std::max(free_at, row.frame.pause->opens);
            free_at = pause_end(*row.frame.pause, free_at);
            if (free_at >= kNever) {
                return false;
            }
        }
        const Time way =
            i == 0 ? row.frame.drive_out : row.steps[static_cast<std::size_t>(i) - 1].drive_on;
        const Time arrive = traffic.arrive(free_at, way);
        if (i == count) {
            home_[r] = arrive;
            break;
        }
        const std::size_t stop = first_[r] + static_cast<std::size_t>(i);
        const Step& step = row.steps[static_cast<std::size_t>(i)];
        const Time from = std::max(arrive, raised_[stop]);
        int w = window_[stop];
        const int windows = static_cast<int>(step.windows.size());
        while (w < windows && step.windows[static_cast<std::size_t>(w)].closes < from) {
            ++w;
            has_new_window_ = true;
        }
        if (w == windows) {
            return false;
        }
        window_[stop] = w;
        start_[stop] = std::max(from, step.windows[static_cast<std::size_t>(w)].opens);
        free_at = start_[stop] + step.service;
    }
    Time last = row.frame.shift.closes;
    if (row.frame.pause && pause_after_[r] < 0) {
        last = std::min(last, row.frame.pause->closes);
    }
    return home_[r] <= last;
}

bool Timetable::settle(std::span<const TimetableRow> rows, std::span<const TimetableLink> links,
                       const Traffic& traffic)
{
    std::fill(raised_.begin(), raised_.end(), 0);
    std::fill(start_.begin(), start_.end(), 0);
    std::fill(window_.begin(), window_.end(), 0);
    std::size_t rounds = 0;
    for (;;) {
        has_new_window_ = false;
        for (std::size_t r = 0; r < rows.size(); ++r) {
            if (!drive(rows[r], r, traffic)) {
                return false;
            }
        }
        is_raised_ = false;
        for (std::size_t r = 0; r < rows.size(); ++r) {
            for (std::size_t i = 0; i < rows[r].steps.size(); ++i) {
                const Step& step = rows[r].steps[i];
                if (step.ride_limit != kNoLimit &&
                    !raise(first_[r] + i,
                           std::int64_t{home_[r]} - step.ride_limit - step.service)) {
                    return false;
                }
            }
        }
        for (const auto& link : links) {
            const auto from_row = static_cast<std::size_t>(link.from_row);
            const std::size_t from = first_[from_row] + static_cast<std::size_t>(link.from_stop);
            const std::size_t to = first_[static_cast<std::size_t>(link.to_row)] +
                                   static_cast<std::size_t>(link.to_stop);
            const Time service =
                rows[from_row].steps[static_cast<std::size_t>(link.from_stop)].service;
            if (!raise(to, std::int64_t{start_[from]} + service + link.least) ||
                (link.most != kNoLimit &&
                 !raise(from, std::int64_t{start_[to]} - link.most - service))) {
                return false;
            }
        }
        if (!is_raised_) {
            return true;
        }
        // Without new windows the rules are plain differences: what moves longer than there are
        // stops moves for ever. Traffic changes the differences, so there the day's end decides.
        rounds = has_new_window_ ? 0 : rounds + 1;
        if (traffic.is_even() && rounds > start_.size() + rows.size() + 1) {
            return false;
        }
    }
}

std::vector<Times> Timetable::times(std::span<const TimetableRow> rows,
                                    const Traffic& traffic) const
{
    std::vector<Times> result(rows.size());
    for (std::size_t r = 0; r < rows.size(); ++r) {
        Times& one = result[r];
        const auto begin = start_.begin() + static_cast<std::ptrdiff_t>(first_[r]);
        one.starts.assign(begin, begin + static_cast<std::ptrdiff_t>(rows[r].steps.size()));
        one.pause_after = pause_after_[r];
        one.pause_begin = pause_begin_[r];
        one.home = home_[r];
        one.depart = rows[r].frame.shift.opens;
        if (!one.starts.empty()) {
            one.depart = traffic.leave_by(one.starts.front(), rows[r].frame.drive_out);
        }
    }
    return result;
}

std::optional<std::vector<Times>> Timetable::solve(std::span<const TimetableRow> rows,
                                                   std::span<const TimetableLink> links,
                                                   const Traffic& traffic)
{
    first_.clear();
    std::size_t stops = 0;
    for (const auto& row : rows) {
        first_.push_back(stops);
        stops += row.steps.size();
    }
    raised_.resize(stops);
    start_.resize(stops);
    window_.resize(stops);
    home_.assign(rows.size(), 0);
    pause_begin_.assign(rows.size(), 0);
    pause_after_.assign(rows.size(), -1);
    std::optional<std::vector<Times>> best;
    std::int64_t best_cost = 0;
    std::int64_t best_home = 0;
    // All places of all pauses, like the digits of a number.
    for (std::uint64_t way = 0; way < kMostWays; ++way) {
        if (settle(rows, links, traffic)) {
            std::int64_t cost = 0;
            std::int64_t home = 0;
            for (std::size_t r = 0; r < rows.size(); ++r) {
                cost += rows[r].cost_per_second * std::max(0, home_[r] - rows[r].paid_from);
                home += home_[r];
            }
            if (!best || std::pair{cost, home} < std::pair{best_cost, best_home}) {
                best = times(rows, traffic);
                best_cost = cost;
                best_home = home;
            }
        }
        std::size_t digit = 0;
        for (; digit < rows.size(); ++digit) {
            if (!rows[digit].frame.pause || rows[digit].steps.empty()) {
                continue;
            }
            if (pause_after_[digit] < static_cast<int>(rows[digit].steps.size())) {
                ++pause_after_[digit];
                break;
            }
            pause_after_[digit] = -1;
        }
        if (digit == rows.size()) {
            break;
        }
    }
    return best;
}

}  // namespace nestround::tour
