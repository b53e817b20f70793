/// \file order_table.hpp
/// \brief Every order worth keeping of every subset of a few jobs, for one vehicle.
///
/// Purpose:  the inside of the exact solver; not for others.
/// Units:    as the problem's.
/// Range:    up to kExactJobs jobs.
/// Accuracy: exact.
/// Errors:   none.
/// Source:   see exact.hpp.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "planner/tour/problem.hpp"

namespace nestround::tour {

/// A set of jobs, one a bit.
using Set = std::uint32_t;
inline constexpr std::int64_t kNoHome = -1;

/// Dynamic programming over the subsets of `jobs` for one vehicle: for each set, last job and
/// whether the pause is over, the pairs (free from, driving so far) that no other pair beats.
class OrderTable {
public:
    /// `home` is the arrival that live cargo has to be counted back from; kNoHome: no ride limits.
    OrderTable(const Problem& problem, std::size_t v, std::vector<std::size_t> jobs,
               std::int64_t home)
        : problem_{problem},
          vehicle_{problem.vehicle(v)},
          v_{v},
          jobs_{std::move(jobs)},
          home_{home},
          cells_((std::size_t{1} << jobs_.size()) * (jobs_.size() + 1) * 2)
    {
        add(0, jobs_.size(), false,
            {vehicle_.shift.opens.count(), 0, -1, static_cast<std::uint32_t>(jobs_.size())});
        const Set all = static_cast<Set>((std::size_t{1} << jobs_.size()) - 1);
        for (Set set = 0;; ++set) {
            spread(set);
            if (set == all) {
                break;
            }
        }
    }

    struct Label {
        std::int64_t free_from;  ///< when it can drive on
        std::int64_t driving;
        std::int32_t parent;
        std::uint32_t job;  ///< index into jobs_
    };
    struct End {
        std::int64_t home;
        std::int64_t driving;
        std::int32_t label;
    };

    /// All ways to do exactly `set` and come home within the shift.
    [[nodiscard]] std::vector<End> ends(Set set) const
    {
        std::vector<End> result;
        for (std::size_t last = 0; last < jobs_.size(); ++last) {
            const std::size_t place = problem_.job(jobs_[last]).place;
            if (!problem_.is_linked(place, vehicle_.end_place)) {
                continue;
            }
            const std::int64_t leg = problem_.drive(place, vehicle_.end_place).count();
            for (const bool rested : {false, true}) {
                std::int64_t latest = vehicle_.shift.closes.count();
                if (vehicle_.pause && !rested) {
                    latest = std::min<std::int64_t>(latest, vehicle_.pause->start.closes.count());
                }
                for (const auto index : cell(set, last, rested)) {
                    const Label& label = labels_[static_cast<std::size_t>(index)];
                    if (label.free_from + leg <= latest) {
                        result.push_back({label.free_from + leg, label.driving + leg, index});
                    }
                }
            }
        }
        return result;
    }

    [[nodiscard]] std::vector<std::size_t> order(std::int32_t label) const
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

private:
    [[nodiscard]] std::size_t index_of(Set set, std::size_t last, bool rested) const
    {
        return (set * (jobs_.size() + 1) + last) * 2 + (rested ? 1 : 0);
    }
    [[nodiscard]] const std::vector<std::int32_t>& cell(Set set, std::size_t last,
                                                        bool rested) const
    {
        return cells_[index_of(set, last, rested)];
    }

    void add(Set set, std::size_t last, bool rested, Label label)
    {
        auto& kept = cells_[index_of(set, last, rested)];
        for (const auto index : kept) {
            const Label& other = labels_[static_cast<std::size_t>(index)];
            if (other.free_from <= label.free_from && other.driving <= label.driving) {
                return;
            }
        }
        std::erase_if(kept, [&](std::int32_t index) {
            const Label& other = labels_[static_cast<std::size_t>(index)];
            return label.free_from <= other.free_from && label.driving <= other.driving;
        });
        kept.push_back(static_cast<std::int32_t>(labels_.size()));
        labels_.push_back(label);
    }

    /// The first moment from `t` on at which service of the job may begin, or nothing.
    [[nodiscard]] std::optional<std::int64_t> start(std::size_t job, std::int64_t t) const
    {
        if (home_ != kNoHome && problem_.job(job).ride_limit) {
            t = std::max<std::int64_t>(t, home_ - problem_.job(job).ride_limit->count() -
                                              problem_.service(job, v_).count());
        }
        for (const auto& window : problem_.windows(job)) {
            if (t <= window.closes.count()) {
                return std::max<std::int64_t>(t, window.opens.count());
            }
        }
        return std::nullopt;
    }

    void spread(Set set)
    {
        for (std::size_t last = 0; last <= jobs_.size(); ++last) {
            if (vehicle_.pause) {
                pause(set, last);
            }
            for (const bool rested : {false, true}) {
                for (const auto index : std::vector<std::int32_t>{cell(set, last, rested)}) {
                    for (std::size_t next = 0; next < jobs_.size(); ++next) {
                        if ((set >> next & 1U) == 0) {
                            visit(set, last, rested, index, next);
                        }
                    }
                }
            }
        }
    }

    void pause(Set set, std::size_t last)
    {
        const Pause& rule = *vehicle_.pause;
        for (const auto index : std::vector<std::int32_t>{cell(set, last, false)}) {
            const Label label = labels_[static_cast<std::size_t>(index)];
            const auto begin = std::max<std::int64_t>(label.free_from, rule.start.opens.count());
            if (begin <= rule.start.closes.count()) {
                add(set, last, true,
                    {begin + rule.length.count(), label.driving, index, label.job});
            }
        }
    }

    void visit(Set set, std::size_t last, bool rested, std::int32_t index, std::size_t next)
    {
        const Label from = labels_[static_cast<std::size_t>(index)];
        const std::size_t here =
            last == jobs_.size() ? vehicle_.start_place : problem_.job(jobs_[last]).place;
        const std::size_t there = problem_.job(jobs_[next]).place;
        if (!problem_.is_linked(here, there)) {
            return;
        }
        const std::int64_t leg = problem_.drive(here, there).count();
        const auto begin = start(jobs_[next], from.free_from + leg);
        if (begin) {
            add(set | (Set{1} << next), next, rested,
                {*begin + problem_.service(jobs_[next], v_).count(), from.driving + leg, index,
                 static_cast<std::uint32_t>(next)});
        }
    }

    const Problem& problem_;
    const Vehicle& vehicle_;
    std::size_t v_;
    std::vector<std::size_t> jobs_;
    std::int64_t home_;
    std::vector<Label> labels_;
    std::vector<std::vector<std::int32_t>> cells_;
};

}  // namespace nestround::tour
