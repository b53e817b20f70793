/// \file search_state.hpp
/// \brief All tours while they are searched, and which jobs are in none.
///
/// Purpose:  what ruin and recreate change; cheap to take back.
/// Units:    as flat.hpp.
/// Range:    every job is in one tour or in idle().
/// Accuracy: exact.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <vector>

#include "planner/tour/route.hpp"

namespace nestround::tour {

class SearchState {
public:
    explicit SearchState(const Flat& flat);

    [[nodiscard]] const std::vector<Route>& routes() const { return routes_; }
    /// Index of the tour that has the job, or -1.
    [[nodiscard]] int route_of(int job) const { return route_of_[job]; }
    [[nodiscard]] const std::vector<int>& idle() const { return idle_; }
    /// Prizes less driving, with the bonus of must-takes.
    [[nodiscard]] std::int64_t profit() const { return profit_; }
    [[nodiscard]] std::int64_t busy() const;  ///< seconds that the tours last, together

    void insert(int job, int route, const Slot& slot);
    /// Takes the jobs out of their tours, and more where a tour could not be kept otherwise.
    void remove(const std::vector<int>& jobs, LiveScratch& scratch);
    [[nodiscard]] bool assign(int route, const std::vector<int>& jobs);

    /// Makes this equal to `other`.
    void take_back(const SearchState& other);

private:
    void move_to_idle(int job);
    void take_from_idle(int job, int route);

    const Flat* flat_;
    std::vector<Route> routes_;
    std::vector<int> route_of_;
    std::vector<int> idle_;
    std::vector<int> idle_at_;        ///< position of a job in idle_
    std::vector<std::uint8_t> gone_;  ///< scratch of remove()
    std::int64_t profit_ = 0;
};

}  // namespace nestround::tour
