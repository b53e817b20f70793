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
        profit_ -= flat_->cars[car_].fixed;
    }
    profit_ -= flat_->cars[car_].cost * driving_;
}

bool Route::has_room(int job) const
{
    if (flat_->may[car_ * flat_->jobs + job] == 0) {
        return false;
    }
    for (int r = 0; r < flat_->resources; ++r) {
        if (flat_->carried[r] == 0 && load_[r] + flat_->demand[job * flat_->resources + r] >
                                          flat_->capacity[car_ * flat_->resources + r]) {
            return false;
        }
    }
    return true;
}

bool Route::update_loads()
{
    const int count = flat_->resources;
    const std::size_t rows = static_cast<std::size_t>(size() + 1);
    aboard_.assign(rows * count, 0);
    bool kept = true;
    for (int i = 1; i <= size(); ++i) {
        for (int r = 0; r < count; ++r) {
            const std::int64_t load =
                aboard_[(i - 1) * count + r] + flat_->demand[node_[i] * count + r];
            aboard_[i * count + r] = load;
            kept = kept && (flat_->carried[r] == 0 ||
                            (load >= 0 && load <= flat_->capacity[car_ * count + r]));
        }
    }
    most_on_ = aboard_;
    least_on_ = aboard_;
    for (int i = size(); i-- > 0;) {
        for (int r = 0; r < count; ++r) {
            const int here = i * count + r;
            most_on_[here] = std::max(most_on_[here], most_on_[here + count]);
            least_on_[here] = std::min(least_on_[here], least_on_[here + count]);
        }
    }
    return kept;
}

bool Route::has_room_at(int job, int position) const
{
    const int count = flat_->resources;
    for (int r = 0; r < count; ++r) {
        const std::int64_t more = flat_->demand[job * count + r];
        if (flat_->carried[r] != 0 && more != 0 &&
            (most_on_[position * count + r] + more > flat_->capacity[car_ * count + r] ||
             least_on_[position * count + r] + more < 0)) {
            return false;
        }
    }
    return true;
}

bool Route::can_do_without(int position) const
{
    if (flat_->cars[car_].is_plain) {
        return true;
    }
    std::vector<int> rest(node_.begin() + 1, node_.end() - 1);
    rest.erase(rest.begin() + position - 1);
    Route probe{*flat_, car_};
    return probe.assign(rest);
}

bool Route::scan(int job, int drive_weight, int push_weight, SlotSweep& sweep) const
{
    const auto windows = flat_->windows(job, car_);
    if (!flat_->cars[car_].is_plain || windows.size() != 1) {
        return false;
    }
    const Span window = windows.front();
    const Time service = flat_->service_of(job, car_);
    sweep.count = 0;
    sweep.least = kNoSlot;
    if (flat_->detour[job] + service > most_gap_) {
        return true;
    }
    // Neither latest beginnings nor earliest leavings ever fall along a tour.
    const auto first =
        std::lower_bound(latest_.begin() + 1, latest_.end(), window.opens + service) -
        latest_.begin() - 1;
    const auto last =
        std::upper_bound(free_.begin() + first, free_.end() - 1, window.closes) - free_.begin();
    if (last <= first) {
        return true;
    }
    sweep.first = static_cast<int>(first);
    sweep.count = static_cast<int>(last - first);
    const Time* in = flat_->ways_to(job);
    const Time* out = flat_->out.data() + static_cast<std::size_t>(job) * flat_->nodes;
    const auto count = static_cast<std::size_t>(sweep.count);
    if (sweep.cost.size() < count) {
        sweep.cost.resize(2 * count);
        sweep.there.resize(2 * count + 1);
        sweep.away.resize(2 * count);
    }
    for (int i = 0; i <= sweep.count; ++i) {
        sweep.there[i] = in[node_[first + i]];
    }
    // Where ways back take as long, the way on from one position is the way there from the next.
    sweep.onward = flat_->is_symmetric ? sweep.there.data() + 1 : sweep.away.data();
    for (int i = 0; i < sweep.count && !flat_->is_symmetric; ++i) {
        sweep.away[i] = out[node_[first + i + 1]];
    }
    const SlotScan columns{sweep.there.data(),
                           sweep.onward,
                           straight_.data() + first,
                           free_.data() + first,
                           latest_.data() + first + 1,
                           sweep.count,
                           window,
                           service,
                           static_cast<std::uint32_t>(drive_weight),
                           static_cast<std::uint32_t>(push_weight)};
    sweep.least = scan_slots(columns, sweep.cost.data());
    return true;
}

Slot Route::swept(int job, const SlotSweep& sweep, int index) const
{
    const int position = sweep.first + index;
    const Time there = sweep.there[index];
    const Time onward = sweep.onward[index];
    const Time start = std::max(free_[position] + there, flat_->windows(job, car_).front().opens);
    const Time reach = start + flat_->service_of(job, car_) + onward;
    const Time straight = straight_[position];
    return {position, there + onward - straight, reach - free_[position] - straight, 0,
            static_cast<double>(sweep.cost[index])};
}

