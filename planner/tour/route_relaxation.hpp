/// \file route_relaxation.hpp
/// \brief The best tour of one vehicle that may forget what it has visited, but not at once.
///
/// Purpose:  the inside of the bound by routes; not for others. A tour remembers a visited job as
///           long as it stays among jobs that have it in their neighbourhood; with whole
///           neighbourhoods no job is visited twice, with small ones the tours are many fewer.
/// Units:    as flat.hpp; values are points times a scale of the caller's.
/// Range:    up to 64 * W jobs.
/// Accuracy: windows, driving, traffic, costs of driving and of leaving are kept; pauses, ride
///           limits, loads and second visits are not, and overtime is free. So no real tour is
///           worth more than the best one found.
/// Cost:     as many labels as the work allows.
/// Errors:   is_complete() is false when the work allowed ended first.
/// Source:   own; neighbourhoods after R. Baldacci, A. Mingozzi, R. Roberti, "New route relaxation
///           and pricing strategies for the vehicle routing problem", Oper. Res. 59 (2011);
///           enlarging them where a tour repeats after G. Righini, M. Salani, Networks 51 (2008).
#pragma once

#include <algorithm>
#include <array>
#include <queue>
#include <vector>

#include "planner/tour/flat.hpp"

namespace nestround::tour {

template <std::size_t W>
class RouteRelaxation {
public:
    using Bits = std::array<std::uint64_t, W>;

    RouteRelaxation(const Flat& flat, int car, std::int64_t scale)
        : flat_{flat},
          car_{flat.cars[car]},
          index_{car},
          scale_{scale},
          wide_(static_cast<std::size_t>(flat.jobs)),
          narrow_(static_cast<std::size_t>(flat.jobs)),
          by_nearness_(static_cast<std::size_t>(flat.jobs))
    {
        for (int j = 0; j < flat.jobs; ++j) {
            soonest_.push_back(flat.may[car * flat.jobs + j] == 0
                                   ? kNever
                                   : start(j, car_.opens, flat.drive(car_.start, j)));
            latest_.push_back(last(j, car_.last, flat.drive(j, car_.end)));
            if (soonest_[j] > latest_[j]) {
                continue;
            }
            useful_.push_back(j);
        }
        for (const int j : useful_) {
            auto& order = by_nearness_[j];
            order = useful_;
            std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
                return flat.drive(j, a) + flat.drive(a, j) < flat.drive(j, b) + flat.drive(b, j);
            });
        }
    }

    /// Neighbourhoods of at least this many jobs each; the narrow ones stay within the wide ones.
    void widen(std::size_t count, bool narrow = false)
    {
        for (const int j : useful_) {
            auto& near = narrow ? narrow_[j] : wide_[j];
            for (std::size_t i = 0; i < std::min(count, by_nearness_[j].size()); ++i) {
                set(near, by_nearness_[j][i]);
            }
            set(near, j);
        }
    }

    /// So that the tour found last does not repeat a job again in that way; false: it repeats none.
    bool forbid_repeats()
    {
        bool repeats = false;
        for (std::size_t a = 0; a < route_.size(); ++a) {
            for (std::size_t b = a + 1; b < route_.size(); ++b) {
                if (route_[a] == route_[b]) {
                    repeats = true;
                    for (std::size_t between = a; between <= b; ++between) {
                        set(wide_[route_[between]], route_[a]);
                    }
                    break;
                }
            }
        }
        return repeats;
    }

    /// The most that a tour is worth, `prize` being what each job brings; `cutoff` when none is
    /// worth more than that. Backwards it is the same, and each run in one direction is cut by the
    /// last one in the other when `joins`: then prizes must be the same and neighbourhoods no
    /// smaller.
    std::int64_t run(const std::vector<std::int64_t>& prize, bool backwards, bool joins,
                     std::int64_t cutoff, std::uint64_t& work, bool narrow = false)
    {
        near_ = narrow ? &narrow_ : &wide_;
        prize_ = &prize;
        backwards_ = backwards;
        cutoff_ = cutoff;
        best_ = cutoff;
        best_label_ = -1;
        labels_.clear();
        queue_ = {};
        is_complete_ = true;
        Side& mine = sides_[backwards ? 1 : 0];
        other_ = joins ? &sides_[backwards ? 0 : 1] : nullptr;
        mine.done.assign(static_cast<std::size_t>(flat_.jobs), {});
        mine.best.assign(static_cast<std::size_t>(flat_.jobs), {});
        for (const int j : useful_) {
            const std::int64_t way =
                backwards ? flat_.drive(j, car_.end) : flat_.drive(car_.start, j);
            add(mine, j, backwards ? car_.last - latest_[j] : soonest_[j],
                prize[j] - scale_ * (car_.cost * way + (backwards ? 0 : car_.fixed)), Bits{}, -1);
        }
        while (!queue_.empty()) {
            const auto index = static_cast<int>(queue_.top() & 0xffffffffU);
            queue_.pop();
            const Label label = labels_[static_cast<std::size_t>(index)];
            if (is_beaten(mine, label)) {
                continue;
            }
            mine.done[label.job].push_back({label.time, label.value, label.seen});
            auto& best = mine.best[label.job];
            best.push_back(best.empty() ? label.value : std::max(best.back(), label.value));
            for (const int next : useful_) {
                if (has(label.seen, next)) {
                    continue;
                }
                if (work == 0) {
                    is_complete_ = false;
                    return best_;
                }
                --work;
                extend(mine, label, index, next);
            }
        }
        route_.clear();
        for (int i = best_label_; i >= 0; i = labels_[static_cast<std::size_t>(i)].parent) {
            route_.push_back(labels_[static_cast<std::size_t>(i)].job);
        }
        return best_;
    }

    [[nodiscard]] bool is_complete() const { return is_complete_; }
    /// Jobs of the best tour found last; empty when none was above the cutoff.
    [[nodiscard]] const std::vector<int>& route() const { return route_; }
    [[nodiscard]] const std::vector<int>& useful() const { return useful_; }

