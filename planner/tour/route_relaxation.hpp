/// \file route_relaxation.hpp
/// \brief The best tour of one vehicle that may forget what it has visited, but not at once.
///
/// Purpose:  the inside of the bound by routes; not for others. A tour remembers a visited job as
///           long as it stays among jobs that have it in their neighbourhood; with whole
///           neighbourhoods no job is visited twice, with small ones the tours are many fewer.
/// Units:    as flat.hpp; values are points times a scale of the caller's.
/// Range:    up to 64 * W jobs.
/// Accuracy: windows, driving, traffic, the pause, overtime and all costs are kept, and loads from
///           hold() on; ride limits, carried loads and second visits are not. So no real tour is
///           worth more than the best one found. Backwards, overtime is free.
/// Cost:     as many labels as the work allows.
/// Errors:   is_complete() is false when the work allowed ended first.
/// Source:   own; neighbourhoods after R. Baldacci, A. Mingozzi, R. Roberti, "New route relaxation
///           and pricing strategies for the vehicle routing problem", Oper. Res. 59 (2011);
///           enlarging them where a tour repeats after G. Righini, M. Salani, Networks 51 (2008).
#pragma once

#include <algorithm>
#include <array>
#include <limits>
#include <map>
#include <queue>
#include <unordered_map>
#include <vector>

#include "planner/tour/flat.hpp"

namespace nestround::tour {

/// A tour that one vehicle can drive, as far as the relaxation knows.
struct RelaxedTour {
    std::vector<int> jobs;   ///< in order
    std::int64_t value = 0;  ///< at the prizes of the run
};

template <std::size_t W>
class RouteRelaxation {
public:
    using Bits = std::array<std::uint64_t, W>;
    static constexpr std::size_t kHeld = 2;  ///< resources that tours may be held to

