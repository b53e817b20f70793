/// \file vehicle_sets.hpp
/// \brief What one vehicle can do of a few jobs: the worth of each set, and its best order.
///
/// Purpose:  the inside of the exact solver; not for others.
/// Units:    as the problem's.
/// Range:    up to kExactJobs jobs.
/// Accuracy: exact, for sets that could be part of a better plan than the one known.
/// Errors:   is_complete() is false when the work allowed ended first.
/// Source:   see exact.hpp.
#pragma once

#include <cstdint>
#include <limits>
#include <vector>

#include "planner/tour/order_table.hpp"

namespace nestround::tour {

inline constexpr std::int64_t kImpossible = std::numeric_limits<std::int64_t>::min() / 4;

[[nodiscard]] inline std::vector<std::size_t> members(Set set, const std::vector<std::size_t>& jobs)
{
    std::vector<std::size_t> result;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        if ((set >> i & 1U) != 0) {
            result.push_back(jobs[i]);
        }
    }
    return result;
}

/// The best order of one set of jobs for one vehicle.
struct Order {
    std::int64_t value = kImpossible;  ///< prizes less all costs, with the bonus of must-takes
    std::int64_t home = 0;
    std::vector<std::size_t> jobs;
};

class VehicleSets {
public:
    VehicleSets(const Problem& problem, std::size_t v, const std::vector<std::size_t>& jobs,
                std::int64_t bonus, std::uint64_t& work, const OrderTable::Floor* floor);

    [[nodiscard]] bool is_complete() const { return is_complete_; }
    /// Without ride limits when live cargo is in the set: never too low.
    [[nodiscard]] const std::vector<std::int64_t>& values() const { return values_; }
    [[nodiscard]] bool is_live(Set set) const { return (set & live_) != 0; }
    /// The true worth and order of a set; kImpossible when it cannot be done.
    [[nodiscard]] Order order(Set set, std::uint64_t& work) const;

private:
    [[nodiscard]] std::int64_t prizes(Set set) const;
    [[nodiscard]] std::int64_t cost(const OrderTable::End& end) const;
    [[nodiscard]] Order best_live_order(Set set, std::uint64_t& work) const;

    const Problem& problem_;
    std::size_t v_;
    const std::vector<std::size_t>& jobs_;
    std::int64_t bonus_;
    Set live_ = 0;
    bool is_complete_ = true;
    std::vector<std::int64_t> values_;
};

}  // namespace nestround::tour