private:
    struct Label {
        Time time;  ///< earliest beginning of service; backwards: from the latest one to the end
        int job;
        int parent;
        std::int64_t value;
        Bits seen;
    };
    struct Done {
        Time time;
        std::int64_t value;
        Bits seen;
    };
    struct Side {
        std::vector<std::vector<Done>> done;          ///< by job, in the order of time
        std::vector<std::vector<std::int64_t>> best;  ///< by job: most value up to each of them
    };

    static void set(Bits& bits, int j)
    {
        bits[static_cast<std::size_t>(j) / 64] |= std::uint64_t{1} << (j % 64);
    }
    [[nodiscard]] static bool has(const Bits& bits, int j)
    {
        return (bits[static_cast<std::size_t>(j) / 64] >> (j % 64) & 1U) != 0;
    }

    [[nodiscard]] Time start(int j, Time leave, Time drive) const
    {
        return drive >= kNever ? kNever
                               : first_start(flat_.windows(j), flat_.traffic.arrive(leave, drive));
    }
    /// The latest beginning from which one drives on for `drive` to be there by `by`.
    [[nodiscard]] Time last(int j, Time by, Time drive) const
    {
        return drive >= kNever ? -1
                               : last_start(flat_.windows(j), flat_.traffic.leave_by(by, drive) -
                                                                  flat_.service_of(j, index_));
    }

    void extend(Side& mine, const Label& from, int parent, int next)
    {
        Time time = 0;
        Time drive = 0;
        if (backwards_) {
            drive = flat_.drive(next, from.job);
            const Time begin = last(next, car_.last - from.time, drive);
            if (begin < soonest_[next]) {
                return;
            }
            time = car_.last - begin;
        } else {
            drive = flat_.drive(from.job, next);
            time = start(next, from.time + flat_.service_of(from.job, index_), drive);
            if (time > latest_[next]) {
                return;
            }
        }
        add(mine, next, time, from.value + (*prize_)[next] - scale_ * car_.cost * drive, from.seen,
            parent);
    }

    void add(Side& mine, int job, Time time, std::int64_t value, Bits seen, int parent)
    {
        for (std::size_t w = 0; w < W; ++w) {
            seen[w] &= (*near_)[job][w];
        }
        set(seen, job);
        const Label label{time, job, parent, value, seen};
        if (is_beaten(mine, label) || !can_beat(label)) {
            return;
        }
        const Time home = backwards_ ? flat_.drive(car_.start, job) : flat_.drive(job, car_.end);
        const std::int64_t whole =
            value - scale_ * (car_.cost * home + (backwards_ ? car_.fixed : 0));
        if (whole > best_) {
            best_ = whole;
            best_label_ = static_cast<int>(labels_.size());
        }
        queue_.push(static_cast<std::uint64_t>(time) << 32U | labels_.size());
        labels_.push_back(label);
    }

    [[nodiscard]] static bool is_within(const Bits& a, const Bits& b)
    {
        for (std::size_t w = 0; w < W; ++w) {
            if ((a[w] & ~b[w]) != 0) {
                return false;
            }
        }
        return true;
    }

    /// By a label that is there sooner, is worth as much and has seen no more.
    [[nodiscard]] bool is_beaten(const Side& mine, const Label& label) const
    {
        const auto& best = mine.best[label.job];
        if (best.empty() || best.back() < label.value) {
            return false;
        }
        const auto& done = mine.done[label.job];
        return std::any_of(done.rbegin(), done.rend(), [&](const Done& other) {
            return other.value >= label.value && is_within(other.seen, label.seen);
        });
    }

    /// Whether some way on that the other direction knows leads above the cutoff.
    [[nodiscard]] bool can_beat(const Label& label) const
    {
        if (other_ == nullptr) {
            return true;
        }
        const std::int64_t need = cutoff_ - label.value + (*prize_)[label.job];
        const auto& done = other_->done[label.job];
        const Time until = car_.last - label.time;
        const auto end = static_cast<std::size_t>(
            std::upper_bound(done.begin(), done.end(), until,
                             [](Time t, const Done& one) { return t < one.time; }) -
            done.begin());
        if (end == 0 || other_->best[label.job][end - 1] <= need) {
            return false;
        }
        Bits seen = label.seen;
        seen[static_cast<std::size_t>(label.job) / 64] &= ~(std::uint64_t{1} << (label.job % 64));
        for (std::size_t i = end; i-- > 0;) {
            if (other_->best[label.job][i] <= need) {
                return false;
            }
            if (done[i].value <= need) {
                continue;
            }
            bool apart = true;
            for (std::size_t w = 0; w < W; ++w) {
                apart = apart && (done[i].seen[w] & seen[w]) == 0;
            }
            if (apart) {
                return true;
            }
        }
        return false;
    }

    const Flat& flat_;
    const Car& car_;
    int index_;
    std::int64_t scale_;
    std::vector<Time> soonest_;  ///< of each job, straight from the start
    std::vector<Time> latest_;   ///< of each job, so that one can go straight home
    std::vector<int> useful_;
    std::vector<Bits> wide_;    ///< by job: the jobs that keep it in mind
    std::vector<Bits> narrow_;  ///< the same
    const std::vector<Bits>* near_ = nullptr;
    std::vector<std::vector<int>> by_nearness_;
    std::array<Side, 2> sides_;
    const Side* other_ = nullptr;
    const std::vector<std::int64_t>* prize_ = nullptr;
    bool backwards_ = false;
    bool is_complete_ = true;
    std::int64_t cutoff_ = 0;
    std::int64_t best_ = 0;
    int best_label_ = -1;
    std::vector<Label> labels_;
    std::priority_queue<std::uint64_t, std::vector<std::uint64_t>, std::greater<>> queue_;
    std::vector<int> route_;
};

}  // namespace nestround::tour
