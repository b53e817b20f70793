/// \file route.hpp
/// \brief One vehicle's tour while it is being searched: what an insertion would cost, at once.
///
/// Purpose:  insertion tests in constant time from earliest leaving and latest beginning, with
///           several windows, a pause and resources; live cargo adds one exact pass a test.
/// Units:    as flat.hpp.
/// Range:    positions 0 (depot) to size() + 1 (home).
/// Accuracy: exact: a slot is offered if and only if the tour with it can be kept; the gain it
///           names is the gain that insert() brings, which debug builds assert.
/// Cost:     a test O(1), or O(stops) on a tour with live cargo; insert and remove O(stops).
/// Errors:   none.
/// Source:   own; earliest and latest times as in M. Savelsbergh, "The vehicle routing problem with
///           time windows: minimizing route duration", ORSA J. Comput. 4 (1992).
#pragma once

#include <vector>

#include "planner/tour/flat.hpp"
#include "planner/tour/slot_scan.hpp"
#include "planner/tour/timetable.hpp"

namespace nestround::tour {

/// A place for a job in a tour: between `position` and `position + 1`.
struct Slot {
    int position = -1;      ///< -1: none
    Time drive = 0;         ///< more of driving
    Time push = 0;          ///< how much later the next stop is reached
    std::int64_t over = 0;  ///< more of overtime, in points
    double cost = 0;        ///< what slots are compared by
};

/// Slots of one job in one tour, as the innermost loop leaves them.
struct SlotSweep {
    int first = 0;  ///< position of the first
    int count = 0;
    std::int32_t least = kNoSlot;
    std::vector<std::int32_t> cost;  ///< kNoSlot: the job does not fit there
    std::vector<Time> there;         ///< ways from each stop to the job, one more than `count`
    std::vector<Time> away;          ///< from the job to the stop after each, where ways differ
    const Time* onward = nullptr;
};

/// Buffers of the exact check for live cargo; one a search.
struct LiveScratch {
    SlotSweep sweep;
    Timing timing;
    Timetable timetable;
    std::vector<Step> steps;
};

class Route {
public:
    Route(const Flat& flat, int car);

    [[nodiscard]] int car() const { return car_; }
    [[nodiscard]] int size() const { return static_cast<int>(node_.size()) - 2; }
    /// Job at position 1 to size().
    [[nodiscard]] int job(int position) const { return node_[position]; }
    [[nodiscard]] std::int64_t profit() const { return profit_ - over_; }
    /// Points that overtime costs.
    [[nodiscard]] std::int64_t over() const { return over_; }
    [[nodiscard]] Time driving() const { return driving_; }
    /// Whether it visits the same jobs in the same order.
    [[nodiscard]] bool equals(const Route& other) const { return node_ == other.node_; }
    /// Earliest arrival home.
    [[nodiscard]] Time home() const { return home_; }

    /// Whether the car could take the job at all beside what it carries.
    [[nodiscard]] bool has_room(int job) const;
    /// The slot after `position`, or position -1. Needs has_room(job).
    [[nodiscard]] Slot slot(int job, int position) const;
    /// Calls `offer(slot)` for each slot that can be kept, first to last. Needs has_room(job).
    template <class Offer>
    void for_each_slot(int job, Offer&& offer) const;
    /// All slots at once, for jobs with one window and plain cars; false: use for_each_slot. Needs
    /// has_room(job).
    [[nodiscard]] bool scan(int job, int drive_weight, int push_weight, SlotSweep& sweep) const;
    /// The slot at `index` of a sweep.
    [[nodiscard]] Slot swept(int job, const SlotSweep& sweep, int index) const;
    /// Equal stamps: the same stops in the same order.
    [[nodiscard]] std::uint64_t stamp() const { return stamp_; }
    /// The exact check for live cargo; true when there is none. Sets what overtime it costs.
    [[nodiscard]] bool is_kept_alive(int job, Slot& slot, LiveScratch& scratch) const;
    /// Its stops as a timetable wants them, with `job` after `position`; -1: as it is.
    [[nodiscard]] TimetableRow row(int job, int position) const;
    /// Tours that wait for others may be home later than alone.
    void set_home(Time home);
    /// Whether the rest can be kept without the stop at `position`: a pause may need it to be
    /// taken in time, a later stop what it loads.
    [[nodiscard]] bool can_do_without(int position) const;
    /// Points that the job would add there.
    [[nodiscard]] std::int64_t gain(int job, const Slot& slot) const
    {
        const Car& car = flat_->cars[car_];
        return flat_->value_of(job, car_) - car.cost * slot.drive - slot.over -
               (size() == 0 ? car.fixed : 0);
    }

