#include "planner/tour/route.hpp"

#include <algorithm>
#include <cassert>

namespace nestround::tour {

namespace {

/// A hash of the order; that two orders of one search share all 64 bits is not to be feared.
[[nodiscard]] std::uint64_t stamp_of(const std::vector<int>& nodes)
{
    std::uint64_t h = 0x9e3779b97f4a7c15U;
    for (const int node : nodes) {
        h = (h ^ static_cast<std::uint64_t>(node)) * 0xbf58476d1ce4e5b9U;
        h ^= h >> 29U;
    }
    return h;
}

}  // namespace

Route::Route(const Flat& flat, int car) : flat_{&flat}, car_{car} { clear(); }

void Route::clear()
{
    const Car& car = flat_->cars[car_];
    node_.assign({car.start, car.end});
    recount();
    // An idle vehicle keeps every rule, whatever lies between its depots.
    static_cast<void>(update());
}

bool Route::assign(const std::vector<int>& jobs)
{
    const Car& car = flat_->cars[car_];
    node_.assign(1, car.start);
    node_.insert(node_.end(), jobs.begin(), jobs.end());
    node_.push_back(car.end);
    recount();
    return update();
}

void Route::recount()
{
    load_.assign(static_cast<std::size_t>(flat_->resources), 0);
    profit_ = 0;
    driving_ = 0;
    live_ = 0;
    for (int i = 1; i <= size(); ++i) {
        const int j = node_[i];
        profit_ += flat_->value_of(j, car_);
        driving_ += flat_->drive(node_[i - 1], j);
        live_ += flat_->ride_limit[j] != kNoLimit ? 1 : 0;
        for (int r = 0; r < flat_->resources; ++r) {
            load_[r] += flat_->demand[j * flat_->resources + r];
        }
    }
    if (size() > 0) {
        driving_ += flat_->drive(node_[size()], node_[size() + 1]);
    }
    profit_ -= flat_->cars[car_].cost * driving_;
}

bool Route::has_room(int job) const
{
    if (flat_->may[car_ * flat_->jobs + job] == 0) {
        return false;
    }
    for (int r = 0; r < flat_->resources; ++r) {
        if (load_[r] + flat_->demand[job * flat_->resources + r] >
            flat_->capacity[car_ * flat_->resources + r]) {
            return false;
        }
    }
    return true;
}

Slot Route::slot(int job, int position) const
{
    const std::size_t row = static_cast<std::size_t>(job) * flat_->nodes;
    const int before = node_[position];
    const int after = node_[position + 1];
    const Time there = flat_->in[row + before];
    const Time onward = flat_->out[row + after];
    if (there >= kNever || onward >= kNever) {
        return {};
    }
    const auto windows = flat_->windows(job);
    const Time service = flat_->service_of(job, car_);
    const Time start = first_start(windows, free_[position] + there);
    const Time leave = start + service;
    bool fits = start != kNever && leave + onward <= latest_[position + 1];
    if (!fits && flat_->cars[car_].pause) {
        const Time rested_start = free_rested_[position] >= kNever
                                      ? kNever
                                      : first_start(windows, free_rested_[position] + there);
        const Time late = rested_start == kNever ? kNever : rested_start + service;
        const Time paused = start == kNever ? kNever : pause_end(*flat_->cars[car_].pause, leave);
        fits = std::min(late, paused) < kNever - onward &&
               std::min(late, paused) + onward <= latest_rested_[position + 1];
    }
    if (!fits) {
        return {};
    }
    const Time straight = straight_[position];
    Slot slot;
    slot.position = position;
    slot.drive = there + onward - straight;
    slot.push = std::min(leave, kNever) + onward - (free_[position] + straight);
    return slot;
}

bool Route::is_kept_alive(int job, int position, LiveScratch& scratch) const
{
    if (live_ == 0 && flat_->ride_limit[job] == kNoLimit) {
        return true;
    }
    auto& steps = scratch.steps;
    steps.clear();
    const Car& car = flat_->cars[car_];
    const auto add = [&](int j, int next) {
        steps.push_back({flat_->windows(j), flat_->service_of(j, car_), flat_->drive(j, next),
                         flat_->ride_limit[j]});
    };
    for (int i = 1; i <= size() + 1; ++i) {
        const bool is_new = i == position + 1;
        if (is_new) {
            add(job, node_[i]);
        }
        if (i <= size()) {
            add(node_[i], i == position ? job : node_[i + 1]);
        }
    }
    const int first = position == 0 ? job : node_[1];
    const Frame frame{{car.opens, car.closes}, flat_->drive(car.start, first), car.pause};
    return scratch.timing.is_feasible(steps, frame);
}

void Route::insert(int job, const Slot& slot)
{
    [[maybe_unused]] const std::int64_t promised = profit_ + gain(job, slot);
    node_.insert(node_.begin() + slot.position + 1, job);
    driving_ += slot.drive;
    profit_ += flat_->value_of(job, car_) - flat_->cars[car_].cost * slot.drive;
    live_ += flat_->ride_limit[job] != kNoLimit ? 1 : 0;
    for (int r = 0; r < flat_->resources; ++r) {
        load_[r] += flat_->demand[job * flat_->resources + r];
    }
    [[maybe_unused]] const bool kept = update();
    assert(kept);
#ifndef NDEBUG
    recount();
    assert(profit_ == promised);  // the promise of gain()
#endif
}

bool Route::remove(const std::vector<std::uint8_t>& gone, LiveScratch& scratch)
{
    const auto last =
        std::remove_if(node_.begin() + 1, node_.end() - 1, [&](int j) { return gone[j] != 0; });
    node_.erase(last, node_.end() - 1);
    recount();
    if (!update()) {
        return false;
    }
    if (live_ == 0) {
        return true;
    }
    // Only a detour that is quicker than the direct way can spoil this; ask all the same.
    Route probe{*flat_, car_};
    std::vector<int> jobs(node_.begin() + 1, node_.end() - 1);
    const int first = jobs.front();
    jobs.erase(jobs.begin());
    return probe.assign(jobs) && probe.is_kept_alive(first, 0, scratch);
}

bool Route::update()
{
    const Car& car = flat_->cars[car_];
    const int n = size();
    const std::size_t count = node_.size();
    stamp_ = stamp_of(node_);
    straight_.resize(count - 1);
    for (std::size_t i = 0; i + 1 < count; ++i) {
        straight_[i] = flat_->drive(node_[i], node_[i + 1]);
    }
    if (n == 0) {
        straight_[0] = 0;  // an idle vehicle does not drive, whatever lies between its depots
    }
    free_.resize(count);
    latest_.resize(count);
    free_[0] = car.opens;
    bool kept = true;
    for (int i = 1; i <= n; ++i) {
        const int j = node_[i];
        const Time start = first_start(flat_->windows(j), free_[i - 1] + straight_[i - 1]);
        // kNever must not be added to twice.
        free_[i] = start == kNever ? kNever / 2 : start + flat_->service_of(j, car_);
    }
    home_ = n == 0 ? car.opens : free_[n] + flat_->drive(node_[n], node_[n + 1]);
    free_[n + 1] = home_;
    latest_[n + 1] = car.pause ? std::min(car.closes, car.pause->closes) : car.closes;
    if (!car.pause) {
        for (int i = n; i >= 1; --i) {
            const int j = node_[i];
            latest_[i] = last_start(flat_->windows(j), latest_[i + 1] - flat_->service_of(j, car_) -
                                                           flat_->drive(j, node_[i + 1]));
        }
        gap_.resize(count - 1);
        for (int i = 0; i <= n; ++i) {
            gap_[i] = latest_[i + 1] - free_[i];
        }
        if (n > 0) {
            kept = car.opens + flat_->drive(car.start, node_[1]) <= latest_[1];
        }
        return kept;
    }
    const PauseRule& pause = *car.pause;
    free_rested_.resize(count);
    latest_rested_.resize(count);
    free_rested_[0] = pause_end(pause, car.opens);
    for (int i = 1; i <= n; ++i) {
        const int j = node_[i];
        Time rested = kNever;
        if (free_rested_[i - 1] < kNever) {
            const Time start =
                first_start(flat_->windows(j), free_rested_[i - 1] + flat_->drive(node_[i - 1], j));
            rested = start == kNever ? kNever : start + flat_->service_of(j, car_);
        }
        free_rested_[i] = std::min(rested, pause_end(pause, free_[i]));
    }
    if (n > 0 && free_rested_[n] < kNever && home_ > latest_[n + 1]) {
        home_ = free_rested_[n] + flat_->drive(node_[n], node_[n + 1]);
    }
    free_rested_[n + 1] = home_;
    latest_rested_[n + 1] = car.closes;
    for (int i = n; i >= 1; --i) {
        const int j = node_[i];
        const Time on = flat_->drive(j, node_[i + 1]);
        const Time service = flat_->service_of(j, car_);
        latest_rested_[i] = last_start(flat_->windows(j), latest_rested_[i + 1] - on - service);
        Time leave = latest_[i + 1] - on;
        if (pause.opens + pause.length + on <= latest_rested_[i + 1]) {
            leave =
                std::max(leave, std::min(pause.closes, latest_rested_[i + 1] - on - pause.length));
        }
        latest_[i] = last_start(flat_->windows(j), leave - service);
    }
    if (n > 0) {
        const Time out = flat_->drive(car.start, node_[1]);
        kept = car.opens + out <= latest_[1] ||
               (free_rested_[0] < kNever && free_rested_[0] + out <= latest_rested_[1]);
    }
    return kept;
}

}  // namespace nestround::tour
