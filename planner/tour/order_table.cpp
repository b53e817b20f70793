#include "planner/tour/order_table.hpp"

#include <algorithm>

namespace nestround::tour {

namespace {

/// Up to this many jobs the least driving is found even where it costs nothing.
constexpr std::size_t kTidyJobs = 12;

}  // namespace

OrderTable::OrderTable(const Problem& problem, std::size_t v, std::vector<std::size_t> jobs,
                       std::int64_t home, std::uint64_t& work, const Floor* floor)
    : problem_{problem},
      vehicle_{problem.vehicle(v)},
      v_{v},
      jobs_{std::move(jobs)},
      home_{home},
      work_{work},
      floor_{floor},
      has_pause_{vehicle_.pause.has_value()},
      weighs_driving_{vehicle_.cost_per_second > Points{0} || jobs_.size() <= kTidyJobs},
      reached_(std::size_t{1} << jobs_.size(), 0),
      heads_((std::size_t{1} << jobs_.size()) * (jobs_.size() + 1) * (has_pause_ ? 2 : 1), -1)
{
    find_fits();
    if (fits_[0] == 0) {
        return;
    }
    add(cell(0, jobs_.size(), false), vehicle_.shift.opens.count(), 0, -1,
        static_cast<std::uint32_t>(jobs_.size()));
    reached_[0] = 1;
    const Set all = static_cast<Set>((std::size_t{1} << jobs_.size()) - 1);
    for (Set set = 0; is_complete_; ++set) {
        if (reached_[set] != 0) {
            spread(set);
        }
        if (set == all) {
            break;
        }
    }
}

void OrderTable::find_fits()
{
    const std::size_t sets = std::size_t{1} << jobs_.size();
    fits_.assign(sets, 1);
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
        if (!problem_.may_serve(jobs_[i], v_)) {
            for (std::size_t set = 0; set < sets; ++set) {
                fits_[set] = (set >> i & 1U) != 0 ? 0 : fits_[set];
            }
        }
    }
    std::vector<std::int64_t> load(sets, 0);
    for (std::size_t r = 0; r < problem_.resources(); ++r) {
        for (std::size_t set = 1; set < sets; ++set) {
            const std::size_t rest = set & (set - 1);
            std::size_t lowest = 0;
            while ((set >> lowest & 1U) == 0) {
                ++lowest;
            }
            load[set] = load[rest] + problem_.demand(jobs_[lowest], r);
            const bool over = !vehicle_.capacity.empty() && load[set] > vehicle_.capacity[r];
            // What is aboard after a set does not depend on its order.
            if (over || (problem_.is_carried(r) && load[set] < 0)) {
                fits_[set] = 0;
            }
        }
    }
}

std::int64_t OrderTable::arrive(std::int64_t leave, std::int64_t drive) const
{
    return problem_.traffic().arrive(static_cast<Time>(leave), static_cast<Time>(drive));
}

std::vector<OrderTable::End> OrderTable::ends(Set set) const
{
    std::vector<End> result;
    if (fits_[set] == 0 || reached_[set] == 0) {
        return result;
    }
    for (std::size_t last = 0; last < jobs_.size(); ++last) {
        const std::size_t place = problem_.job(jobs_[last]).place;
        if (!problem_.is_linked(place, vehicle_.end_place)) {
            continue;
        }
        const std::int64_t leg = problem_.drive(place, vehicle_.end_place).count();
        for (int rested = 0; rested <= (has_pause_ ? 1 : 0); ++rested) {
            std::int64_t latest = problem_.last_home(v_).count();
            if (has_pause_ && rested == 0) {
                latest = std::min<std::int64_t>(latest, vehicle_.pause->start.closes.count());
            }
            for (auto i = heads_[cell(set, last, rested != 0)]; i >= 0;
                 i = labels_[static_cast<std::size_t>(i)].next) {
                const Label& label = labels_[static_cast<std::size_t>(i)];
                const std::int64_t home = arrive(label.free_from, leg);
                if (home <= latest) {
                    result.push_back({home, label.driving + leg, i});
                }
            }
        }
    }
    return result;
}

std::vector<std::size_t> OrderTable::order(std::int32_t label) const
{
    std::vector<std::size_t> result;
    for (; label >= 0; label = labels_[static_cast<std::size_t>(label)].parent) {
        const std::uint32_t job = labels_[static_cast<std::size_t>(label)].job;
        // A pause repeats the job of its parent, and the start has none.
        if (job < jobs_.size() && (result.empty() || result.back() != jobs_[job])) {
            result.push_back(jobs_[job]);
        }
    }
    std::reverse(result.begin(), result.end());
    return result;
}