    /// Points that the stop at `position` brings, the detour to it paid.
    [[nodiscard]] std::int64_t worth_of(int position) const
    {
        const Time direct =
            size() == 1 ? 0 : flat_->drive(node_[position - 1], node_[position + 1]);
        return flat_->value_of(node_[position], car_) +
               (size() == 1 ? flat_->cars[car_].fixed : 0) -
               flat_->cars[car_].cost *
                   (std::int64_t{straight_[position - 1]} + straight_[position] - direct);
    }

    void insert(int job, const Slot& slot);
    /// Takes out positions marked in `gone` (indexed by job). False when what is left cannot be
    /// kept, which happens only where driving straight on is slower than by way of a stop.
    [[nodiscard]] bool remove(const std::vector<std::uint8_t>& gone, LiveScratch& scratch);
    void clear();
    /// All positions anew; false when it cannot be kept.
    [[nodiscard]] bool assign(const std::vector<int>& jobs);

private:
    [[nodiscard]] bool update();
    /// The same with a pause: two times for each stop, pause behind and pause to come.
    [[nodiscard]] bool update_with_pause();
    void recount();
    /// Prefix loads and their extremes from each position on; false: too much or below none.
    [[nodiscard]] bool update_loads();
    [[nodiscard]] bool has_room_at(int job, int position) const;
    /// Home after leaving a new stop behind `position` at `free`, or with the pause over at
    /// `rested`, towards the next one in `onward`.
    [[nodiscard]] Time home_after(int position, Time free, Time rested, Time onward) const;
    [[nodiscard]] std::optional<Time> live_home(int job, int position, LiveScratch& scratch) const;

    const Flat* flat_;
    int car_;
    std::vector<int> node_;              ///< depot, jobs, depot
    std::vector<Time> straight_;         ///< drive from each position to the next
    std::vector<Time> gap_;              ///< from the earliest leaving to the latest next beginning
    std::vector<Time> free_;             ///< earliest leaving, the pause not yet taken
    std::vector<Time> latest_;           ///< latest beginning, the pause still to come
    std::vector<Time> free_rested_;      ///< earliest driving on with the pause behind
    std::vector<Time> latest_rested_;    ///< latest beginning with the pause behind
    std::vector<std::int64_t> load_;     ///< by resource, in all
    std::vector<std::int64_t> aboard_;   ///< positions * resources: on leaving
    std::vector<std::int64_t> most_on_;  ///< positions * resources: most from there on
    std::vector<std::int64_t> least_on_;  ///< positions * resources: least from there on
    Time most_gap_ = 0;
    std::int64_t profit_ = 0;
    Time driving_ = 0;
    Time home_ = 0;
    std::int64_t over_ = 0;
    int live_ = 0;  ///< jobs with a ride limit
    std::uint64_t stamp_ = 0;
};

template <class Offer>
void Route::for_each_slot(int job, Offer&& offer) const
{
    const int last = size();
    if (!flat_->cars[car_].is_plain) {
        for (int position = 0; position <= last; ++position) {
            if (free_[position] > flat_->closes[job]) {
                return;
            }
            const Slot found = slot(job, position);
            if (found.position >= 0) {
                offer(found);
            }
        }
        return;
    }
    const Time* in = flat_->ways_to(job);
    const Time* out = flat_->out.data() + static_cast<std::size_t>(job) * flat_->nodes;
    const auto windows = flat_->windows(job, car_);
    const Span window = windows.front();
    const Time closes = windows.back().closes;
    const Time service = flat_->service_of(job, car_);
    int position = 0;
    // Latest beginnings never fall along a tour: those before the job could be left are passed by.
    while (position <= last && latest_[position + 1] < window.opens + service) {
        ++position;
    }
    const Time least = flat_->detour[job] + service;
    for (; position <= last && free_[position] <= closes; ++position) {
        if (gap_[position] < least) {
            continue;
        }
        const Time there = in[node_[position]];
        const Time arrive = free_[position] + there;
        if (arrive > closes) {
            continue;
        }
        Time start = arrive < window.opens ? window.opens : arrive;
        if (arrive > window.closes) {
            start = first_start(windows, arrive);
        }
        const Time onward = out[node_[position + 1]];
        const Time reach = start + service + onward;
        if (reach > latest_[position + 1]) {
            continue;
        }
        const Time straight = straight_[position];
        offer(Slot{position, there + onward - straight, reach - free_[position] - straight, 0, 0});
    }
}

}  // namespace nestround::tour
