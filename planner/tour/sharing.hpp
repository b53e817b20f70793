/// \file sharing.hpp
/// \brief Shares sets of jobs out among vehicles, exactly.
///
/// Purpose:  the inside of the exact solver; not for others.
/// Units:    as the problem's.
/// Range:    up to kExactJobs jobs.
/// Accuracy: exact when it gives an answer.
/// Cost:     Sharing 3^n a vehicle; Packing as much as its bounds leave.
/// Errors:   nothing, when the work allowed ended first.
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "planner/tour/vehicle_sets.hpp"

namespace nestround::tour {

/// The set that each vehicle takes.
using Shares = std::vector<Set>;

/// Dynamic programming over all sets: knows what is best for every set, at 3^n.
class Sharing {
public:
    Sharing(const Problem& problem, const std::vector<std::size_t>& jobs,
            const std::vector<VehicleSets>& vehicles, std::uint64_t& work);

    [[nodiscard]] bool is_complete() const { return is_complete_; }
    /// Whether exactly these can be met.
    [[nodiscard]] bool is_feasible(Set set) const { return best_[set] > kImpossible; }
    [[nodiscard]] Shares best() const;

private:
    void share(const std::vector<std::int64_t>& values);

    bool is_complete_ = true;
    std::vector<std::int64_t> best_;       ///< of each set, by the vehicles so far
    std::vector<std::vector<Set>> taken_;  ///< by each vehicle, of each set
};

/// Branch and bound over the sets of one vehicle after another.
[[nodiscard]] std::optional<Shares> best_packing(const Problem& problem,
                                                 const std::vector<std::size_t>& jobs,
                                                 const std::vector<VehicleSets>& vehicles,
                                                 std::uint64_t& work);

/// Sets that use more of a shared resource than there is.
[[nodiscard]] bool is_beyond_shared(const Problem& problem, const std::vector<std::size_t>& jobs,
                                    Set set);

}  // namespace nestround::tour