void OrderTable::add(std::size_t where, std::int64_t free_from, std::int64_t driving,
                     std::int32_t parent, std::uint32_t job)
{
    std::int32_t* link = &heads_[where];
    while (*link >= 0) {
        Label& other = labels_[static_cast<std::size_t>(*link)];
        if (other.free_from <= free_from && (!weighs_driving_ || other.driving <= driving)) {
            return;
        }
        if (free_from <= other.free_from && (!weighs_driving_ || driving <= other.driving)) {
            *link = other.next;
        } else {
            link = &other.next;
        }
    }
    if (work_ == 0) {
        is_complete_ = false;
        return;
    }
    --work_;
    const std::int32_t next = heads_[where];
    heads_[where] = static_cast<std::int32_t>(labels_.size());
    labels_.push_back({static_cast<std::int32_t>(free_from), static_cast<std::int32_t>(driving),
                       parent, next, job});
}

std::int64_t OrderTable::start(std::size_t job, std::int64_t t) const
{
    if (home_ != kNoHome && problem_.job(job).ride_limit) {
        t = std::max<std::int64_t>(
            t, home_ - problem_.job(job).ride_limit->count() - problem_.service(job, v_).count());
    }
    for (const auto& window : problem_.windows(job)) {
        if (t <= window.closes.count()) {
            return std::max<std::int64_t>(t, window.opens.count());
        }
    }
    return -1;
}

bool OrderTable::is_poor(Set set, const Label& label, std::size_t last) const
{
    std::int64_t most = -label.driving * vehicle_.cost_per_second.value();
    const std::size_t here =
        last == jobs_.size() ? vehicle_.start_place : problem_.job(jobs_[last]).place;
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
        if ((set >> i & 1U) != 0) {
            most += floor_->value[i];
            continue;
        }
        if (floor_->is_only_vehicle) {
            // A detour may be quicker than the direct way, so only the clock itself counts.
            const auto windows = problem_.windows(jobs_[i]);
            const std::size_t there = problem_.job(jobs_[i]).place;
            const bool is_late = label.free_from > windows.back().closes.count() ||
                                 (floor_->is_metric && problem_.is_linked(here, there) &&
                                  arrive(label.free_from, problem_.drive(here, there).count()) >
                                      windows.back().closes.count());
            if (is_late) {
                continue;
            }
        }
        most += floor_->most[i];
    }
    return most < floor_->at_least;
}

void OrderTable::spread(Set set)
{
    for (std::size_t last = 0; last <= jobs_.size() && is_complete_; ++last) {
        if (has_pause_) {
            pause(set, last);
        }
        for (int rested = 0; rested <= (has_pause_ ? 1 : 0); ++rested) {
            for (auto i = heads_[cell(set, last, rested != 0)]; i >= 0;) {
                const Label label = labels_[static_cast<std::size_t>(i)];
                if (floor_ == nullptr || !is_poor(set, label, last)) {
                    for (std::size_t next = 0; next < jobs_.size() && is_complete_; ++next) {
                        if ((set >> next & 1U) == 0) {
                            visit(set, last, rested != 0, i, next);
                        }
                    }
                }
                i = label.next;
            }
        }
    }
}

void OrderTable::pause(Set set, std::size_t last)
{
    const Pause& rule = *vehicle_.pause;
    for (auto i = heads_[cell(set, last, false)]; i >= 0;) {
        const Label label = labels_[static_cast<std::size_t>(i)];
        const auto begin = std::max<std::int64_t>(label.free_from, rule.start.opens.count());
        if (begin <= rule.start.closes.count()) {
            add(cell(set, last, true), begin + rule.length.count(), label.driving, i, label.job);
        }
        i = label.next;
    }
}

void OrderTable::visit(Set set, std::size_t last, bool rested, std::int32_t index, std::size_t next)
{
    const Set more = set | (Set{1} << next);
    if (fits_[more] == 0) {
        return;
    }
    const Label from = labels_[static_cast<std::size_t>(index)];
    const std::size_t here =
        last == jobs_.size() ? vehicle_.start_place : problem_.job(jobs_[last]).place;
    const std::size_t there = problem_.job(jobs_[next]).place;
    if (!problem_.is_linked(here, there)) {
        return;
    }
    const std::int64_t leg = problem_.drive(here, there).count();
    const auto begin = start(jobs_[next], arrive(from.free_from, leg));
    if (begin >= 0) {
        reached_[more] = 1;
        add(cell(more, next, rested), begin + problem_.service(jobs_[next], v_).count(),
            from.driving + leg, index, static_cast<std::uint32_t>(next));
    }
}

}  // namespace nestround::tour