    /// `least` leads from node to node like flat.out, by whatever detour is quickest.
    RouteRelaxation(const Flat& flat, const std::vector<Time>& least, int car, std::int64_t scale)
        : flat_{flat},
          car_{flat.cars[car]},
          index_{car},
          scale_{scale},
          wide_(static_cast<std::size_t>(flat.jobs)),
          narrow_(static_cast<std::size_t>(flat.jobs)),
          all_(static_cast<std::size_t>(flat.jobs)),
          by_nearness_(static_cast<std::size_t>(flat.jobs))
    {
        for (int j = 0; j < flat.jobs; ++j) {
            soonest_.push_back(flat.may[car * flat.jobs + j] == 0
                                   ? kNever
                                   : start(j, car_.opens, least_of(least, car_.start, j)));
            latest_.push_back(last(j, car_.last, least_of(least, j, car_.end)));
            soonest_paused_.push_back(soonest_.back());
            latest_unpaused_.push_back(latest_.back());
            if (car_.pause) {
                // Where the pause would be is not known: some stop may be next door.
                const Time rested = pause_end(*car_.pause, car_.opens);
                soonest_paused_.back() =
                    std::max(soonest_.back(),
                             rested >= kNever ? kNever : first_start(flat.windows(j), rested));
                latest_unpaused_.back() = std::max(
                    last(j, std::min(car_.pause->closes, car_.last), least_of(least, j, car_.end)),
                    last_start(flat.windows(j),
                               std::min(car_.pause->closes, car_.last - car_.pause->length) -
                                   flat.service_of(j, car)));
            }
            if (soonest_[j] > latest_[j]) {
                continue;
            }
            useful_.push_back(j);
        }
        for (const int j : useful_) {
            for (const int other : useful_) {
                set(all_[j], other);
            }
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

    /// From now on tours keep to the load that the one found last is too heavy for; false: it is
    /// for none, or too many loads are kept already.
    bool hold()
    {
        for (int r = 0; r < flat_.resources && held_.size() < kHeld; ++r) {
            if (flat_.carried[r] == 0 && std::find(held_.begin(), held_.end(), r) == held_.end() &&
                load_of(route_, r) > capacity(r)) {
                held_.push_back(r);
                return true;
            }
        }
        return false;
    }

    /// Whether a tour repeats no job and is too heavy nowhere.
    [[nodiscard]] bool is_sound(const std::vector<int>& tour) const
    {
        std::vector<int> once = tour;
        std::sort(once.begin(), once.end());
        bool sound = std::adjacent_find(once.begin(), once.end()) == once.end();
        for (int r = 0; r < flat_.resources && sound; ++r) {
            sound = flat_.carried[r] != 0 || load_of(tour, r) <= capacity(r);
        }
        return sound;
    }

    /// Which tours are told apart.
    enum class Memory {
        Narrow,  ///< those that remember different jobs of small neighbourhoods
        Wide,    ///< of wider ones
        None,    ///< none, and time is points: quick, and the best may be missed
    };

    /// The most that a tour is worth, `prize` being what each job brings; `cutoff` when none is
    /// worth more than that. Backwards it is the same, and each run in one direction is cut by the
    /// last one in the other when `joins`: then prizes must be the same and neighbourhoods no
    /// smaller.
    std::int64_t run(const std::vector<std::int64_t>& prize, bool backwards, bool joins,
                     std::int64_t cutoff, std::uint64_t& work, Memory memory = Memory::Wide)
    {
        begin(prize, backwards, joins, cutoff,
              memory == Memory::Narrow ? narrow_
              : memory == Memory::Wide ? wide_
                                       : all_);
        forgets_ = memory == Memory::None;
        // Half of what a second of such a tour brings on average.
        hurry_ = static_cast<double>(cutoff) * kHurry /
                 static_cast<double>(std::max<Time>(1, car_.last - car_.opens));
        if (forgets_) {
            records_.fill(std::vector<double>(static_cast<std::size_t>(flat_.jobs), kNoRecord));
        }
        Side& mine = sides_[backwards ? 1 : 0];
        set_off(mine);
        while (!queue_.empty()) {
            const auto index = static_cast<int>(queue_.top() & 0xffffffffU);
            queue_.pop();
            const Label label = labels_[static_cast<std::size_t>(index)];
            if (is_beaten(mine, label)) {
                continue;
            }
            if (forgets_) {
                note_record(label);
            } else {
                mine.done[label.job].push_back(label);
                auto& best = mine.best[label.job];
                best.push_back(best.empty() ? label.value : std::max(best.back(), label.value));
            }
            for (const int next : useful_) {
                if (has(label.seen, next) || (forgets_ && prize[next] <= 0)) {
                    continue;
                }
                ++looks_;
                extend(mine, label, index, next);
            }
            if (!pay(work)) {
                return best_;
            }
        }
        route_ = best_label_ < 0 ? std::vector<int>{} : jobs_of(best_label_);
        return best_;
    }

    /// After a run backwards that joined: all tours without repeats worth more than `cutoff`, the
    /// best order of each set of jobs; nothing when there are more than `most`.
    [[nodiscard]] std::vector<RelaxedTour> all(const std::vector<std::int64_t>& prize,
                                               std::int64_t cutoff, std::size_t most,
                                               std::uint64_t& work)
    {
        begin(prize, false, true, cutoff, all_);
        forgets_ = false;
        Side& mine = sides_[0];
        sets_.clear();
        lists_all_ = true;
        set_off(mine);
        while (!queue_.empty() && is_complete_) {
            const auto index = static_cast<int>(queue_.top() & 0xffffffffU);
            queue_.pop();
            const Label label = labels_[static_cast<std::size_t>(index)];
            for (const int next : useful_) {
                if (!has(label.seen, next)) {
                    ++looks_;
                    extend(mine, label, index, next);
                }
            }
            is_complete_ = pay(work) && labels_.size() <= most;
        }
        lists_all_ = false;
        std::vector<RelaxedTour> result;
        if (!is_complete_) {
            return result;
        }
        std::map<Bits, std::pair<std::int64_t, int>> best;
        for (const auto& [whole, label] : finals_) {
            auto [at, is_new] =
                best.try_emplace(labels_[static_cast<std::size_t>(label)].seen, whole, label);
            if (!is_new && at->second.first < whole) {
                at->second = {whole, label};
            }
        }
        for (const auto& [seen, found] : best) {
            result.push_back({jobs_of(found.second), found.first});
        }
        return result;
    }

    [[nodiscard]] bool is_complete() const { return is_complete_; }
    /// Jobs of the best tour found last; empty when none was above the cutoff.
    [[nodiscard]] const std::vector<int>& route() const { return route_; }
    [[nodiscard]] const std::vector<int>& useful() const { return useful_; }

    /// Of the last run, forwards: up to `most` sound tours above the cutoff, the best first, no two
    /// of the same jobs.
    [[nodiscard]] std::vector<RelaxedTour> best_tours(std::size_t most) const
    {
        auto finals = finals_;
        std::sort(finals.begin(), finals.end(), [](const auto& a, const auto& b) {
            return a.first != b.first ? a.first > b.first : a.second < b.second;
        });
        std::vector<RelaxedTour> result;
        std::vector<std::vector<int>> sets;
        std::vector<std::size_t> ends(static_cast<std::size_t>(flat_.jobs), 0);
        for (const auto& [whole, label] : finals) {
            if (result.size() >= most) {
                break;
            }
            auto& used =
                ends[static_cast<std::size_t>(labels_[static_cast<std::size_t>(label)].job)];
            if (used * 6 > most) {
                continue;
            }
            auto jobs = jobs_of(label);
            auto once = jobs;
            std::sort(once.begin(), once.end());
            if (!is_sound(jobs) || std::find(sets.begin(), sets.end(), once) != sets.end()) {
                continue;
            }
            ++used;
            sets.push_back(std::move(once));
            result.push_back({std::move(jobs), whole});
        }
        return result;
    }

private:
    struct Label {
        Time time;  ///< earliest beginning of service; backwards: from the latest one to the end
        int job;
        int parent;
        /// Forwards: the pause is behind, or none is asked for. Backwards: what follows does for
        /// one who has not paused. Of two labels that are joined one must be.
        bool is_free;
        std::int64_t value;
        Bits seen;
        std::array<std::int64_t, kHeld> load;
    };
    struct Side {
        std::vector<std::vector<Label>> done;         ///< by job, in the order of time
        std::vector<std::vector<std::int64_t>> best;  ///< by job: most value up to each of them
    };
    struct HashBits {
        std::size_t operator()(const std::pair<int, Bits>& key) const
        {
            std::uint64_t hash = static_cast<std::uint64_t>(key.first) + 1;
            for (const auto word : key.second) {
                hash = (hash ^ word) * 0x9e3779b97f4a7c15ULL;
                hash ^= hash >> 29U;
            }
            return static_cast<std::size_t>(hash);
        }
    };

    static void set(Bits& bits, int j)
    {
        bits[static_cast<std::size_t>(j) / 64] |= std::uint64_t{1} << (j % 64);
    }
    [[nodiscard]] static bool has(const Bits& bits, int j)
    {
        return (bits[static_cast<std::size_t>(j) / 64] >> (j % 64) & 1U) != 0;
    }

    [[nodiscard]] std::int64_t capacity(int r) const
    {
        return flat_.capacity[static_cast<std::size_t>(index_) * flat_.resources + r];
    }
    [[nodiscard]] std::int64_t demand(int j, int r) const
    {
        return flat_.demand[static_cast<std::size_t>(j) * flat_.resources + r];
    }
    [[nodiscard]] std::int64_t load_of(const std::vector<int>& tour, int r) const
    {
        std::int64_t load = 0;
        for (const int j : tour) {
            load += demand(j, r);
        }
        return load;
    }

    [[nodiscard]] Time start(int j, Time leave, Time drive) const
    {
        return drive >= kNever || leave >= kNever
                   ? kNever
                   : first_start(flat_.windows(j), flat_.traffic.arrive(leave, drive));
    }
    /// The latest beginning from which one drives on for `drive` to be there by `by`.
    [[nodiscard]] Time last(int j, Time by, Time drive) const
    {
        return drive >= kNever ? -1
                               : last_start(flat_.windows(j), flat_.traffic.leave_by(by, drive) -
                                                                  flat_.service_of(j, index_));
    }
    /// The same, with the pause before driving on.
    [[nodiscard]] Time last_with_pause(int j, Time by, Time drive) const
    {
        if (drive >= kNever) {
            return -1;
        }
        const Time begin =
            std::min(car_.pause->closes, flat_.traffic.leave_by(by, drive) - car_.pause->length);
        return begin < car_.pause->opens
                   ? -1
                   : last_start(flat_.windows(j), begin - flat_.service_of(j, index_));
    }
    [[nodiscard]] Time least_of(const std::vector<Time>& least, int from, int to) const
    {
        return least[static_cast<std::size_t>(from) * flat_.nodes + to];
    }

    void begin(const std::vector<std::int64_t>& prize, bool backwards, bool joins,
               std::int64_t cutoff, const std::vector<Bits>& near)
    {
        near_ = &near;
        prize_ = &prize;
        backwards_ = backwards;
        cutoff_ = cutoff;
        best_ = cutoff;
        best_label_ = -1;
        labels_.clear();
        finals_.clear();
        queue_ = {};
        looks_ = 0;
        is_complete_ = true;
        other_ = joins ? &sides_[backwards ? 0 : 1] : nullptr;
        Side& mine = sides_[backwards ? 1 : 0];
        mine.done.assign(static_cast<std::size_t>(flat_.jobs), {});
        mine.best.assign(static_cast<std::size_t>(flat_.jobs), {});
    }

    /// Takes what was looked at since the last time from the work; false: none is left.
    bool pay(std::uint64_t& work)
    {
        const std::uint64_t used = std::min(work, looks_);
        work -= used;
        looks_ = 0;
        is_complete_ = is_complete_ && work > 0;
        return is_complete_;
    }

    void set_off(Side& mine)
    {
        for (const int j : useful_) {
            const Time way = backwards_ ? flat_.drive(j, car_.end) : flat_.drive(car_.start, j);
            if (way >= kNever) {
                continue;
            }
            const std::int64_t value =
                (*prize_)[j] - scale_ * (car_.cost * way + (backwards_ ? 0 : car_.fixed));
            Label label{0, j, -1, !car_.pause, value, Bits{}, {}};
            if (backwards_) {
                add_if(mine, label, last(j, car_.last, way));
                if (car_.pause) {
                    label.is_free = true;
                    add_if(mine, label,
                           std::max(last(j, std::min(car_.pause->closes, car_.last), way),
                                    last_with_pause(j, car_.last, way)));
                }
                continue;
            }
            add_if(mine, label, start(j, car_.opens, way));
            if (car_.pause) {
                label.is_free = true;
                add_if(mine, label, start(j, pause_end(*car_.pause, car_.opens), way));
            }
        }
    }

    /// With service beginning at `begin`, unless that cannot be part of a tour.
    void add_if(Side& mine, Label& label, Time begin)
    {
        if (backwards_ ? begin >= lower(label.job, label.is_free)
                       : begin <= upper(label.job, label.is_free)) {
            label.time = backwards_ ? car_.last - begin : begin;
            add(mine, label);
        }
    }

    /// No beginning of service later than this leads home.
    [[nodiscard]] Time upper(int j, bool is_free) const
    {
        return is_free ? latest_[j] : latest_unpaused_[j];
    }
    /// Backwards: none sooner can be reached.
    [[nodiscard]] Time lower(int j, bool is_free) const
    {
        return is_free ? soonest_[j] : soonest_paused_[j];
    }

    void extend(Side& mine, const Label& from, int parent, int next)
    {
        const Time drive = backwards_ ? flat_.drive(next, from.job) : flat_.drive(from.job, next);
        if (drive >= kNever) {
            return;
        }
        Label label{0,
                    next,
                    parent,
                    from.is_free,
                    from.value + (*prize_)[next] - scale_ * car_.cost * drive,
                    from.seen,
                    from.load};
        for (std::size_t h = 0; h < held_.size(); ++h) {
            if (from.load[h] + demand(next, held_[h]) > capacity(held_[h])) {
                return;
            }
        }
        const Time leave = from.time + flat_.service_of(from.job, index_);
        const Time by = car_.last - from.time;
        add_if(mine, label, backwards_ ? last(next, by, drive) : start(next, leave, drive));
        if (!from.is_free) {
            label.is_free = true;
            add_if(mine, label,
                   backwards_ ? last_with_pause(next, by, drive)
                              : start(next, pause_end(*car_.pause, leave), drive));
        }
    }

    void add(Side& mine, Label label)
    {
        for (std::size_t w = 0; w < W; ++w) {
            label.seen[w] &= (*near_)[label.job][w];
        }
        set(label.seen, label.job);
        for (std::size_t h = 0; h < held_.size(); ++h) {
            label.load[h] += demand(label.job, held_[h]);
            if (label.load[h] > capacity(held_[h])) {
                return;
            }
        }
        if (lists_all_ ? !can_beat(label) || !is_new_order(label)
                       : is_beaten(mine, label) || !can_beat(label)) {
            return;
        }
        close(label);
        queue_.push(static_cast<std::uint64_t>(label.time) << 32U | labels_.size());
        labels_.push_back(label);
    }

    /// Notes what the tour is worth that ends with this label.
    void close(const Label& label)
    {
        std::int64_t whole = label.value;
        if (backwards_) {
            const Time way = flat_.drive(car_.start, label.job);
            const Time begin = car_.last - label.time;
            if (way >= kNever ||
                (!label.is_free &&
                 start(label.job, pause_end(*car_.pause, car_.opens), way) > begin)) {
                return;
            }
            whole -= scale_ * (car_.cost * way + car_.fixed);
        } else {
            const Time way = flat_.drive(label.job, car_.end);
            if (way >= kNever) {
                return;
            }
            const Time leave = label.time + flat_.service_of(label.job, index_);
            Time home = flat_.traffic.arrive(leave, way);
            if (!label.is_free && home > car_.pause->closes) {
                const Time rested = pause_end(*car_.pause, leave);
                home = rested >= kNever ? kNever : flat_.traffic.arrive(rested, way);
            }
            if (home > car_.last) {
                return;
            }
            whole -= scale_ * (car_.cost * way + car_.over(home));
        }
        if (whole > cutoff_) {
            finals_.emplace_back(whole, static_cast<int>(labels_.size()));
        }
        if (whole > best_) {
            best_ = whole;
            best_label_ = static_cast<int>(labels_.size());
        }
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

    /// What a label is worth, time taken for points.
    [[nodiscard]] double in_a_hurry(const Label& label) const
    {
        return static_cast<double>(label.value) - hurry_ * static_cast<double>(label.time);
    }
    void note_record(const Label& label)
    {
        double& record = records_[label.is_free ? 1 : 0][label.job];
        record = std::max(record, in_a_hurry(label));
    }

    /// By a label that is there sooner, is worth as much, and has seen and loaded no more.
    [[nodiscard]] bool is_beaten(const Side& mine, const Label& label)
    {
        if (forgets_) {
            return std::max(records_[1][label.job],
                            label.is_free ? kNoRecord : records_[0][label.job]) >=
                   in_a_hurry(label);
        }
        const auto& best = mine.best[label.job];
        if (best.empty() || best.back() < label.value) {
            return false;
        }
        const auto& done = mine.done[label.job];
        const auto first = std::find_if(done.rbegin(), done.rend(), [&](const Label& other) {
            return other.value >= label.value && (other.is_free || !label.is_free) &&
                   other.load[0] <= label.load[0] && other.load[1] <= label.load[1] &&
                   is_within(other.seen, label.seen);
        });
        looks_ += static_cast<std::uint64_t>(first - done.rbegin()) / kLooksAtOnce;
        return first != done.rend();
    }

    /// Of the orders of a set of jobs with the same last one: none before is as good.
    [[nodiscard]] bool is_new_order(const Label& label)
    {
        auto& same = sets_[{label.job, label.seen}];
        for (const int i : same) {
            const Label& other = labels_[static_cast<std::size_t>(i)];
            if (other.time <= label.time && other.value >= label.value &&
                (other.is_free || !label.is_free)) {
                return false;
            }
        }
        same.push_back(static_cast<int>(labels_.size()));
        return true;
    }

    /// Whether some way on that the other direction knows leads above the cutoff.
    [[nodiscard]] bool can_beat(const Label& label)
    {
        if (other_ == nullptr) {
            return true;
        }
        const std::int64_t need = cutoff_ - label.value + (*prize_)[label.job];
        const auto& done = other_->done[label.job];
        const auto& best = other_->best[label.job];
        const Time until = car_.last - label.time;
        const auto end = static_cast<std::size_t>(
            std::upper_bound(done.begin(), done.end(), until,
                             [](Time t, const Label& one) { return t < one.time; }) -
            done.begin());
        if (end == 0 || best[end - 1] <= need) {
            return false;
        }
        Bits seen = label.seen;
        seen[static_cast<std::size_t>(label.job) / 64] &= ~(std::uint64_t{1} << (label.job % 64));
        for (std::size_t i = end; i-- > 0;) {
            if (best[i] <= need) {
                looks_ += (end - i) / kLooksAtOnce;
                return false;
            }
            if (done[i].value <= need || !(label.is_free || done[i].is_free)) {
                continue;
            }
            bool joins = true;
            for (std::size_t h = 0; h < held_.size(); ++h) {
                joins = joins && label.load[h] + done[i].load[h] - demand(label.job, held_[h]) <=
                                     capacity(held_[h]);
            }
            for (std::size_t w = 0; w < W; ++w) {
                joins = joins && (done[i].seen[w] & seen[w]) == 0;
            }
            if (joins) {
                looks_ += (end - i) / kLooksAtOnce;
                return true;
            }
        }
        looks_ += end / kLooksAtOnce;
        return false;
    }

    /// Labels know their past only; in the order of the run.
    [[nodiscard]] std::vector<int> jobs_of(int label) const
    {
        std::vector<int> jobs;
        for (int i = label; i >= 0; i = labels_[static_cast<std::size_t>(i)].parent) {
            jobs.push_back(labels_[static_cast<std::size_t>(i)].job);
        }
        if (!backwards_) {
            std::reverse(jobs.begin(), jobs.end());
        }
        return jobs;
    }

    static constexpr double kHurry = 1.0;
    static constexpr double kNoRecord = std::numeric_limits<double>::lowest();
    static constexpr std::uint64_t kLooksAtOnce = 8;  ///< comparisons in the time of an extension

    const Flat& flat_;
    const Car& car_;
    int index_;
    std::int64_t scale_;
    std::vector<Time> soonest_;          ///< of each job, straight from the start
    std::vector<Time> latest_;           ///< of each job, so that one can go straight home
    std::vector<Time> soonest_paused_;   ///< no sooner after the pause
    std::vector<Time> latest_unpaused_;  ///< no later before the pause
    std::vector<int> useful_;
    std::vector<Bits> wide_;    ///< by job: the jobs that keep it in mind
    std::vector<Bits> narrow_;  ///< the same
    std::vector<Bits> all_;     ///< the same, of tours that forget nothing
    const std::vector<Bits>* near_ = nullptr;
    std::vector<std::vector<int>> by_nearness_;
    std::vector<int> held_;  ///< resources that loads are kept of
    std::array<Side, 2> sides_;
    const Side* other_ = nullptr;
    const std::vector<std::int64_t>* prize_ = nullptr;
    bool backwards_ = false;
    bool is_complete_ = true;
    bool forgets_ = false;                        ///< labels beat others whatever they have seen
    double hurry_ = 0;                            ///< points a second, when they do
    std::array<std::vector<double>, 2> records_;  ///< by whether free, by job; the same
    bool lists_all_ = false;                      ///< labels beat others only of the same set
    std::int64_t cutoff_ = 0;
    std::int64_t best_ = 0;
    int best_label_ = -1;
    std::uint64_t looks_ = 0;  ///< not yet taken from the work
    std::vector<Label> labels_;
    std::vector<std::pair<std::int64_t, int>> finals_;  ///< worth and last label of tours
    std::priority_queue<std::uint64_t, std::vector<std::uint64_t>, std::greater<>> queue_;
    std::unordered_map<std::pair<int, Bits>, std::vector<int>, HashBits> sets_;
    std::vector<int> route_;
};

}  // namespace nestround::tour