Slot Route::slot(int job, int position) const
{
    const std::size_t row = static_cast<std::size_t>(job) * flat_->nodes;
    const Car& car = flat_->cars[car_];
    const Time there = flat_->ways_to(job)[node_[position]];
    const Time onward = flat_->out[row + node_[position + 1]];
    if (there >= kNever || onward >= kNever ||
        (flat_->has_carried && !has_room_at(job, position))) {
        return {};
    }
    const auto windows = flat_->windows(job, car_);
    const Time service = flat_->service_of(job, car_);
    const Traffic& traffic = flat_->traffic;
    const Time start = first_start(windows, traffic.arrive(free_[position], there));
    const Time leave = start == kNever ? kNever : start + service;
    const Time reach = leave == kNever ? kNever : traffic.arrive(leave, onward);
    bool fits = reach <= latest_[position + 1];
    Time rested = kNever;
    if (car.pause) {
        const Time rested_start =
            free_rested_[position] >= kNever
                ? kNever
                : first_start(windows, traffic.arrive(free_rested_[position], there));
        rested = rested_start == kNever ? kNever : rested_start + service;
        rested = std::min(rested, leave == kNever ? kNever : pause_end(*car.pause, leave));
        fits = fits ||
               (rested < kNever && traffic.arrive(rested, onward) <= latest_rested_[position + 1]);
    }
    if (!fits) {
        return {};
    }
    const Time straight = straight_[position];
    Slot slot;
    slot.position = position;
    slot.drive = there + onward - straight;
    slot.push = std::min(reach, kNever) - traffic.arrive(free_[position], straight);
    if (car.cost_over > 0) {
        slot.over = car.over(home_after(position, leave, rested, onward)) - over_;
    }
    return slot;
}

Time Route::home_after(int position, Time free, Time rested, Time onward) const
{
    const Car& car = flat_->cars[car_];
    const Traffic& traffic = flat_->traffic;
    const int n = size();
    Time way = onward;
    for (int i = position + 1; i <= n; ++i) {
        const auto windows = flat_->windows(node_[i], car_);
        const Time service = flat_->service_of(node_[i], car_);
        const auto leave = [&](Time t) {
            const Time start = t >= kNever ? kNever : first_start(windows, traffic.arrive(t, way));
            return start == kNever ? kNever : start + service;
        };
        free = leave(free);
        if (car.pause) {
            rested = std::min(leave(rested), free >= kNever ? kNever : pause_end(*car.pause, free));
        }
        way = straight_[i];
    }
    const Time last = car.pause ? std::min(car.last, car.pause->closes) : car.last;
    const Time home = free >= kNever ? kNever : traffic.arrive(free, way);
    if (home <= last || rested >= kNever) {
        return home;
    }
    return traffic.arrive(rested, way);
}

TimetableRow Route::row(int job, int position) const
{
    TimetableRow row;
    const Car& car = flat_->cars[car_];
    std::vector<int> jobs(node_.begin() + 1, node_.end() - 1);
    if (job >= 0) {
        jobs.insert(jobs.begin() + position, job);
    }
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const int next = i + 1 < jobs.size() ? jobs[i + 1] : car.end;
        row.steps.push_back({flat_->windows(jobs[i], car_), flat_->service_of(jobs[i], car_),
                             flat_->drive(jobs[i], next), flat_->ride_limit[jobs[i]]});
    }
    row.frame = {
        {car.opens, car.last}, jobs.empty() ? 0 : flat_->drive(car.start, jobs.front()), car.pause};
    row.paid_from = car.closes;
    row.cost_per_second = car.cost_over;
    return row;
}

std::optional<Time> Route::live_home(int job, int position, LiveScratch& scratch) const
{
    const Car& car = flat_->cars[car_];
    if (!flat_->traffic.is_even()) {
        const TimetableRow one = row(job, position);
        const auto times = scratch.timetable.solve({&one, 1}, {}, flat_->traffic);
        return times ? std::optional{times->front().home} : std::nullopt;
    }
    auto& steps = scratch.steps;
    steps.clear();
    const auto add = [&](int j, int next) {
        steps.push_back({flat_->windows(j, car_), flat_->service_of(j, car_), flat_->drive(j, next),
                         flat_->ride_limit[j]});
    };
    for (int i = 1; i <= size() + 1; ++i) {
        if (job >= 0 && i == position + 1) {
            add(job, node_[i]);
        }
        if (i <= size()) {
            add(node_[i], job >= 0 && i == position ? job : node_[i + 1]);
        }
    }
    const int first = job >= 0 && position == 0 ? job : node_[1];
    const Frame frame{{car.opens, car.last}, flat_->drive(car.start, first), car.pause};
    if (car.cost_over == 0) {
        return scratch.timing.is_feasible(steps, frame) ? std::optional{home_} : std::nullopt;
    }
    const auto times = scratch.timing.solve(steps, frame);
    return times ? std::optional{times->home} : std::nullopt;
}

