/// \file order_table.hpp
/// \brief Every order worth keeping of every subset of a few jobs, for one vehicle.
///
/// Purpose:  the inside of the exact solver; not for others.
/// Units:    as the problem's.
/// Range:    up to kExactJobs jobs.
/// Accuracy: exact. A set that cannot be part of a better plan than the one known is not spread.
/// Cost:     memory for 2^n (n + 1) numbers, and for each label 24 bytes.
/// Errors:   is_complete() is false when the work allowed ended first; then nothing may be read.
/// Source:   see exact.hpp.
#pragma once

#include <cstdint>
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
    /// What cannot lead to more than this is left out: a set is worth `value`, and the jobs outside
    /// of it, that can still be reached when there is but one vehicle, at most `most` each.
    struct Floor {
        std::int64_t at_least;
        std::vector<std::int64_t> value;  ///< of each job, for this vehicle
        std::vector<std::int64_t> most;   ///< of each job, for any vehicle
        bool is_only_vehicle;
        bool is_metric;  ///< no detour is quicker than the direct way
    };

    /// `home` is the arrival that live cargo has to be counted back from; kNoHome: no ride limits.
    /// `work` is counted down by one a label.
    OrderTable(const Problem& problem, std::size_t v, std::vector<std::size_t> jobs,
               std::int64_t home, std::uint64_t& work, const Floor* floor = nullptr);

    struct End {
        std::int64_t home;
        std::int64_t driving;
        std::int32_t label;
    };

    [[nodiscard]] bool is_complete() const { return is_complete_; }
    /// Skills, capacities and loads, at every moment of any order of the set.
    [[nodiscard]] bool fits(Set set) const { return fits_[set] != 0; }
    /// All ways to do exactly `set` and come home in time.
    [[nodiscard]] std::vector<End> ends(Set set) const;
    [[nodiscard]] std::vector<std::size_t> order(std::int32_t label) const;

private:
    struct Label {
        std::int32_t free_from;  ///< when it can drive on
        std::int32_t driving;
        std::int32_t parent;
        std::int32_t next;  ///< in the same cell
        std::uint32_t job;  ///< index into jobs_
    };

    [[nodiscard]] std::size_t cell(Set set, std::size_t last, bool rested) const
    {
        return (set * (jobs_.size() + 1) + last) * (has_pause_ ? 2 : 1) + (rested ? 1 : 0);
    }
    void find_fits();
    void add(std::size_t where, std::int64_t free_from, std::int64_t driving, std::int32_t parent,
             std::uint32_t job);
    /// The first moment from `t` on at which service of the job may begin; below 0: none.
    [[nodiscard]] std::int64_t start(std::size_t job, std::int64_t t) const;
    [[nodiscard]] std::int64_t arrive(std::int64_t leave, std::int64_t drive) const;
    void spread(Set set);
    void pause(Set set, std::size_t last);
    void visit(Set set, std::size_t last, bool rested, std::int32_t index, std::size_t next);
    [[nodiscard]] bool is_poor(Set set, const Label& label, std::size_t last) const;

    const Problem& problem_;
    const Vehicle& vehicle_;
    std::size_t v_;
    std::vector<std::size_t> jobs_;
    std::int64_t home_;
    std::uint64_t& work_;
    const Floor* floor_;
    bool has_pause_;
    bool weighs_driving_;
    bool is_complete_ = true;
    std::vector<std::uint8_t> fits_;     ///< by set
    std::vector<std::uint8_t> reached_;  ///< by set
    std::vector<std::int32_t> heads_;    ///< by cell: first label, or -1
    std::vector<Label> labels_;
};

}  // namespace nestround::tour
