/// \file part.hpp
/// \brief Shares the tours of a plan out among searches that do not see each other's.
///
/// Purpose:  on large problems searches side by side each mend their own tours, and what they gain
///           adds up; see solver.hpp.
/// Units:    as flat.hpp.
/// Range:    tours that do not hang together; at least two for each search.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <vector>

#include "geocore/base/random.hpp"
#include "planner/tour/search_state.hpp"

namespace nestround::tour {

/// What one search may change.
struct Part {
    std::vector<std::uint8_t> has_car;  ///< cars
    std::vector<std::uint8_t> has_job;  ///< jobs, of its tours or idle
    std::vector<int> jobs;
};

/// Tours near to one another stay together; which ones, changes from time to time. Idle jobs go
/// with the tour of the nearest served one by `near` (jobs by nearness to each).
[[nodiscard]] std::vector<Part> share_out(const SearchState& state, const Flat& flat,
                                          const std::vector<std::vector<int>>& near, int parts,
                                          Random& random);

}  // namespace nestround::tour