bool Route::is_kept_alive(int job, Slot& slot, LiveScratch& scratch) const
{
    if (live_ == 0 && flat_->ride_limit[job] == kNoLimit) {
        return true;
    }
    const auto home = live_home(job, slot.position, scratch);
    if (home && flat_->cars[car_].cost_over > 0) {
        slot.over = flat_->cars[car_].over(*home) - over_;
    }
    return home.has_value();
}

void Route::set_home(Time home)
{
    home_ = home;
    over_ = size() == 0 ? 0 : flat_->cars[car_].over(home);
}

void Route::insert(int job, const Slot& slot)
{
    [[maybe_unused]] const std::int64_t promised = profit() + gain(job, slot);
    const Car& car = flat_->cars[car_];
    node_.insert(node_.begin() + slot.position + 1, job);
    driving_ += slot.drive;
    profit_ += flat_->value_of(job, car_) - car.cost * slot.drive - (size() == 1 ? car.fixed : 0);
    live_ += flat_->ride_limit[job] != kNoLimit ? 1 : 0;
    for (int r = 0; r < flat_->resources; ++r) {
        load_[r] += flat_->demand[job * flat_->resources + r];
    }
    [[maybe_unused]] const bool kept = update();
    assert(kept);
#ifndef NDEBUG
    recount();
    assert(profit() == promised || flat_->has_links);  // the promise of gain()
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
    // Only a detour that is quicker than the direct way can spoil this; ask all the same.
    return live_ == 0 || live_home(-1, 0, scratch).has_value();
}

bool Route::update()
{
    const Car& car = flat_->cars[car_];
    const Traffic& traffic = flat_->traffic;
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
    bool kept = !flat_->has_carried || update_loads();
    for (int i = 1; i <= n; ++i) {
        const int j = node_[i];
        const Time start =
            first_start(flat_->windows(j, car_), traffic.arrive(free_[i - 1], straight_[i - 1]));
        // kNever must not be added to twice.
        free_[i] = start == kNever ? kNever / 2 : start + flat_->service_of(j, car_);
    }
    home_ = n == 0 ? car.opens : traffic.arrive(free_[n], straight_[n]);
    free_[n + 1] = home_;
    latest_[n + 1] = car.pause ? std::min(car.last, car.pause->closes) : car.last;
    if (car.pause) {
        kept = update_with_pause() && kept;
    } else {
        for (int i = n; i >= 1; --i) {
            const int j = node_[i];
            latest_[i] =
                last_start(flat_->windows(j, car_), traffic.leave_by(latest_[i + 1], straight_[i]) -
                                                        flat_->service_of(j, car_));
        }
        gap_.resize(count - 1);
        most_gap_ = 0;
        for (int i = 0; i <= n; ++i) {
            gap_[i] = latest_[i + 1] - free_[i];
            most_gap_ = std::max(most_gap_, gap_[i]);
        }
        if (n > 0) {
            kept = kept && traffic.arrive(car.opens, straight_[0]) <= latest_[1];
        }
    }
    over_ = n == 0 ? 0 : car.over(home_);
    if (car.cost_over > 0 && live_ > 0 && kept) {
        LiveScratch scratch;
        if (const auto home = live_home(-1, 0, scratch)) {
            set_home(*home);
        }
    }
    return kept;
}

bool Route::update_with_pause()
{
    const Car& car = flat_->cars[car_];
    const Traffic& traffic = flat_->traffic;
    const PauseRule& pause = *car.pause;
    const int n = size();
    const std::size_t count = node_.size();
    free_rested_.resize(count);
    latest_rested_.resize(count);
    free_rested_[0] = pause_end(pause, car.opens);
    for (int i = 1; i <= n; ++i) {
        const int j = node_[i];
        Time rested = kNever;
        if (free_rested_[i - 1] < kNever) {
            const Time start = first_start(flat_->windows(j, car_),
                                           traffic.arrive(free_rested_[i - 1], straight_[i - 1]));
            rested = start == kNever ? kNever : start + flat_->service_of(j, car_);
        }
        free_rested_[i] = std::min(rested, pause_end(pause, free_[i]));
    }
    if (n > 0 && free_rested_[n] < kNever && home_ > latest_[n + 1]) {
        home_ = traffic.arrive(free_rested_[n], straight_[n]);
    }
    free_rested_[n + 1] = home_;
    latest_rested_[n + 1] = car.last;
    for (int i = n; i >= 1; --i) {
        const int j = node_[i];
        const Time service = flat_->service_of(j, car_);
        const Time rested_leave = traffic.leave_by(latest_rested_[i + 1], straight_[i]);
        latest_rested_[i] = last_start(flat_->windows(j, car_), rested_leave - service);
        Time leave = traffic.leave_by(latest_[i + 1], straight_[i]);
        if (pause.opens + pause.length <= rested_leave) {
            leave = std::max(leave, std::min(pause.closes, rested_leave - pause.length));
        }
        latest_[i] = last_start(flat_->windows(j, car_), leave - service);
    }
    if (n == 0) {
        return true;
    }
    return traffic.arrive(car.opens, straight_[0]) <= latest_[1] ||
           (free_rested_[0] < kNever &&
            traffic.arrive(free_rested_[0], straight_[0]) <= latest_rested_[1]);
}

}  // namespace nestround::tour
